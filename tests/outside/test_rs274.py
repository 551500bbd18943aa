"""Programs through the stand-alone RS-274/NGC interpreter of Debian's linuxcnc-uspace, against our own replay.

`rs274 -g FILE` prints canonical commands; it starts at 0, 0, 0 in millimetres and needs no display. The programs are all that
`bonewright cut` writes for every example, replayed by `bonewright replay --json`, and those by hand of the Rust program
write_program, with arcs in all planes, replayed by the Rust program replay.
"""

import functools
import json
import re
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest
from conftest import BINARY, EXAMPLES, TREE, tool

# The interpreter prints four decimals: half of the last one, in its unit, comes on top.
AGREE_MM = 0.0005
PRINTED = 0.00005
INCH = 25.4
SLACK_Z_MM = 0.003
SETUPS = ("on-edge", "flat")
# The nut: its outline, its grooves, and the saw, which wants a slow spindle.
NUT_SETUPS = (("flat", None), ("on-edge", None), ("on-end", "small ballscrew mill"))
# Jobs that make a nut, with its saddle or alone.
NUTS = sorted(p for p in (TREE / "examples").glob("*.toml") if "\n[nut_blank]" in p.read_text())
MACHINES = ("small belt router", "small router, lines only", "small ballscrew mill")
# Exit code of a program that is not in order and so was not written.
REFUSED = 4
PLANES = {"XY": (0, 1, 2), "XZ": (2, 0, 1), "YZ": (1, 2, 0)}
COMMAND = re.compile(r"^\s*\d+\s+N\.*\d*\s+(\w+)\((.*)\)\s*$")
# Without a change of tool in the program the interpreter knows nothing of the one in the spindle.
CHANGES = re.compile(r"\bM0?6\b")
# Commands that say nothing about where the tool goes, or nothing that our programs change.
QUIET = {
    "SET_G5X_OFFSET", "SET_G92_OFFSET", "SET_XY_ROTATION", "SET_FEED_REFERENCE", "ON_RESET", "COMMENT", "SET_FEED_MODE",
    "USE_TOOL_LENGTH_OFFSET", "SELECT_TOOL", "START_CHANGE", "SET_SPINDLE_MODE", "PALLET_SHUTTLE", "MESSAGE",
    "SET_MOTION_CONTROL_MODE", "FLOOD_ON", "FLOOD_OFF", "MIST_OFF", "DWELL",
}  # fmt: skip


def cargo(*args):
    command = ["cargo", "run", "--quiet", "-p", "bonewright-benches", "--bin", *map(str, args)]
    done = subprocess.run(command, cwd=TREE, capture_output=True, text=True, timeout=1800)
    assert done.returncode == 0, f"{command}: exit {done.returncode}\n{done.stderr}"
    return done.stdout


def run(*args):
    return subprocess.run([BINARY, *map(str, args)], capture_output=True, text=True, timeout=300)


@dataclass
class Program:
    """A program, what we say that it does, and what it must keep to."""

    path: Path
    motions: list
    safe_z: float
    travel: list


def by_hand(folder):
    cargo("write_program", "--", folder)
    for path in sorted(folder.glob("*.ngc")):
        limits = json.loads(Path(f"{path}.limits.json").read_text())
        motions = [json.loads(line) for line in cargo("replay", "--", path).splitlines()]
        yield Program(path, motions, limits["safe_z"], limits["travel"])


def cut(folder, job, setup, machine, part="saddle"):
    """What `cut` writes; nothing if it refuses."""
    done = run("cut", job, "--part", part, "--setup", setup, "--machine", machine, "--out", folder)
    if done.returncode == REFUSED:
        assert not list(folder.iterdir()), f"{job.stem}: refused, yet files were written"
        assert "Nothing was written" in done.stderr
        return
    assert done.returncode == 0, f"{job.stem} {setup} {machine}: {done.stderr}"
    for path in sorted(folder.glob("*.ngc")):
        # The setup is read from the program's head.
        done = run("replay", path, "--job", job, "--machine", machine, "--json")
        assert done.returncode == 0, f"{path.name}: {done.stderr}"
        page = json.loads(done.stdout)
        yield Program(path, page["motions"], page["safe_z"], page["travel"])


@pytest.fixture(scope="session")
def programs(tmp_path_factory):
    found = list(by_hand(tmp_path_factory.mktemp("by-hand")))
    assert len(found) == 2
    nuts = 0
    for job in EXAMPLES:
        for setup in SETUPS:
            # The other machines once: they differ in words, not in what is cut.
            for machine in MACHINES if job.stem == "parlour" else MACHINES[:1]:
                of_job = list(cut(tmp_path_factory.mktemp("cut"), job, setup, machine))
                assert of_job, f"{job.stem}: no program {setup}"
                found += of_job
    for job in NUTS:
        for setup, machine in NUT_SETUPS:
            of_job = list(cut(tmp_path_factory.mktemp("cut"), job, setup, machine or MACHINES[0], "nut"))
            # Posts may fan all slots too far for a saw.
            assert of_job or setup == "on-end", f"{job.stem}: no nut {setup}"
            nuts += bool(of_job)
            found += of_job
    assert nuts >= 7
    return found


@functools.cache
def tools():
    """A tool table for the interpreter, whose own is short: numbers only, since we set no lengths by it."""
    table = Path(tempfile.mkdtemp()) / "tool.tbl"
    table.write_text("".join(f"T{n} P{n} D+1.0 Z+0.0 ;\n" for n in range(1, 21)))
    return table


@functools.cache
def interpreted(path):
    """Motions as the interpreter prints them, mm."""
    unit, plane, feed, spindle, speed, number, at = 1.0, "XY", 0.0, False, 0.0, 1, [0.0, 0.0, 0.0]
    motions, ended = [], False
    for line in tool("rs274", "-t", tools(), "-g", path).splitlines():
        if line.strip() in ("", "executing"):
            continue
        match = COMMAND.match(line)
        assert match, f"{path.name}: the interpreter says: {line}"
        name, inside = match.groups()
        values = [float(v) for v in re.findall(r"-?\d+\.?\d*", inside)] if name not in ("COMMENT", "MESSAGE") else []
        motion = {"feed": 0.0, "spindle": speed if spindle else 0.0, "tool": number, "from": at, "unit": unit}
        if name == "USE_LENGTH_UNITS":
            unit = INCH if "INCH" in inside else 1.0
        elif name == "SELECT_PLANE":
            plane = inside.strip().removeprefix("CANON_PLANE_")
        elif name == "SET_FEED_RATE":
            feed = values[0] * unit
        elif name == "SET_SPINDLE_SPEED":
            speed = values[1]
        elif name == "START_SPINDLE_CLOCKWISE":
            spindle = True
        elif name == "STOP_SPINDLE_TURNING":
            spindle = False
        elif name == "CHANGE_TOOL":
            number = int(values[0])
        elif name == "PROGRAM_END":
            ended = True
        elif name in ("STRAIGHT_TRAVERSE", "STRAIGHT_FEED"):
            to = [v * unit for v in values[:3]]
            kind = "rapid" if name == "STRAIGHT_TRAVERSE" else "line"
            motions.append(motion | {"kind": kind, "to": to, "feed": feed if kind == "line" else 0.0})
            at = to
        elif name == "ARC_FEED":
            a, b, c = PLANES[plane]
            end_a, end_b, centre_a, centre_b, turns, end_c = values[:6]
            assert abs(turns) == 1, f"{path.name}: {line}"
            to, centre = [0.0] * 3, list(at)
            to[a], to[b], to[c] = end_a * unit, end_b * unit, end_c * unit
            centre[a], centre[b] = centre_a * unit, centre_b * unit
            arc = {"kind": "arc", "to": to, "feed": feed, "plane": plane, "centre": centre, "clockwise": turns < 0}
            motions.append(motion | arc)
            at = to
        else:
            assert name in QUIET, f"{path.name}: unexpected {line}"
    assert ended, f"{path.name}: the interpreter saw no end"
    return motions


def near(ours, theirs, unit):
    return all(abs(a - b) <= AGREE_MM + PRINTED * unit for a, b in zip(ours, theirs, strict=True))


def lowest(motion):
    """Lowest Z of a straight motion."""
    return min(motion["from"][2], motion["to"][2])


def differs(a, b, tool_known):
    """What the two say differently of one motion; nothing if they agree."""
    if a["kind"] != b["kind"]:
        return "kind"
    if not near(a["to"], b["to"], b["unit"]):
        return "end"
    if tool_known and a["tool"] != b["tool"]:
        return "tool"
    if a["spindle"] != b["spindle"] or abs(a["feed"] - b["feed"]) > 0.01:
        return "spindle or feed"
    if a["kind"] == "arc":
        if a["plane"] != b["plane"] or a["clockwise"] != b["clockwise"]:
            return "plane or sense"
        if not near(a["centre"], b["centre"], 2.0 * b["unit"]):
            return "centre"
    return None


def test_every_program(programs):
    for program in programs:
        theirs, name = interpreted(program.path), program.path.name
        tool_known = bool(CHANGES.search(program.path.read_text()))
        assert len(program.motions) == len(theirs), name
        for a, b in zip(program.motions, theirs):
            what = differs(a, b, tool_known)
            assert what is None, f"{name}, line {a['line']}: {what}: {a} against {b}"


def test_the_comparison_can_say_no(programs):
    """A motion that is off in one figure is told apart from itself."""
    path = next(p.path for p in programs if any(m["kind"] == "arc" for m in p.motions))
    arc = next(m for m in interpreted(path) if m["kind"] == "arc")
    assert differs(arc, arc, True) is None
    x, y, z = arc["to"]
    for change, what in [
        ({"to": [x, y + 0.001, z]}, "end"),
        ({"feed": arc["feed"] + 0.1}, "spindle or feed"),
        ({"tool": arc["tool"] + 1}, "tool"),
        ({"clockwise": not arc["clockwise"]}, "plane or sense"),
        ({"centre": [c + 0.01 for c in arc["centre"]]}, "centre"),
        ({"kind": "line"}, "kind"),
    ]:
        assert differs(arc | change, arc, True) == what


def test_programs_keep_to_the_machine(programs):
    for program in programs:
        motions, name = interpreted(program.path), program.path.name
        first, moving = motions[0], motions[1:]
        assert first["kind"] == "rapid" and first["to"][:2] == [0.0, 0.0], f"{name}: it does not first go up"
        places = [m["to"] for m in moving]
        for axis, travel in enumerate(program.travel):
            extent = max(p[axis] for p in places) - min(p[axis] for p in places)
            assert extent <= travel, f"{name}: {extent} mm along axis {axis}"
        for m in moving:
            if m["kind"] == "rapid":
                sideways = m["from"][:2] != m["to"][:2]
                assert not sideways or lowest(m) >= program.safe_z - SLACK_Z_MM, f"{name}: {m}"
            else:
                assert m["spindle"] > 0.0 and m["feed"] > 0.0, f"{name}: {m}"


def test_the_interpreter_can_say_no(tmp_path):
    """It does refuse what it should, so that its silence means something."""
    bad = tmp_path / "bad.ngc"
    bad.write_text("G21 G90 G17 G94\nF100\nG2 X2 Y0 I1.5 J0\nM30\n")
    with pytest.raises(AssertionError):
        interpreted(bad)
