"""`bonewright tolerance` against the script that one would write in plain Python: the spread, then the speed.

    BONEWRIGHT_BIN=target/release/bonewright python tests/outside/tolerance_speed.py

One instrument at a time: draw the errors of all readings and of the making, rebuild the slot's frame, find where the made
ridge crosses each string, and read action and cents at fret 12. Written from the equations (see resolve.py) and the
uncertainties that the program reports, not from its source. Lengths in mm, angles in radians.

Exits with 1 if the spreads differ by more than chance allows, 100,000 samples take more than a second, or the program is
less than 300 times as fast; in .ci/run, more than two seconds, or less than 150 times (bars.py).
"""

import json
import math
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
from bars import fast_enough, short_enough
from resolve import Board, Line, frame, line
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

TREE = Path(__file__).resolve().parents[2]
JOB = TREE / "examples" / "parlour.toml"
SAMPLES = 100_000
BASELINE_SAMPLES = 2_000
# Both are timed in so many rounds, and the best round counts: other work on the machine only ever slows one down.
ROUNDS = 5
# The bars; .ci/run asks for half: two seconds, and 150 times.
SECONDS_BAR = 1.0
RATIO_BAR = 300.0
# Spreads of so many samples may differ by this many of their own standard errors.
ERRORS_MOST = 4.5
# Correlation of two readings with one tool, where the job names none (common practice, no source; FORMAT.md).
CORRELATION = 0.5
# How sure a string's stretch is, and the power of it that its bending goes by: a core is wrong in its size, a plain wire in its modulus
# (FORMAT.md). The two thinnest of the job's set are plain; of string 6 the core was measured.
# The last figure: how sure the tie is (derived in the program, no source): the wrap of a wound string bends too.
PLAIN, OF_SET, MEASURED = (0.02, 1.0, 0.02), (0.15, 2.0, 0.12), (0.05, 2.0, 0.12)
# How far an inner string's gap over fret 1 and its action lie off what is put between the outer ones', mm (FORMAT.md).
BETWEEN = {"first-fret-clearance": 0.03, "present-action": 0.05}
STRETCH = {1: PLAIN, 2: PLAIN, 6: MEASURED}


def bonewright(*args):
    binary = os.environ.get("BONEWRIGHT_BIN") or str(TREE / "target/release/bonewright")
    done = subprocess.run([binary, *map(str, args)], capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, f"bonewright {args}: exit {done.returncode}\n{done.stderr}"
    return done.stdout


class Baseline:
    """The parlour guitar's saddle as made, in instruments that are not quite as read."""

    def __init__(self, plan, readings, seed):
        self.inputs, self.plan = plan["inputs"], plan
        assert self.inputs["slot"]["read_by"] == "straightedge"
        assert all(s["present_nut"]["by"] == "open-gaps" for s in self.inputs["strings"])
        self.sigma = {r["reading"]: r["sigma"] for r in readings}
        self.random = np.random.default_rng(seed)
        contacts = [s["contact"] for s in plan["strings"]]
        us = [c["u"] for c in contacts]
        # Slopes of the ridge, a monotone cubic through the contacts.
        slopes = [PchipInterpolator(us, [c[axis] for c in contacts]).derivative()(us) for axis in "bv"]
        self.made = [(c["b"], c["u"], c["v"], db, dv) for c, db, dv in zip(contacts, *slopes)]
        self.planned = [(s["action_12"], s["cents"][11]) for s in plan["strings"]]
        self.stand_offs = [s["stand_off"] for s in plan["strings"]]

    def alone(self, name):
        return self.random.normal(0.0, self.sigma[name]) if name in self.sigma else 0.0

    def paired(self, name, places):
        """Readings with one tool: a part that all share, and one of each."""
        total = self.sigma.get(name, 0.0)
        shared = self.random.normal(0.0, total * math.sqrt(CORRELATION))
        return shared + self.random.normal(0.0, total * math.sqrt(1.0 - CORRELATION), places)

    def between(self, name, shares):
        """Readings of the outer strings; those between lie on their line, within what inner strings are sure to."""
        bass, *_, treble = self.paired(name, len(shares))
        inner = BETWEEN[name] if "between" in self.sigma else 0.0
        line_of = [bass + share * (treble - bass) for share in shares]
        return [at + (self.random.normal(0.0, inner) if 0.0 < share < 1.0 else 0.0) for at, share in zip(line_of, shares)]

    def sample(self):
        """Action and cents of every string, less what was planned."""
        inputs, count = self.inputs, len(self.made)
        given = dict(inputs["board"])
        given["relief"] += self.alone("relief")
        # One set of gauges errs by the same share at both ends.
        wider = self.alone("board-radius")
        if given["radius"] is not None:
            given["radius"] = {place: r * math.exp(wider) for place, r in given["radius"].items()}
        # Nut to fret 12 is half the scale on a board of equal temperament.
        given["scale"] *= math.exp(self.alone("nut-to-12") / (0.5 * given["scale"]))
        board = Board(given)
        ends, stand_off = inputs["ends"] + self.alone("ends"), inputs["stand_off"] + self.alone("stand-off")

        ys = [s["run"]["nut"] + s["run"]["slope"] * inputs["board"]["scale"] for s in inputs["strings"]]
        shares = [(y - ys[0]) / (ys[-1] - ys[0]) for y in ys]
        gaps, actions = (self.between(name, shares) for name in ("first-fret-clearance", "present-action"))
        strings = []
        for s, gap, action in zip(inputs["strings"], gaps, actions):
            nut = s["present_nut"]
            read = {"by": nut["by"], "gap_1": nut["gap_1"] + gap, "action_12": nut["action_12"] + action}
            strings.append(Line({**s, "present_nut": read}, board, inputs["press"], ends))

        slot = dict(inputs["slot"])
        slot["lean"] += self.alone("lean")
        # A hump lifts the saddle by its height, a hollow by nothing: on the whole by half.
        slot["under"] += self.alone("seating") + 0.5 * self.alone("floor-bow")
        bent = self.alone("straightedge")
        off = [self.paired(name, 2) for name in ("slot-edge", "bridge-top", "slot-depth")]
        slot["straightedge"] = [
            {
                "edge_from_fret_12": end["edge_from_fret_12"] + edge,
                "bridge_top": end["bridge_top"] + top - bent,
                "depth": end["depth"] + depth,
            }
            for end, edge, top, depth in zip(slot["straightedge"], *off)
        ]
        origin, e_b, e_u, e_v = frame(board, slot, strings)

        shown = []
        for string, made, planned, elastic in zip(strings, self.made, self.planned, self.stand_offs):
            b, u, v, db, dv = made
            b += self.alone("made-ridge")
            v += self.alone("made-height")
            start = origin + b * e_b + u * e_u + v * e_v
            along = e_u + db * e_b + dv * e_v

            def aside(step, start=start, along=along, string=string):
                p = start + step * along
                return p[1] - string.y(p[0])

            saddle = start + np.array([0.0, 0.0, stand_off * elastic]) + brentq(aside, -20.0, 20.0, xtol=1e-12) * along
            nut = (string.given["nut_x"], string.present_nut())
            sure, power, tie = STRETCH.get(string.given["number"], OF_SET)
            stiffer, bends = 1.0, 1.0
            if "stretch" in self.sigma:
                stiffer = math.exp(self.random.normal(0.0, sure))
                bends = stiffer**power * math.exp(self.random.normal(0.0, tie))
            heavier = math.exp(self.alone("mass"))
            action, cents = self.at_12(string, nut, (saddle[0], saddle[2]), stiffer, bends, heavier)
            shown.append((action - planned[0], cents - planned[1]))
        return shown

    def at_12(self, string, nut, saddle, stiffer, stiffer_to_bend, heavier):
        """Action at fret 12 and the error there, cents: Anderson and Beausoleil's model, as in resolve.py."""
        given, (xn, zn), (xs, zs) = string.given, nut, saddle
        x, z = string.fret(12)
        action = line(nut, saddle)(x) - z
        whole, sounding = math.hypot(xs - xn, zs - zn), math.hypot(xs - x, zs - z)
        tension = 4e-9 * heavier * given["linear_density"] * whole**2 * given["frequency"] ** 2
        kappa = stiffer * given["stiffness"]["axial"] / tension
        bend = math.sqrt(stiffer_to_bend * given["stiffness"]["bending"] / (tension * whole**2))
        p = string.press
        behind = p * sounding / (xs - x) + math.hypot(x - xn - p, (zn - z) + p * (zs - z) / (xs - x))
        stretch = (sounding + behind - whole) / whole
        tighter = 1.0 + kappa * stretch

        opened, fretted = 1.0, (string.ends + 1.0) / 2.0

        def rise(b, clamped):
            return 1.0 + clamped * b + (clamped**2 + math.pi**2 / 2.0) * b**2

        cents = 1200.0 * math.log2(
            whole / (2.0 * sounding) * rise(bend * (whole / sounding) / math.sqrt(tighter), fretted) / rise(bend, opened)
        ) + 600.0 * math.log2((1.0 + stretch) * tighter)
        return action, cents


def timed(work):
    """Result, seconds on the clock, and seconds of the processor in this process and its children."""

    def processor():
        t = os.times()
        return t.user + t.system + t.children_user + t.children_system

    clock, busy = time.perf_counter(), processor()
    result = work()
    return result, time.perf_counter() - clock, processor() - busy


def compare():
    """Figures of both, and what is wrong."""
    plan = json.loads(bonewright("plan", JOB, "--json"))
    assert all(s["calibration"] is None for s in plan["strings"]), "the baseline knows no calibration"
    runs = [timed(lambda: bonewright("tolerance", JOB, "--samples", SAMPLES, "--json")) for _ in range(ROUNDS)]
    theirs = json.loads(runs[0][0])
    assert all(run[0] == runs[0][0] for run in runs), "the same seed gave other numbers"
    seconds, processor = min(run[1] for run in runs), min(run[2] for run in runs)

    baseline = Baseline(plan, theirs["readings"], seed=1)
    still = Baseline(plan, [], seed=1).sample()
    wrong = [f"without errors string {i} is off by {s}" for i, s in enumerate(still) if max(map(abs, s)) > 1e-6]
    part = BASELINE_SAMPLES // ROUNDS
    parts = [timed(lambda: [baseline.sample() for _ in range(part)]) for _ in range(ROUNDS)]
    mine = np.array([sample for part in parts for sample in part[0]])
    taken, busy = min(p[1] for p in parts), min(p[2] for p in parts)
    worst = 0.0
    for i, s in enumerate(theirs["strings"]):
        for k, what in enumerate(("action", "cents")):
            values, spread = mine[:, i, k], s[what]
            deviation = values.std(ddof=1)
            # Standard errors of a mean and of a deviation (normal values), the program's own being ten times smaller.
            errors = [
                (values.mean() - spread["mean"]) / (deviation / math.sqrt(BASELINE_SAMPLES)),
                (deviation / spread["deviation"] - 1.0) * math.sqrt(2.0 * BASELINE_SAMPLES),
            ]
            worst = max(worst, *map(abs, errors))
            if max(map(abs, errors)) > ERRORS_MOST:
                wrong.append(f"string {s['number']}, {what}: {errors} standard errors apart")

    cores = len(os.sched_getaffinity(0))
    rate, plain = SAMPLES / seconds, part / taken
    ratio = rate / plain
    if not short_enough(f"{SAMPLES} samples", seconds, SECONDS_BAR, " s"):
        wrong.append(f"{SAMPLES} samples took {seconds:.2f} s")
    if not fast_enough("against the plain script", ratio, RATIO_BAR, " times"):
        wrong.append(f"only {ratio:.0f} times as fast")
    figures = {
        "samples": SAMPLES,
        "strings": len(theirs["strings"]),
        "seconds": seconds,
        "cores": cores,
        "samples_per_second": rate,
        "samples_per_second_per_core": rate / cores,
        "baseline_samples": BASELINE_SAMPLES,
        "baseline_samples_per_second": plain,
        "ratio": ratio,
        "samples_per_second_of_processor": SAMPLES / processor,
        "baseline_samples_per_second_of_processor": part / busy,
        "ratio_of_processor": SAMPLES / processor / (part / busy),
        "worst_standard_errors_apart": worst,
    }
    return figures, wrong


if __name__ == "__main__":
    found, faults = compare()
    print(json.dumps(found, indent=2))
    for fault in faults:
        print(fault, file=sys.stderr)
    sys.exit(1 if faults else 0)
