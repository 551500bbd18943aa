"""Every program through the stand-alone RS-274/NGC interpreter of Debian's linuxcnc-uspace, against our own replay.

`rs274 -g FILE` prints canonical commands; it starts at 0, 0, 0 in millimetres and needs no display. Programs and what they
must keep to (FILE.limits.json beside each: safe_z, travel) are written by the Rust example write_program, or found in
BONEWRIGHT_PROGRAMS; our motions come from the example replay.
"""

import json
import os
import re
import subprocess
from pathlib import Path

import pytest
from conftest import TREE, tool

# The interpreter prints four decimals: half of the last one, in its unit, comes on top.
AGREE_MM = 0.0005
PRINTED = 0.00005
INCH = 25.4
SLACK_Z_MM = 0.003
PLANES = {"XY": (0, 1, 2), "XZ": (2, 0, 1), "YZ": (1, 2, 0)}
COMMAND = re.compile(r"^\s*\d+\s+N\.*\d*\s+(\w+)\((.*)\)\s*$")
# Commands that say nothing about where the tool goes, or nothing that our programs change.
QUIET = {
    "SET_G5X_OFFSET", "SET_G92_OFFSET", "SET_XY_ROTATION", "SET_FEED_REFERENCE", "ON_RESET", "COMMENT", "SET_FEED_MODE",
    "USE_TOOL_LENGTH_OFFSET", "SELECT_TOOL", "START_CHANGE", "SET_SPINDLE_MODE", "PALLET_SHUTTLE", "MESSAGE",
    "SET_MOTION_CONTROL_MODE", "FLOOD_ON", "FLOOD_OFF", "MIST_OFF", "DWELL",
}  # fmt: skip


def cargo(*args):
    command = ["cargo", "run", "--quiet", "-p", "bonewright-machining", "--example", *map(str, args)]
    done = subprocess.run(command, cwd=TREE, capture_output=True, text=True, timeout=1800)
    assert done.returncode == 0, f"{command}: exit {done.returncode}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="session")
def programs(tmp_path_factory):
    folder = Path(os.environ.get("BONEWRIGHT_PROGRAMS") or tmp_path_factory.mktemp("programs"))
    if "BONEWRIGHT_PROGRAMS" not in os.environ:
        cargo("write_program", "--", folder)
    found = sorted(folder.rglob("*.ngc"))
    assert found, f"no program in {folder}"
    return found


def interpreted(path):
    """Motions as the interpreter prints them, mm."""
    unit, plane, feed, spindle, speed, number, at = 1.0, "XY", 0.0, False, 0.0, 1, [0.0, 0.0, 0.0]
    motions, ended = [], False
    for line in tool("rs274", "-g", path).splitlines():
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


def test_every_program(programs):
    for path in programs:
        theirs = interpreted(path)
        ours = [json.loads(line) for line in cargo("replay", "--", path).splitlines()]
        assert len(ours) == len(theirs), path.name
        for a, b in zip(ours, theirs):
            where = f"{path.name}, line {a['line']}: {a} against {b}"
            assert a["kind"] == b["kind"], where
            assert near(a["to"], b["to"], b["unit"]), where
            assert a["tool"] == b["tool"] and a["spindle"] == b["spindle"], where
            assert abs(a["feed"] - b["feed"]) <= 0.01, where
            if a["kind"] == "arc":
                assert a["plane"] == b["plane"] and a["clockwise"] == b["clockwise"], where
                assert near(a["centre"], b["centre"], 2.0 * b["unit"]), where


def test_programs_keep_to_the_machine(programs):
    for path in programs:
        limits = json.loads(Path(f"{path}.limits.json").read_text())
        motions = interpreted(path)
        first, moving = motions[0], motions[1:]
        assert first["kind"] == "rapid" and first["to"][:2] == [0.0, 0.0], f"{path.name}: it does not first go up"
        places = [m["to"] for m in moving]
        for axis, travel in enumerate(limits["travel"]):
            extent = max(p[axis] for p in places) - min(p[axis] for p in places)
            assert extent <= travel, f"{path.name}: {extent} mm along axis {axis}"
        for m in moving:
            if m["kind"] == "rapid":
                sideways = m["from"][:2] != m["to"][:2]
                assert not sideways or lowest(m) >= limits["safe_z"] - SLACK_Z_MM, f"{path.name}: {m}"
            else:
                assert m["spindle"] > 0.0 and m["feed"] > 0.0, f"{path.name}: {m}"


def test_the_interpreter_can_say_no(tmp_path):
    """It does refuse what it should, so that its silence means something."""
    bad = tmp_path / "bad.ngc"
    bad.write_text("G21 G90 G17 G94\nF100\nG2 X2 Y0 I1.5 J0\nM30\n")
    with pytest.raises(AssertionError):
        interpreted(bad)
