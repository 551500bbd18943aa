"""Jobs to cut: every example of one saddle or a nut, and jobs of our own, each an example with a few lines changed."""

import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

TREE = Path(__file__).resolve().parents[2]
# Of several saddles each is cut as a job of its own.
EXAMPLES = sorted(p for p in (TREE / "examples").glob("*.toml") if "\n[[saddle]]" not in p.read_text())

INCH_MILL = """
[[machine]]
name = "own mill in inches"
travel = ["10 in", "5 in", "7 in"]
feed_most = [1500, 1500, 900]
rapid = [2500, 2500, 1500]
acceleration = [250, 250, 200]
spindle = [500, 15000]
spindle_up = 3
corner = "0.005 mm"
unit = "in"
arcs = true
tool_lengths = "table"
top_z = "0 in"
g = ["G0", "G1", "G2", "G3", "G4", "G17", "G18", "G19", "G20", "G21", "G40", "G43", "G49", "G53", "G54", "G80", "G90", "G91.1", "G94"]
m = ["M2", "M3", "M5", "M6", "M30"]
letters = "XYZIJKFSTNPH"
source = "own"
"""

PLAIN_ROUTER = """
[[machine]]
name = "own plain router"
travel = ["180 mm", "90 mm", "50 mm"]
feed_most = [900, 900, 300]
rapid = [1200, 1200, 300]
acceleration = [80, 80, 40]
spindle = [10000, 20000]
spindle_up = 6
corner = "0 mm"
unit = "mm"
arcs = true
tool_change = false
g = ["G0", "G1", "G2", "G3", "G4", "G17", "G21", "G54", "G90", "G91.1", "G94"]
m = ["M3", "M5", "M30"]
letters = "XYZIJFSP"
source = "own"
"""

BY_HAND_ROUTER = """
[[machine]]
name = "own router by hand"
travel = ["300 mm", "200 mm", "90 mm"]
feed_most = [1800, 1800, 600]
rapid = [3000, 3000, 800]
acceleration = [200, 200, 100]
spindle = [6000, 24000]
spindle_up = 5
corner = "0.01 mm"
unit = "mm"
arcs = true
tool_lengths = "touch-off"
top_z = "0 mm"
line_most = 100
g = ["G0", "G1", "G2", "G3", "G4", "G17", "G21", "G40", "G49", "G53", "G54", "G61", "G64", "G80", "G90", "G91.1", "G94"]
m = ["M0", "M1", "M2", "M3", "M5", "M8", "M9", "M30"]
letters = "XYZIJKFSTNP"
source = "own"
"""


def cutter(name, number, diameter, stick_out="30 mm", cutting_length="14 mm", shape="ball"):
    return f"""
[[cutter]]
name = "{name}"
number = {number}
shape = "{shape}"
diameter = "{diameter}"
flutes = 2
cutting_length = "{cutting_length}"
stick_out = "{stick_out}"
shank = "{diameter}"
collet = "18 mm"
source = "own"
"""


BALL_16TH = cutter("ball 1/16 in", 16, "1.5875 mm", cutting_length="6 mm")
BALL_HALF = cutter("ball 1/2 in", 17, "12.7 mm", stick_out="45 mm", cutting_length="25 mm")
FLAT_8TH = cutter("flat 1/8 in", 18, "3.175 mm", shape="flat", cutting_length="16 mm")
WINGS = '{ bass = [["0 mm", "5.2 mm"], ["5 mm", "6.6 mm"], ["9 mm", "9.5 mm"]], treble = [["0 mm", "5 mm"], ["10 mm", "8.4 mm"]] }'
LOW_JAWS = '{ jaw_height = "3 mm" }'
PARLOUR_STOCK = '{ thickness = "0.126 in", height = "0.6 in", length = "3.4 in", bass_margin = "0.15 in" }'


@dataclass(frozen=True)
class Job:
    """A job file to be, and what is cut of it."""

    name: str
    example: str
    changes: dict = field(default_factory=dict, hash=False, compare=False)
    profiles: str = ""
    parts: tuple = ("saddle",)
    machine: str | None = None

    def text(self):
        return changed((TREE / "examples" / f"{self.example}.toml").read_text(), self.changes)


OWN = [
    Job("tall", "parlour", {"cut.stock": '{ height = "17 mm" }', "cut.vise": '{ jaw_height = "4 mm" }'}),
    Job("no-higher-than-needed", "parlour", {"cut.stock": '{ height = "9.9 mm" }'}),
    Job("thin", "nylon-drop-in", {"blank.thickness": "2.2", "slot.width": "2.25", "crown.rounding": "0.4"}),
    Job("thick", "parlour-both", {"blank.thickness": '"0.26"', "slot.width": '"0.262"', "cut.tape": "{ tabs = 3 }"}),
    Job("winged", "parlour", {"cut.ends": '"winged"', "cut.wings": WINGS, "cut.stock": PARLOUR_STOCK, "cut.vise": LOW_JAWS}),
    Job("winged-left", "parlour", {"left_handed": "true", "cut.ends": '"winged"', "cut.wings": WINGS, "cut.vise": LOW_JAWS}),
    Job("stepped", "parlour", {"crown.ridge": '"stepped"', "cut.finisher": '"ball 1.5 mm"'}),
    Job("stepped-left", "twelve-string", {"left_handed": "true", "cut.stock": '{ length = "3 1/4 in", bass_margin = "0.1 in" }'}),
    Job("twelve-smooth", "twelve-string", {"crown.ridge": '"smooth"', "cut.scallop": '"0.003 mm"'}),
    Job("left-handed", "parlour-both", {"left_handed": "true", "cut.stock": '{ length = "3.3 in", bass_margin = "0.05 in" }'},
        parts=("saddle", "nut")),
    Job("lean-0", "parlour", {"slot.lean": "0", "cut.zero": '"raw top"'}),
    Job("lean-20", "parlour-both", {"slot.lean": "20", "cut.spindle": "16000"}),
    Job("ball-sixteenth", "parlour", {"cut.finisher": '"ball 1/16 in"'}, BALL_16TH),
    Job("ball-half", "parlour-both", {"cut.finisher": '"ball 1/2 in"', "cut.vise": LOW_JAWS}, BALL_HALF,
        machine="small ballscrew mill"),
    Job("inches", "parlour-both", {"cut.rougher": '"flat 1/8 in"'}, INCH_MILL + FLAT_8TH, ("saddle", "nut"), "own mill in inches"),
    Job("plain-router", "sound", {"cut.zero": '"raw top"'}, PLAIN_ROUTER, machine="own plain router"),
    Job("by-hand", "nylon-nut", {"cut.stock": '{ height = "15 mm" }'}, BY_HAND_ROUTER, ("saddle", "nut"), "own router by hand"),
    Job("skin", "baritone-ukulele", {"cut.tape": '{ tabs = 0, tab_height = "0.4 mm" }', "cut.rougher": '"flat 2 mm"'}),
    Job("squared", "sound", {"cut.ends": '"square"', "cut.stock": '{ height = "16 mm", length = "90 mm", bass_margin = "4 mm" }'}),
    Job("steep-board", "parlour", {"instrument.board_radius": '"5"'}),
    Job("tapered", "eight-string", {"cut.finisher": '"tapered ball 0.5 mm"', "nut_cut.slot_leave": '"0.2 mm"', "nut_cut.zero": '"raw top"'},
        parts=("saddle", "nut")),
]  # fmt: skip


def changed(text, changes):
    """A job's text with values of keys put in or replaced: "table.key", or "key" at the top of the file."""
    lines = text.splitlines()
    for where, value in changes.items():
        table, _, key = where.rpartition(".")
        heads = [i for i, line in enumerate(lines) if re.match(r"\s*\[", line)] + [len(lines)]
        if not table:
            start, end = 0, heads[0]
        elif f"[{table}]" in [line.split("#")[0].strip() for line in lines]:
            start = next(i for i, line in enumerate(lines) if line.split("#")[0].strip() == f"[{table}]") + 1
            end = next(i for i in heads if i >= start)
        else:
            lines += ["", f"[{table}]"]
            start = end = len(lines)
        found = [i for i in range(start, end) if re.match(rf"\s*{key}\s*=", lines[i])]
        if found:
            lines[found[0]] = f"{key} = {value}"
        else:
            lines.insert(start, f"{key} = {value}")
    text = "\n".join(lines) + "\n"
    tomllib.loads(text)
    return text


def written(job, folder):
    """Writes the job and its profiles; the arguments that name them."""
    path = Path(folder) / f"{job.name}.toml"
    path.write_text(job.text())
    if not job.profiles:
        return path, []
    profiles = Path(folder) / f"{job.name}-profiles.toml"
    profiles.write_text(job.profiles)
    return path, ["--profiles", str(profiles)]
