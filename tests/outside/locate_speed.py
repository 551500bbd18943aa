"""Cutter location against opencamlib's drop cutter: heights and rate, over meshes of the same crown, in one run.

    cargo run --release -p bonewright-benches --bin locate_speed -- FOLDER
    python tests/outside/locate_speed.py FOLDER [RESULT.json]

RESULT.json is what that printed; without it the program is run. opencamlib (PyPI 2023.1.11, LGPL) runs its
BatchDropCutter; its time is that of `run` alone, without reading the mesh or building its tree. Exits with 1 where heights
differ by more than the mesh strays from the crown, or where the rate is less than 1,000 times opencamlib's (half of that
with BONEWRIGHT_BARS=half, see bars.py; .ci/run compares the heights alone). It wants a machine that does
nothing else: times are by the wall clock, the best of several on both sides.
"""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import opencamlib as ocl
from bars import fast_enough

TREE = Path(__file__).resolve().parents[2]
# The mesh is measured at a few places of every triangle; STL holds 32-bit figures.
MESH_SHARE, MESH_MORE = 1.1, 1e-4
# The mesh: fine, and within 0.01 mm.
REACHES_MM = 0.01
# The bar; with BONEWRIGHT_BARS=half 500 is enough.
RATIO_BAR = 1000.0
RUNS = 3


def make(folder):
    command = ["cargo", "run", "--quiet", "--release", "-p", "bonewright-benches", "--bin", "locate_speed"]
    done = subprocess.run([*command, "--", str(folder)], cwd=TREE, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


class Drop:
    """opencamlib's drop cutter over one mesh."""

    def __init__(self, stl, cutter, diameter):
        self.surface = ocl.STLSurf()
        ocl.STLReader(str(stl), self.surface)
        self.cutter = {"ball": ocl.BallCutter, "flat": ocl.CylCutter}[cutter](diameter, 50.0)

    def run(self, places, threads):
        """Heights and seconds."""
        batch = ocl.BatchDropCutter()
        batch.setSTL(self.surface)
        batch.setCutter(self.cutter)
        batch.setThreads(threads)
        for x, y in places:
            batch.appendPoint(ocl.CLPoint(float(x), float(y), -100.0))
        start = time.perf_counter()
        batch.run()
        seconds = time.perf_counter() - start
        return np.array([point.z for point in batch.getCLPoints()]), seconds


def compare(folder, ours):
    """Largest difference of heights for every ridge, cutter and mesh; faults."""
    folder = Path(folder)
    places = np.loadtxt(folder / "places.csv", delimiter=",")
    lines, faults = [], []
    for mesh in ours["meshes"]:
        for cutter in ("ball", "flat"):
            heights = np.fromfile(folder / f"{mesh['ridge']}-{cutter}.f64", dtype="<f8")
            drop = Drop(folder / f"{mesh['ridge']}-{mesh['mesh']}.stl", cutter, ours["diameter"])
            theirs, _ = drop.run(places, os.cpu_count())
            apart = float(np.abs(theirs - heights).max())
            most = MESH_SHARE * mesh["strays"] + MESH_MORE
            lines.append(f"{mesh['ridge']}, {mesh['mesh']} mesh, {cutter}: at most {apart:.5f} mm apart, mesh {mesh['strays']:.5f}")
            if not apart <= most:
                faults.append(lines[-1])
    return lines, faults


def speed(folder, ours):
    """Locations a second on both sides, one thread and all of them; faults."""
    folder = Path(folder)
    # A raster like ours, thinned: opencamlib takes milliseconds for each place.
    places = [(75.0 * k / 19, 0.3 - 3.8 * lane / 20) for lane in range(20) for k in range(20)]
    lines, faults = [], []
    for mesh in ours["meshes"]:
        for cutter in ("ball", "flat"):
            drop = Drop(folder / f"{mesh['ridge']}-{mesh['mesh']}.stl", cutter, ours["diameter"])
            one = len(places) / min(drop.run(places, 1)[1] for _ in range(RUNS))
            every = len(places) / min(drop.run(places, os.cpu_count())[1] for _ in range(RUNS))
            rate = next(s for s in ours["speeds"] if (s["ridge"], s["cutter"]) == (mesh["ridge"], cutter))
            ratio = rate["one_thread"] / one, rate["all_threads"] / every
            fits = mesh["strays"] <= REACHES_MM
            lines.append(
                f"{mesh['ridge']}, {mesh['mesh']} mesh of {mesh['triangles']} triangles within {mesh['strays']:.4f} mm, {cutter}: "
                f"ours {rate['one_thread'] / 1e6:.2f} and {rate['all_threads'] / 1e6:.2f} million a second on one thread and on all, "
                f"opencamlib {one / 1e3:.2f} and {every / 1e3:.2f} thousand: {ratio[0]:.0f} and {ratio[1]:.0f} times"
            )
            if fits and mesh["mesh"] == "square":
                what = f"{mesh['ridge']}, {cutter}, against opencamlib"
                if not fast_enough(what, min(ratio), RATIO_BAR, " times"):
                    faults.append(lines[-1])
    return lines, faults


def main(folder, result=None):
    ours = json.loads(Path(result).read_text()) if result else make(folder)
    heights, wrong = compare(folder, ours)
    rates, slow = speed(folder, ours)
    print("\n".join(heights + rates))
    for fault in wrong + slow:
        print(f"NOT AS WANTED: {fault}")
    return 1 if wrong or slow else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
