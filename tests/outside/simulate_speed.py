"""The simulation of a finishing program against the same in numpy: heights, time, and share of the memory's bandwidth.

    cargo run --release -p bonewright-benches --bin simulate_speed -- FOLDER
    python tests/outside/simulate_speed.py FOLDER [RESULT.json]

RESULT.json is what that printed; without it the program is run. Exits with 1 if heights differ by more than
0.002 mm, the simulation takes more than a second, or is less than 100 times as fast (two seconds and 50 times with
BONEWRIGHT_BARS=half, see bars.py; .ci/run does not run it). Times are by the wall clock, ours on
all cores and the best of several, numpy's on one: on a busy machine the ratio says little, and the one by the processor's
clock more.
"""

import json
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
from bars import fast_enough, short_enough

TREE = Path(__file__).resolve().parents[2]
HEIGHTS_MM = 0.002
# The bars; with BONEWRIGHT_BARS=half two seconds and 50 times are enough.
SECONDS_BAR = 1.0
RATIO_BAR = 100.0


def swept(size, points):
    """Heights after a ball went along straight lines between points: the exact lower envelope, cell by cell.

    Every move is one vectorised step over the window that the ball reaches.
    """
    nx, ny, cell, radius = size["nx"], size["ny"], size["cell"], size["radius"]
    x = size["x0"] + (np.arange(nx) + 0.5) * cell
    y = size["y0"] + (np.arange(ny) + 0.5) * cell
    heights = np.full((ny, nx), float(size["top"]))
    depth = np.zeros(len(points) - 1)
    volume = np.zeros(len(points) - 1)
    for k, (a, b) in enumerate(zip(points[:-1], points[1:])):
        low, high = np.minimum(a, b) - radius, np.maximum(a, b) + radius
        i0, i1 = np.searchsorted(x, low[0]), np.searchsorted(x, high[0], side="right")
        j0, j1 = np.searchsorted(y, low[1]), np.searchsorted(y, high[1], side="right")
        dx, dy, dz = b - a
        length = np.hypot(dx, dy)
        ux, uy, slope = dx / length, dy / length, dz / length
        across, along = (y[j0:j1] - a[1])[:, None], (x[i0:i1] - a[0])[None, :]
        s = along * ux + across * uy
        p = across * ux - along * uy
        rest = radius * radius - p * p
        t = s - slope / np.hypot(1.0, slope) * np.sqrt(np.maximum(rest, 0.0))
        np.clip(t, 0.0, length, out=t)
        inside = rest - (s - t) ** 2
        surface = np.where(inside >= 0.0, a[2] + slope * t + radius - np.sqrt(np.maximum(inside, 0.0)), np.inf)
        window = heights[j0:j1, i0:i1]
        taken = np.maximum(window - surface, 0.0)
        depth[k], volume[k] = taken.max(), taken.sum() * cell * cell
        np.minimum(window, surface, out=window)
    return heights, volume


def main(folder, result=None):
    if result:
        ours = json.loads(Path(result).read_text())
    else:
        command = ["cargo", "run", "--quiet", "--release", "-p", "bonewright-benches", "--bin", "simulate_speed"]
        done = subprocess.run([*command, "--", folder], cwd=TREE, capture_output=True, text=True, check=True)
        ours = json.loads(done.stdout)
    folder = Path(folder)
    points = np.loadtxt(folder / "moves.csv", delimiter=",")
    theirs = np.fromfile(folder / "heights.f64", dtype="<f8").reshape(ours["ny"], ours["nx"])
    assert len(points) == ours["moves"] + 1

    start, busy = time.perf_counter(), time.thread_time()
    heights, volume = swept(ours, points)
    seconds, processor = time.perf_counter() - start, time.thread_time() - busy

    apart = float(np.abs(heights - theirs).max())
    ratio = seconds / ours["seconds"]
    rate = 16.0 * ours["cells"] / ours["seconds"]
    print(f"{ours['moves']} moves, {ours['nx']} by {ours['ny']} cells, {volume.sum():.2f} mm3 removed")
    print(f"numpy {seconds:.2f} s, ours {ours['seconds']:.4f} s: {ratio:.0f} times as fast")
    each = processor / ours["processor"]
    print(f"by the processor's clock, one thread each: {processor:.2f} s and {ours['processor']:.4f} s, {each:.0f} times")
    print(f"heights differ by at most {apart:.2e} mm")
    print(
        f"{ours['cells'] / 1e6:.1f} million cells looked at, {rate / 1e9:.2f} GB/s of {ours['bandwidth'] / 1e9:.1f} GB/s "
        f"copied: {rate / ours['bandwidth']:.0%} of the memory's bandwidth"
    )
    short = short_enough("the simulation", ours["seconds"], SECONDS_BAR, " s")
    fast = fast_enough("against numpy", ratio, RATIO_BAR, " times")
    good = apart <= HEIGHTS_MM and short and fast
    print("good" if good else "NOT good")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
