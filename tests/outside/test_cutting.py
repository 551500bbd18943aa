"""Every example, setup and built-in machine, and jobs of our own, cut and carried out by other programs.

Each program goes through the interpreter of linuxcnc-uspace with a tool table of unequal lengths: the tips must stand right. What
it does is held against our own reader, and goes on to a removal simulation in numpy, against the STL that `draw` writes.
"""

import itertools
import math
import os
import re
import tempfile
import tomllib
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import jobs
import numpy as np
import pytest
import removal
from cutting import GOUGE, REFUSED, Examiner, Found, Spec

PROFILES = tomllib.loads((jobs.TREE / "profiles" / "machines.toml").read_text())["machine"]
MACHINES = [machine["name"] for machine in PROFILES]
# These cut with all tools in one program.
ONE_PROGRAM = [machine["name"] for machine in PROFILES if machine["tool_lengths"] in ("table", "touch-off")]
SAW = "small ballscrew mill"
# Every example is cut on every machine but these: what is new of them is in their plans, so one machine will do.
ON_ONE = {
    "fanned-seven": SAW,
    "mandolin": "small belt router",
    "tenor-ukulele": "small screw router",
    "zero-fret": "small router, lines only",
}


def specs():
    """All runs of `cut`, by job."""
    runs = {}
    for path in jobs.EXAMPLES:
        text, job = path.read_text(), jobs.Job(path.stem, path.stem)
        ways = [("saddle", way) for way in ("on-edge", "flat", "both")] if "\n[slot]" in text else []
        ways += [("nut", way) for way in ("flat", "on-edge", "both", "on-end")] if "\n[nut_blank]" in text else []
        # Our own reader once for every kind of program: `replay` makes the programs before it anew where each tool has its own.
        runs[job] = [
            Spec(job, part, way, machine, way in ("both", "on-end") or machine in ONE_PROGRAM)
            for machine in MACHINES
            if ON_ONE.get(path.stem, machine) == machine
            for part, way in ways
        ]
    for job, machine in zip(jobs.OWN, itertools.cycle(MACHINES)):
        runs[job] = [Spec(job, part, "both", job.machine or machine) for part in job.parts]
    return runs


RUNS = specs()
ALL = [spec for runs in RUNS.values() for spec in runs]


def refusal(spec):
    """Words of the refusal that is right; none where the programs must be made."""
    if spec.setup == "on-end" and spec.machine != SAW:
        return "is faster than"
    return None


def examined(job):
    """Runs in a process of its own."""
    with tempfile.TemporaryDirectory() as folder:
        examiner = Examiner(job, folder)
        return [examiner.examine(spec) for spec in RUNS[job]]


@pytest.fixture(scope="session")
def found():
    # The longest first, so that no one is left alone at the end.
    order = sorted(RUNS, key=lambda job: -len(RUNS[job]))
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        return {one.name: one for runs in pool.map(examined, order) for one in runs}


each = pytest.mark.parametrize("spec", ALL, ids=[spec.name for spec in ALL])


@each
def test_is_cut_or_refused_with_a_reason(spec, found):
    one, words = found[spec.name], refusal(spec)
    if words is None:
        assert one.code == 0, one.said
        assert one.programs
    else:
        assert one.code == REFUSED and words in " ".join(one.said.split()), one.said


@each
def test_tips_stand_right_whatever_the_tool_table_holds(spec, found):
    assert not found[spec.name].wrong["lengths"]


@each
def test_two_readers_see_the_same_and_it_keeps_to_the_machine(spec, found):
    assert not found[spec.name].wrong["positions"]


@each
def test_what_is_left_is_the_part(spec, found):
    assert not found[spec.name].wrong["removal"]


def test_figures(found, capsys):
    """What came of all of it, to be read."""
    cut = [one for one in found.values() if one.programs]
    deepest = max(cut, key=lambda one: one.gouge)
    highest = max(cut, key=lambda one: one.excess)
    claim = max(cut, key=lambda one: one.over_claim)
    with capsys.disabled():
        print(
            f"\n{len(cut)} of {len(found)} runs make {sum(one.programs for one in cut)} programs with "
            f"{sum(one.moves for one in cut)} moves; at most {1000 * deepest.gouge:.2f} um too deep ({deepest.name}), "
            f"{1000 * highest.excess:.2f} um left over ({highest.name}), {1000 * claim.over_claim:.2f} um more than is told "
            f"({claim.name}); {sum(one.seconds for one in found.values()):.0f} s of work"
        )
    assert len(cut) >= 100 and len(jobs.OWN) >= 20
    assert deepest.gouge <= GOUGE + 0.001


SHAPES = [
    removal.Cutter("flat", "flat", 1.5, flat=1.5),
    removal.Cutter("ball", "ball", 1.5, ball=1.5),
    removal.Cutter("V", "V", 1.5, flat=0.05, rise=1.0 / math.tan(math.radians(30))),
    removal.Cutter("tapered", "tapered ball", 1.5, ball=0.25, rise=1.0 / math.tan(math.radians(5))),
    removal.Cutter("wide", "tapered ball", 1.5, ball=0.5, rise=1.0 / math.tan(math.radians(60))),
]


@pytest.mark.parametrize("tool", SHAPES, ids=lambda tool: tool.name)
def test_closed_forms_against_many_places_along_the_way(tool):
    """The lowest of a way is what twenty thousand still cutters along it leave."""
    random = np.random.default_rng(1)
    arc = ("arc", (0.4, 0.2), 2.0, 0.3, -2.2, 0.7)
    slopes = [(0.0, 0.0, 0.0), (3.0, 0.0, 0.0), (2.0, -1.5, 0.4), (0.5, 0.3, -0.9), (0.1, 0.1, 1.5), (0.0, 0.0, -1.0)]
    lines = [("line", [0.1, -0.2, 1.0], [0.1 + dx, -0.2 + dy, 1.0 + dz]) for dx, dy, dz in slopes]
    share = np.linspace(0.0, 1.0, 20_001)
    for piece in [arc, *lines]:
        if piece[0] == "arc":
            _, centre, radius, first, turn, z = piece
            angle = first + turn * share
            way = np.column_stack((centre[0] + radius * np.cos(angle), centre[1] + radius * np.sin(angle), np.full_like(share, z)))
        else:
            a, b = np.array(piece[1]), np.array(piece[2])
            way = a + share[:, None] * (b - a)
        x, y = random.uniform(-3.0, 5.0, (2, 120))
        closed = removal.lowest(tool, piece, x, y)
        for px, py, low in zip(x, y, closed):
            off = np.hypot(way[:, 0] - px, way[:, 1] - py)
            under = off <= tool.radius
            if not under.any():
                # Only a place right on the rim of the way is told apart by so little.
                assert np.isinf(low) or off.min() - tool.radius < 1e-3
                continue
            sampled = (way[under, 2] + tool.profile(off[under])).min()
            assert low <= sampled + 1e-9
            # At a steep rim a small step along is a large one up.
            assert sampled - low < 5e-3, (tool.name, piece, px, py, sampled, low)


PLANTED = [
    ("a place of the last tool 10 um deeper", "on-edge-2", lambda text: planted_lower(text, 0.010), "too deep"),
    ("a rapid along the block", "on-edge-1", lambda text: planted_rapid(text), "a rapid move"),
    ("the outline 10 um nearer", "flat-1", lambda text: planted_nearer(text, 0.010), "too deep"),
    ("a pass of the last tool 50 um higher", "on-edge-2", lambda text: planted_higher(text, 0.050), "is left"),
]


def planted_lower(text, by):
    """One place near the middle of the finished crown."""
    lines = text.splitlines()
    at = next(i for i in range(len(lines) // 2, len(lines)) if lines[i].startswith("X3") and " Z" in lines[i])
    before, z = lines[at].split(" Z")
    lines[at] = f"{before} Z{float(z) - by:.4f}"
    return "\n".join(lines) + "\n"


def planted_rapid(text):
    """The first cut along the block becomes a rapid."""
    lines = text.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("X") and " F" in line)
    along, feed = lines[at].split(" F")
    lines[at : at + 1] = [f"G0 {along}", f"G1 F{feed}"]
    return "\n".join(lines) + "\n"


def planted_nearer(text, by):
    """The last level run beside the low end."""
    lines = text.splitlines()
    at = max(i for i, line in enumerate(lines) if line.startswith("Y-") and lines[i + 1].startswith("Z"))
    x = next(line for line in reversed(lines[:at]) if line.startswith("X-"))
    lines[at] = f"X{float(x.split()[0][1:]) + by:.4f} {lines[at]}"
    return "\n".join(lines) + "\n"


def planted_higher(text, by):
    """A whole pass: the longest run of lines between two steps to the side."""
    lines = text.splitlines()
    steps = [i for i, line in enumerate(lines) if " Y" in line or line.startswith("Y")]
    first, last = max(zip(steps, steps[1:]), key=lambda pair: pair[1] - pair[0])
    for i in range(first, last):
        lines[i] = re.sub(r"Z(-?[\d.]+)", lambda z: f"Z{float(z.group(1)) + by:.4f}", lines[i])
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def parlour(tmp_path_factory):
    """The parlour's programs on the default machine, all in order."""
    folder = tmp_path_factory.mktemp("planted")
    job = jobs.Job("parlour", "parlour")
    examiner = Examiner(job, folder)
    ways = {}
    for way in ("on-edge", "flat"):
        out = folder / way
        done = examiner.cut(Spec(job, "saddle", way, None), out)
        assert done.returncode == 0, done.stderr
        ways[way] = (done.stdout, sorted(out.glob("*.ngc")))
    return examiner, ways


@pytest.mark.parametrize(("name", "program", "edit", "words"), PLANTED, ids=[p[0] for p in PLANTED])
def test_planted_faults_are_found(parlour, tmp_path, name, program, edit, words):
    examiner, ways = parlour
    way = program.rsplit("-", 1)[0]
    account, paths = ways[way]
    spec = Spec(examiner.job, "saddle", way, None)
    edited = []
    for path in paths:
        text = path.read_text()
        new = edit(text) if program in path.name else text
        assert new != text or program not in path.name
        edited.append(tmp_path / path.name)
        edited[-1].write_text(new)
    good, bad = Found("good", 0, ""), Found("bad", 0, "")
    examiner.look(spec, account, paths, good)
    assert not good.wrong["removal"]
    examiner.look(spec, account, edited, bad)
    assert any(words in said for said in bad.wrong["removal"]), bad.wrong["removal"]
