"""Programs as the stand-alone RS-274/NGC interpreter of Debian's linuxcnc-uspace carries them out.

`rs274 -g FILE` prints canonical commands, four decimals in the program's unit; it starts at 0, 0, 0 in millimetres and needs no
display. Places that it prints are those of the program; the length by which the controller moves the spindle up for the tool
is told apart, by USE_TOOL_LENGTH_OFFSET. Where the tip stands in the work is worked out here:

    tip = place + length in force - length of the tool in the spindle + what the zero was set by

The last term is nought where the work's zero was set by lengths of the tool table. After a stop at which a tool is touched off
it makes tip and place the same, for the length in force at that stop.
"""

import functools
import os
import re
import subprocess
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

INCH = 25.4
# The interpreter prints four decimals: half of the last one, in the program's unit.
PRINTED = 0.00005
PLANES = {"XY": (0, 1, 2), "XZ": (2, 0, 1), "YZ": (1, 2, 0)}
COMMAND = re.compile(r"^\s*\d+\s+N\.*\d*\s+(\w+)\((.*)\)\s*$")
# A comment before a stop at which the tool is changed by hand.
BY_HAND = re.compile(r"Tool (\d+): put in")
# Commands that say nothing about where the tool goes, or nothing that our programs change.
QUIET = {
    "SET_G5X_OFFSET", "SET_G92_OFFSET", "SET_XY_ROTATION", "SET_FEED_REFERENCE", "ON_RESET", "COMMENT", "SET_FEED_MODE",
    "START_CHANGE", "SET_SPINDLE_MODE", "PALLET_SHUTTLE", "MESSAGE", "SET_MOTION_CONTROL_MODE", "FLOOD_ON", "FLOOD_OFF",
    "MIST_OFF", "MIST_ON", "DWELL",
}  # fmt: skip
TOOL_NUMBERS = range(1, 21)
# No two tools are as long as each other, and none as long as it sticks out.
UNEQUAL = {number: 31.7 + 7.3 * number + 0.011 * number**2 for number in TOOL_NUMBERS}
EQUAL = {number: 0.0 for number in TOOL_NUMBERS}
EMPTY = {}


class Refuses(AssertionError):
    """The interpreter does not carry the program out."""


@dataclass
class Ran:
    """What the interpreter does with a program, mm. Each motion's `to` and `from` are places of the program; `length` is
    the length in force less that of the tool in the spindle, where the program changes tools."""

    # As the interpreter has it.
    printed: str = ""
    motions: list = field(default_factory=list)
    # Number of motions that went before each stop for the operator, and before each change of tool.
    stops: list = field(default_factory=list)
    changes: list = field(default_factory=list)


@functools.cache
def home(process):
    """A home folder for each process: the interpreter keeps its tools in a file there that all who run share."""
    return tempfile.mkdtemp(prefix=f"rs274-{process}-")


# How far the machine's own nought stands above the program's, mm: a program goes up there by G53 before a hand changes the tool.
TOP = 300.0


@functools.cache
def offsets(process):
    """The controller's parameters: Z of G54, in inches like the tool table."""
    path = Path(home(process)) / "offsets.var"
    path.write_text(f"5220\t1\n5221\t0\n5222\t0\n5223\t{-TOP / INCH:.9f}\n")
    return path


@functools.cache
def table(lengths):
    """A tool table: its file's lengths are inches, whatever the program's unit."""
    path = Path(tempfile.mkdtemp()) / "tool.tbl"
    path.write_text("".join(f"T{n} P{n} D+1.0 Z+{length / INCH:.9f} ;\n" for n, length in lengths))
    return path


def printed(program, lengths=EQUAL):
    """What the interpreter prints of a program on a controller whose tool table holds `lengths`, mm by number.

    Refuses: if it does not carry the program out.
    """
    command = ["rs274", "-t", str(table(tuple(lengths.items()))), "-v", str(offsets(os.getpid())), "-g", str(program)]
    env = os.environ | {"HOME": home(os.getpid())}
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, env=env)
    said = " ".join(line for line in done.stderr.split("\n") if line.strip() != "executing").strip()
    if done.returncode != 0 or said:
        raise Refuses(f"{Path(program).name}: the interpreter says: {said or done.stdout[-300:]} (exit {done.returncode})")
    return done.stdout


def interpreted(program, lengths=EQUAL):
    """Carries a program out; as `printed`. Refuses: also if the interpreter does not come to the program's end."""
    return canonical(printed(program, lengths), Path(program).name, lengths)


def canonical(text, name, lengths):
    """The motions of what the interpreter printed."""
    unit, plane, feed, spindle, speed, at = 1.0, "XY", 0.0, False, 0.0, [0.0, 0.0, 0.0]
    selected, tool, offset, set_by, ended = None, None, 0.0, 0.0, False
    # Tools that a hand puts in while the program waits.
    asked, hand = None, None
    ran = Ran(text)
    for line in text.splitlines():
        if line.strip() in ("", "executing"):
            continue
        match = COMMAND.match(line)
        if not match:
            raise Refuses(f"{name}: the interpreter says: {line}")
        command, inside = match.groups()
        values = [float(v) for v in re.findall(r"-?\d+\.?\d*", inside)] if command not in ("COMMENT", "MESSAGE") else []
        length = offset - (lengths.get(tool, 0.0) if tool else 0.0) + set_by
        motion = {
            "feed": 0.0, "spindle": speed if spindle else 0.0, "tool": tool or hand, "from": at, "unit": unit, "length": length,
        }  # fmt: skip
        if command == "USE_LENGTH_UNITS":
            unit = INCH if "INCH" in inside else 1.0
        elif command == "SELECT_PLANE":
            plane = inside.strip().removeprefix("CANON_PLANE_")
        elif command == "SET_FEED_RATE":
            feed = values[0] * unit
        elif command == "SET_SPINDLE_SPEED":
            speed = values[1]
        elif command == "START_SPINDLE_CLOCKWISE":
            spindle = True
        elif command == "STOP_SPINDLE_TURNING":
            spindle = False
        elif command == "SELECT_TOOL":
            selected = int(values[0])
        elif command == "CHANGE_TOOL":
            # It prints the place in the table here, not the number.
            tool = selected
            ran.changes.append(len(ran.motions))
        elif command == "USE_TOOL_LENGTH_OFFSET":
            assert values[0] == values[1] == 0.0 and not any(values[3:]), f"{name}: {line}"
            offset = values[2] * unit
        elif command in ("PROGRAM_STOP", "OPTIONAL_PROGRAM_STOP"):
            ran.stops.append(len(ran.motions))
            set_by = (lengths.get(tool, 0.0) if tool else 0.0) - offset
            hand = asked
        elif command == "COMMENT" and (told := BY_HAND.search(inside)):
            asked = int(told.group(1))
        elif command == "PROGRAM_END":
            ended = True
        elif command in ("STRAIGHT_TRAVERSE", "STRAIGHT_FEED"):
            to = [v * unit for v in values[:3]]
            kind = "rapid" if command == "STRAIGHT_TRAVERSE" else "line"
            ran.motions.append(motion | {"kind": kind, "to": to, "feed": feed if kind == "line" else 0.0})
            at = to
        elif command == "ARC_FEED":
            a, b, c = PLANES[plane]
            end_a, end_b, centre_a, centre_b, turns, end_c = values[:6]
            assert abs(turns) == 1, f"{name}: {line}"
            to, centre = [0.0] * 3, list(at)
            to[a], to[b], to[c] = end_a * unit, end_b * unit, end_c * unit
            centre[a], centre[b] = centre_a * unit, centre_b * unit
            arc = {"kind": "arc", "to": to, "feed": feed, "plane": plane, "centre": centre, "clockwise": turns < 0}
            ran.motions.append(motion | arc)
            at = to
        elif command not in QUIET:
            raise Refuses(f"{name}: unexpected {line}")
    if not ended:
        raise Refuses(f"{name}: the interpreter saw no end")
    return ran
