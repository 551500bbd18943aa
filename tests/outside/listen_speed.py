"""How long it takes to hear a string: 5 s at 48 kHz against numpy's transforms with a scipy fit, side by side in one run.

    BONEWRIGHT_BIN=target/release/bonewright python tests/outside/listen_speed.py

Like against like: both sides in one warm process each, samples in memory, imports left out; ours by the benches' hear_speed. Both take
17 stretches, and turns are taken, so that a busy moment meets both. The whole process of `bonewright hear`, its start and the file
included, has a bar of its own and is told against the same numpy work. Exits with 1 where a bar is missed (half of it is enough with
BONEWRIGHT_BARS=half, see bars.py).
"""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import recordings
from bars import fast_enough, short_enough
from series_fit import by_transform

TREE = Path(__file__).resolve().parents[2]
MOST_MS = 50.0
TIMES = 4.0
TURNS, RUNS = 5, 9
NOTE = "E2"


def best(run):
    """The best of some times, ms."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return 1000 * min(times)


def warm(path):
    """Milliseconds of one hearing in a warm process of ours: the best of many."""
    command = ["cargo", "run", "--quiet", "--release", "-p", "bonewright-benches", "--bin", "hear_speed", "--"]
    done = subprocess.run([*command, str(path), str(recordings.FREQUENCIES[NOTE])], cwd=TREE, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)["best"]


def numpy_warm(path):
    """The same of numpy and scipy, in a process of their own and on one thread: on several this small fit only waits for them."""
    command = [sys.executable, __file__, "--numpy", str(path)]
    done = subprocess.run(command, env=os.environ | {"OPENBLAS_NUM_THREADS": "1"}, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def main():
    binary = os.environ["BONEWRIGHT_BIN"]
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        files = recordings.write(folder)
        data, rate = recordings.samples(files["Carbon", NOTE])
        first = recordings.onset(data, rate) - rate // 5
        path = Path(folder) / "five.wav"
        recordings.write_wav(path, data[first : first + 5 * rate], rate)
        command = [binary, "hear", str(path), "--note", NOTE]
        subprocess.run(command, check=True, capture_output=True)
        warm(path)
        turns = []
        for _ in range(TURNS):
            whole = best(lambda: subprocess.run(command, check=True, stdout=subprocess.DEVNULL))
            turns.append((whole, warm(path), numpy_warm(path)))
        whole, ours, theirs = (statistics.median(column) for column in zip(*turns))
        times = statistics.median(turn[2] / turn[1] for turn in turns)
        print(f"5 s at {rate} Hz: bonewright {ours:.1f} ms, {whole:.1f} as a whole process; numpy and scipy {theirs:.1f}")
        if not short_enough("hearing 5 s, whole process", whole, MOST_MS, " ms"):
            faults.append("slow")
        if not fast_enough("against numpy and scipy, warm", times, TIMES, " times"):
            faults.append("slow against numpy and scipy")
        print(f"the whole process against numpy and scipy warm: {statistics.median(turn[2] / turn[0] for turn in turns):.2f} times")
    return 1 if faults else 0


if __name__ == "__main__":
    if sys.argv[1:2] == ["--numpy"]:
        heard = recordings.samples(sys.argv[2])
        print(best(lambda: by_transform(*heard, recordings.FREQUENCIES[NOTE])))
    else:
        sys.exit(main())
