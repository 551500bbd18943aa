"""Programs that `bonewright cut` writes, carried out by the interpreter and by a removal simulation, and what is wrong with them.

The block is the one that the head of the program names (the setup sheet has the same figures); what one program leaves is what
the next one meets, and with both setups the second begins with what the first left. A flat setup looks at the part from behind:
there the block's height at a place is the farthest back that its material stands.
"""

import functools
import hashlib
import itertools
import json
import os
import re
import subprocess
import tempfile
import time
import tomllib
from dataclasses import dataclass, field, replace
from pathlib import Path

import interpreter
import jobs
import numpy as np
import removal
from interpreter import EMPTY, UNEQUAL, Refuses, interpreted, printed
from part import CHORDS, Part
from removal import Field, Places
from scipy.interpolate import PchipInterpolator
from scipy.ndimage import maximum_filter
from scipy.spatial import cKDTree

BINARY = os.environ.get("BONEWRIGHT_BIN", "")
# Exit code of a program that is not in order and so was not written.
REFUSED = 4
# Deepest into the part, mm.
GOUGE = 0.002
# The program's own simulation has cells of 0.025 mm and less, on whose middles no ridge between two passes lies: it is told up to
# 0.5 cell * sqrt(2 * 0.015 / 0.79) = 0.0024 mm too low, and in whole micrometres.
CLAIM = 0.0005 + 0.0024
# Walls are told by the program to a tenth of its limits.
RUNG = 0.0015
# A tip that stands where it should, within what the interpreter prints.
TIP = 0.001
# Heights that programs write are rounded, mm.
SLACK_Z = 0.003
# Where our reader and the interpreter agree.
AGREE = 0.0005
# Lattice, mm: of a crown, whose ways run along it; of slots, whose grooves run across; and of an outline, whose walls are judged
# apart.
ALONG, ACROSS = 0.08, 0.04
SLOT_ALONG, SLOT_ACROSS = 0.01, 0.2
FLAT = 0.1
# Steps along a wall, and how far a tab's rounding is not told apart from the wall, mm.
WALL = 0.05
TAB_START = 0.4
# Way over which a surface is looked at for an inner corner, to either side, mm.
TURN_OVER = 0.1
# A rapid move may touch what stands by this, mm.
TOUCH = 0.001
# A motion that ends higher than this goes to the machine's own top.
AT_TOP = 0.5 * interpreter.TOP


def bonewright(*args):
    assert BINARY, "set BONEWRIGHT_BIN to the built program"
    return subprocess.run([BINARY, *map(str, args)], capture_output=True, text=True, timeout=600)


@dataclass
class Spec:
    """One run of `cut`."""

    job: jobs.Job
    part: str
    setup: str
    machine: str | None
    # Whether our own reader is held against the interpreter.
    read: bool = True

    @property
    def name(self):
        machine = "" if self.machine is None else f"-{self.machine.replace(' ', '-').replace(',', '')}"
        return f"{self.job.name}-{self.part}-{self.setup}{machine}"


@dataclass
class Head:
    """What the head of a program says, mm."""

    setup: str
    length: float
    thickness: float
    height: float
    zero: str
    tools: dict
    unit: str
    # The outline was cut before: a nut is always so but flat.
    outlined: bool

    def snapped(self, sizes):
        """The same with sizes that the job or the plan has, which the head rounds."""
        rounded = 0.0014 if "in" == self.unit else 0.0006

        def snap(value):
            return min([s for s in sizes if abs(s - value) < rounded], key=lambda s: abs(s - value), default=value)

        return replace(self, length=snap(self.length), thickness=snap(self.thickness), height=snap(self.height))

    @staticmethod
    def of(text):
        setup = re.search(r"^\(Setup: (?:nut-)?([a-z-]+),", text, re.M).group(1)
        stock = re.search(r"^\(Stock: ([\d.]+) (mm|in) long, ([\d.]+) \2 thick, ([\d.]+) \2 high\)", text, re.M)
        unit = interpreter.INCH if stock.group(2) == "in" else 1.0
        sizes = [unit * float(stock.group(i)) for i in (1, 3, 4)]
        zero = " ".join(re.findall(r"^\(Zero: (.*)\)", text, re.M))
        tools = {int(n): name for n, name in re.findall(r"^\(Tool (\d+): (?!put in)([^,)]+)", text, re.M)}
        outlined = bool(re.search(r"^\(Setup: (nut-on|.*outline cut before)", text, re.M))
        return Head(setup, *sizes, zero, tools, stock.group(2), outlined)

    @property
    def seat(self):
        """Z of what the block stands or lies on."""
        raw = re.search(r"Z at the (raw top|highest place|face that lies up|end that stands up)", self.zero)
        rise = {"on-edge": self.height, "flat": self.thickness, "on-end": self.length}[self.setup]
        return -rise if raw else 0.0


@dataclass
class Claim:
    """What the program says of what it leaves, mm."""

    gouge: float
    excess: float
    corners: float
    # Z down to which the ends are rounded, if it is told.
    rounded: float | None
    # Tabs that are told to be fewer than were asked for.
    tabs: int | None
    # Strings whose slots get no groove, and what is left down to the floor of each.
    ungrooved: tuple
    left: str

    @staticmethod
    def all(text):
        """By setup, from the account that `cut` prints."""
        found, text = {}, " ".join(text.split())
        parts = re.split(r"(?:Cutting|Nut) (on edge|flat|on end):", text)
        for way, account in zip(parts[1::2], parts[2::2]):
            words = re.search(r"at most (\d+) micrometres too deep, (\d+) micrometres left over", account)
            corners = re.search(r"(\d+) micrometres left in inner corners", account)
            figures = [0.001 * int(figure) for figure in (*words.groups(), corners.group(1) if corners else 0)]
            rounded = re.search(r"rounded down to Z (-?[\d.]+) mm", account)
            tabs = re.search(r"(\d+) of \d+ tabs found room", account)
            tabs = int(tabs.group(1)) if tabs else 0 if "no tabs are left" in account else None
            none = re.findall(r"No groove for strings? (.*?):", account)
            ungrooved = tuple(int(n) for words in none for n in re.findall(r"(\d+) \(", words))
            left = re.search(r"Left down to the floor: (.*?)\. ", account + " ")
            found[way.replace(" ", "-")] = Claim(
                *figures, float(rounded.group(1)) if rounded else None, tabs, ungrooved, left.group(1) if left else ""
            )
        return found


@dataclass
class Found:
    """What came of one run of `cut`."""

    name: str
    code: int
    said: str
    programs: int = 0
    moves: int = 0
    # What is wrong, in words, by kind: "lengths", "positions", "removal".
    wrong: dict = field(default_factory=lambda: {"lengths": [], "positions": [], "removal": []})
    # Worst figures, mm.
    gouge: float = 0.0
    excess: float = 0.0
    over_claim: float = -np.inf
    seconds: float = 0.0

    def add(self, other):
        for kind, words in other.wrong.items():
            self.wrong[kind] += words
        self.gouge, self.excess = max(self.gouge, other.gouge), max(self.excess, other.excess)
        self.over_claim = max(self.over_claim, other.over_claim)


class Saddle:
    """The finished saddle in a block: STL, ends of the job, and where it lies."""

    def __init__(self, stl, plan, job):
        self.part = Part.of(stl)
        cut = job.get("cut", {})
        unit = job.get("unit")
        self.margin = length(cut.get("stock", {}).get("bass_margin", "0 mm"), unit)
        self.left_handed = plan["left_handed"]
        ends = cut.get("ends", "round" if plan["blank"]["kind"] == "drop-in" else "square")
        self.round = ends == "round"
        assert not self.round or self.part.round, "no reference for rounded ends of a through saddle"
        self.wings = None
        if ends == "winged":
            self.wings = {
                side: np.array([[length(v, unit) for v in point] for point in cut["wings"][side]]) for side in ("bass", "treble")
            }
        self.thickness = self.part.thickness
        self.size = self.part.ends[1] - self.part.ends[0]
        self.low, self.high, self.shift = *self.part.ends, 0.0
        crest = self.silhouette(np.unique(np.concatenate((self.knots(), np.linspace(*self.part.ends, 4001))))).max()
        self.sizes = [*stock_sizes(cut, job["blank"], unit), self.size, crest]

    def lie(self, head):
        """X of the program where the STL's X is nought."""
        margin = 0.0 if head.outlined else self.margin
        self.low = head.length - margin - self.size if self.left_handed else margin
        self.shift = self.low - self.part.ends[0]
        self.high = self.low + self.size
        return self

    def cap(self, x):
        """Height of the wings, in the program's X."""
        if self.wings is None:
            return np.full_like(x, np.inf)
        low, high = ("treble", "bass") if self.left_handed else ("bass", "treble")
        cap = np.full_like(x, np.inf)
        for side, inward in ((low, x - self.low), (high, self.high - x)):
            points = self.wings[side]
            height = np.interp(inward, points[:, 0], points[:, 1])
            cap = np.minimum(cap, np.where(inward < points[-1, 0], height, np.inf))
        return cap

    def height(self, x, y):
        """Over the bottom edge; not a number outside of the part."""
        height = np.minimum(self.part.height(x - self.shift, y), self.cap(x + 0.0 * y))
        half = 0.5 * self.thickness
        off = np.abs(y + half)
        if self.round:
            # Nearer to a wall than it may be cut, a place is neither part nor air; the wall itself is judged apart.
            beyond = np.maximum(np.maximum(self.low + half - x, x - self.high + half), 0.0)
            inside = np.hypot(beyond, off) < half - GOUGE
        else:
            inside = (x >= self.low) & (x <= self.high) & (off <= half)
        return np.where(inside, height, np.nan)

    def half_width(self, x):
        if not self.round:
            return np.full_like(x, 0.5 * self.thickness)
        return self.part.half_width(x - self.shift)

    def silhouette(self, x):
        return np.minimum(self.part.silhouette(x - self.shift, self.half_width(x)), self.cap(x))

    def knots(self):
        """X of the sections that are known exactly."""
        return self.part.x + self.shift

    allowance = CHORDS


class Nut:
    """The finished nut as the plan tells it; there is no STL of one."""

    allowance = 0.0
    round = False

    def __init__(self, plan, job):
        cut = job.get("nut_cut", {})
        unit = job.get("unit")
        self.plan, self.strings = plan, plan["strings"]
        self.left_handed = plan["left_handed"]
        self.thickness = plan["blank"]["thickness"]
        self.ends, self.fall = plan["ends"], np.tan(plan["fall"])
        self.size = self.ends[1] - self.ends[0]
        margin = cut.get("stock", {}).get("bass_margin")
        self.margin = None if margin is None else length(margin, unit)
        self.along = np.array([s["along"] for s in self.strings])
        self.tops = PchipInterpolator(self.along, [s["top"] for s in self.strings])
        backs = [s["back"] for s in self.strings]
        self.lift = max(max(backs) * self.fall, -self.thickness * self.fall)
        self.low, self.high = 0.0, self.size
        crest = self.silhouette(np.unique(np.concatenate((np.linspace(0.0, self.size, 4001), self.knots())))).max()
        self.sizes = [*stock_sizes(cut, job["nut_blank"], unit), self.size, crest]

    def lie(self, head):
        margin = self.margin
        if head.outlined:
            margin = 0.0
        elif margin is None:
            margin = 0.5 * (head.length - self.size)
        self.low = head.length - margin - self.size if self.left_handed else margin
        self.high = self.low + self.size
        return self

    def u(self, x):
        """Along the blank from its bass end."""
        return self.ends[1] - (x - self.low) if self.left_handed else self.ends[0] + (x - self.low)

    def x(self, u):
        return self.low + (self.ends[1] - u) if self.left_handed else self.low + (u - self.ends[0])

    def top(self, x):
        """At the bearing edges; beyond the outer strings straight on, no steeper than 0.16."""
        u = self.u(x)
        held = np.clip(u, self.along[0], self.along[-1])
        return self.tops(held) + np.clip(self.tops.derivative()(held), -0.16, 0.16) * (u - held)

    def silhouette(self, x):
        """As cut: level from front to back, as high as at the front face."""
        return self.top(x) + self.lift

    def knots(self):
        return np.sort(self.x(self.along))

    def slot(self, string):
        """Its width, floor and place along at a distance back from the front face."""
        return (
            string["width"],
            lambda b: string["floor"] - (b - string["back"]) * self.fall,
            lambda b: self.x(string["along"] + np.tan(string["fan"]) * (b - string["back"])),
        )

    def slotted(self, x, y):
        """The finished nut with its slots: nothing of it may be cut."""
        b = -y
        height = np.full(np.broadcast(x, y).shape, -np.inf)
        tops = self.top(x)
        # Between two strings the top falls back from the one whose bearing edge lies farther forward: what is sure of both.
        near = np.abs(self.x(self.along)[:, None] - np.ravel(x)[None, :]).argmin(axis=0)
        back = np.array([s["back"] for s in self.strings])[near].reshape(np.shape(x))
        height = np.broadcast_to(tops - (b - back) * self.fall, height.shape).copy()
        for string in self.strings:
            width, floor, place = self.slot(string)
            p = np.abs(x - place(b)) * np.cos(string["fan"])
            half = 0.5 * width
            bottom = floor(b) + half - np.sqrt(np.maximum(half * half - p * p, 0.0))
            height = np.where(p < half, np.minimum(height, bottom), height)
        return height


def stock_sizes(cut, blank, unit):
    """The stock's sizes and the blank's as the job has them, mm."""
    names = ("length", "height", "thickness")
    return [length(table[name], unit) for table in (cut.get("stock", {}), blank) for name in names if name in table]


def length(value, unit):
    if isinstance(value, (int, float)) or re.fullmatch(r"[-+.\d/ ]+", value):
        value = f"{value} {unit}"
    return removal.millimetres(value)


@functools.cache
def drawn(binary, job_path, part, more):
    """The job's part, planned and drawn."""
    assert binary
    job = tomllib.loads(Path(job_path).read_text())
    plan = json.loads(bonewright("plan", job_path, "--json", "--part", part, *more).stdout)
    if part == "nut":
        return Nut(plan, job)
    folder = tempfile.mkdtemp()
    done = bonewright("draw", job_path, "--part", "saddle", "--only", "stl", "--out", folder, *more)
    assert done.returncode == 0, done.stderr
    return Saddle(next(Path(folder).glob("*.stl")), plan, job)


def steps(low, high, step, *more):
    """Places from low to high, both of them, and more between."""
    count = max(2, int(np.ceil((high - low) / step)) + 1)
    places = np.concatenate([np.linspace(low, high, count), *more])
    return np.unique(places[(places >= low) & (places <= high)])


def program_parts(ran, head):
    """Motions with their tool's number, in runs of one tool; the first way up is left out."""
    moving = ran.motions[1:]
    for motion in moving:
        # The first tool is in before the program starts where the program does not change it.
        motion["cutter"] = motion["tool"] or next(iter(head.tools))
    return [(number, list(run)) for number, run in itertools.groupby(moving, key=lambda m: m["cutter"])]


class Block:
    """The block while programs take it away."""

    def __init__(self, part, head, before=None):
        self.part, self.head = part.lie(head), head
        if head.setup == "flat":
            ys = steps(0.0, head.height, FLAT)
            xs = steps(0.0, head.length, FLAT, [part.low, part.high])
            top = head.thickness
        else:
            along, across = (SLOT_ALONG, SLOT_ACROSS) if isinstance(part, Nut) else (ALONG, ACROSS)
            ys = steps(-head.thickness, 0.0, across)
            xs = steps(0.0, head.length, along, part.knots(), [part.low, part.high])
            top = head.height
        self.field = Field(xs, ys, top)
        if head.outlined:
            # It is out of the stock, and what tabs or skin left is filed flush.
            self.field.z[:] = part.silhouette(xs)[:, None]
        self.done = []
        if before is not None:
            self.carry(before)

    def carry(self, before):
        """Begins with what another setup left, to a cell of its lattice more: walls are judged in the setup that cuts them."""
        assert before.head.setup != self.head.setup
        xs, ys = self.field.xs, self.field.ys
        # Where this block's X is nought in the other: each setup names its own stock.
        other_x = xs - self.part.low + before.low
        i = np.clip(np.searchsorted(before.field.xs, other_x), 0, len(before.field.xs) - 1)
        left = np.maximum(before.field.z[i], before.field.z[np.maximum(i - 1, 0)])
        if self.head.setup == "flat":
            # Farthest back at which something stands as high as this.
            backs = -before.field.ys
            for j, y in enumerate(ys):
                stands = np.where(left >= y, backs[None, :], -np.inf)
                self.field.z[:, j] = np.minimum(self.field.z[:, j], np.maximum(stands.max(axis=1), 0.0) + ACROSS)
        else:
            for j, y in enumerate(ys):
                stands = np.where(left >= -y, before.field.ys[None, :], 0.0)
                self.field.z[:, j] = np.minimum(self.field.z[:, j], stands.max(axis=1) + FLAT)

    def left(self):
        """What stays, for the next setup."""
        self.low = self.part.low
        return self

    def cut(self, program, runs, cutters):
        """Takes a program's motions off. Motions are told over the seat from here on."""
        wrong, seat = [], self.head.seat
        for number, motions in runs:
            tool = cutters[self.head.tools[number]]
            moved = []
            for m in motions:
                lift = np.array([0.0, 0.0, m["length"] - seat])
                moved.append(m | {k: list(np.array(m[k]) + lift) for k in ("from", "to", "centre") if k in m})
            if tool.shape == "saw":
                rapid = self.saw(moved, tool)
            else:
                rapid = self.field.cut(moved, tool)
            if rapid > TOUCH:
                wrong.append(f"{program}: a rapid move of tool {number} goes {rapid:.4f} mm into what stands")
            self.done.append((number, tool, moved))
        return wrong

    def saw(self, motions, tool):
        """A blade on an upright axis beside a nut that stands on end: its rim, in the plane of height and front to back."""
        rapid, wheel = 0.0, removal.Cutter("rim", "ball", tool.radius, ball=tool.radius)
        ys = self.field.ys
        for m in motions:
            low, high = min(m["from"][2], m["to"][2]), max(m["from"][2], m["to"][2])
            i0, i1 = np.searchsorted(self.field.xs, (self.head.length - high - tool.thickness, self.head.length - low))
            if i0 == i1:
                continue
            for piece in removal.pieces([m]):
                assert piece[0] == "line"
                a, b = ([p[1], 0.0, p[0] - tool.radius] for p in piece[1:])
                rim = removal.lowest(wheel, ("line", a, b), ys, np.zeros_like(ys))[None, :]
                window = self.field.z[i0:i1]
                if m["kind"] == "rapid":
                    rapid = max(rapid, float((window - rim).max()))
                np.minimum(window, rim, out=window)
        return rapid


def wall_of(part):
    """Places on the wall of a flat outline, from the low end over the top to the high end, and unit vectors outward."""
    low, high = part.low, part.high
    eps = 1e-7
    xs = steps(low, high, WALL, part.knots())
    ys = part.silhouette(xs)
    low_end, high_end = (
        np.column_stack((np.full_like(up, x), up)) for x, up in ((x, steps(0.2, y, WALL)) for x, y in ((low, ys[0]), (high, ys[-1])))
    )
    slope = (part.silhouette(np.minimum(xs + eps, high)) - part.silhouette(np.maximum(xs - eps, low))) / (
        np.minimum(xs + eps, high) - np.maximum(xs - eps, low)
    )
    normal = np.column_stack((-slope, np.ones_like(slope))) / np.hypot(1.0, slope)[:, None]
    places = np.concatenate((low_end, np.column_stack((xs, ys)), high_end[::-1]))
    sides = [np.tile([side, 0.0], (len(end), 1)) for side, end in ((-1.0, low_end), (1.0, high_end))]
    return places, np.concatenate((sides[0], normal, sides[1]))


def way_off(points, motions, below):
    """Least distance in plan of places from the ways of motions that are nowhere higher than `below`."""
    off = np.full(len(points), np.inf)
    for piece in removal.pieces(m for m in motions if m["kind"] != "rapid"):
        if piece[0] == "arc":
            _, centre, radius, first, turn, z = piece
            if z <= below:
                np.minimum(off, removal.arc_off(points[:, 0], points[:, 1], centre, radius, first, turn), out=off)
            continue
        a, b = np.array(piece[1]), np.array(piece[2])
        if max(a[2], b[2]) > below:
            continue
        d = (b - a)[:2]
        square = d @ d
        t = np.clip(((points - a[:2]) @ d) / square, 0.0, 1.0) if square > 0 else np.zeros(len(points))
        np.minimum(off, np.hypot(*(points - a[:2] - t[:, None] * d).T), out=off)
    return off


def runs_of(flags):
    """First and last index of each run of true flags."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(int), [0]))))
    return list(zip(edges[::2], edges[1::2] - 1))


def judge_flat(block, claim, found, job_cut):
    part, wrong = block.part, found.wrong["removal"]
    (tool,) = {tool for _, tool, _ in block.done}
    motions = [m for _, _, moved in block.done for m in moved]
    places, outward = wall_of(part)
    # Where a cutter that touches the wall here would be in the part elsewhere, an inner corner stays.
    axis = places + tool.radius * outward
    near, _ = cKDTree(places).query(axis)
    reached = near > tool.radius - GOUGE
    off = way_off(places, motions, block.head.thickness - TOUCH) - tool.radius
    allow = part.allowance
    gouge = max(0.0, -off.min())
    found.gouge = max(found.gouge, gouge)
    if gouge > GOUGE + allow:
        at = places[off.argmin()]
        wrong.append(f"flat: the outline is cut {gouge:.4f} mm too deep at X {at[0]:.3f}, Y {at[1]:.3f}")
    floor = min(min(m["from"][2], m["to"][2]) for m in motions if m["kind"] != "rapid")
    tape = job_cut.get("tape", {})
    tabs, high = tape.get("tabs", 2), removal.millimetres(tape.get("tab_height", "0.6 mm"))
    if floor > (1e-4 if tabs else high + 1e-4):
        wrong.append(f"flat: the cut goes down to {floor:.4f} mm over the seat only")
    excess = way_off(places, motions, floor + TOUCH) - tool.radius
    told = claim.excess + CLAIM + RUNG + allow
    stays = (excess > told) & reached
    tabs_at = runs_of(stays)
    expected = tabs if claim.tabs is None else claim.tabs
    if len(tabs_at) != expected:
        spots = ", ".join(f"X {places[a][0]:.2f} to {places[b][0]:.2f}" for a, b in tabs_at)
        worst = excess[reached].max()
        wrong.append(f"flat: {expected} tabs are told and {len(tabs_at)} places stay ({spots}), {worst:.4f} mm")
    for a, b in tabs_at:
        wide = np.hypot(*(places[b] - places[a]))
        most = removal.millimetres(tape.get("tab_length", "4 mm")) + 2.0 * tool.radius
        if wide > most + 0.2:
            wrong.append(f"flat: a tab is {wide:.2f} mm long, and at most {most:.2f} was asked for")
        # A tab is of the block: it stands beside the part, and where it joins the rest.
        middle = (a + b) // 2
        for away in (0.5 * tool.radius, 2.0 * tool.radius + 0.7):
            x, y = places[middle] + away * outward[middle]
            i, j = (min(np.searchsorted(axis, v), len(axis) - 1) for axis, v in ((block.field.xs, x), (block.field.ys, y)))
            stands = block.field.z[i, j]
            if abs(x - block.field.xs[i]) > 2 * FLAT or abs(y - block.field.ys[j]) > 2 * FLAT or stands < high - 0.05:
                wrong.append(f"flat: a tab at X {x:.2f}, Y {y:.2f} stands on air: {stands:.3f} mm of {high:.3f}")
    # A tab begins with the rounding that the cutter leaves.
    beside = np.convolve(stays, np.ones(2 * int(TAB_START / WALL) + 1), "same") > 0
    free = excess[reached & ~beside]
    found.excess = max(found.excess, free.max())
    found.over_claim = max(found.over_claim, free.max() - claim.excess)


def judge_crown(block, claim, found):
    part, wrong = block.part, found.wrong["removal"]
    xs, ys = block.field.xs, block.field.ys
    wanted = part.height(xs[:, None], ys[None, :])
    off = block.field.z - wanted
    known = np.isin(xs, part.knots())
    exact, between = off[known], off[~known]
    gouge = max(0.0, -np.nanmin(off))
    found.gouge = max(found.gouge, gouge)
    # The interpreter prints places to 0.0001 of the program's unit.
    allow = GOUGE + interpreter.PRINTED * (interpreter.INCH if block.head.unit == "in" else 1.0)
    if -np.nanmin(exact) > allow or -np.nanmin(between) > allow + part.allowance:
        i, j = np.unravel_index(np.nanargmin(off), off.shape)
        wrong.append(f"on edge: {gouge:.4f} mm too deep at X {xs[i]:.3f}, Y {ys[j]:.3f}")
    finisher = block.done[-1][1]
    corner = inner_corners(wanted, xs, finisher.ball) if claim.corners else np.zeros(wanted.shape, bool)
    free = np.where(corner, -np.inf, off)
    excess = np.nanmax(free)
    found.excess = max(found.excess, excess)
    found.over_claim = max(found.over_claim, excess - claim.excess)
    for left, told in ((free, claim.excess), (np.where(corner, off, -np.inf), max(claim.excess, claim.corners))):
        if np.nanmax(left) > told + CLAIM + part.allowance:
            i, j = np.unravel_index(np.nanargmax(left), off.shape)
            wrong.append(f"on edge: {left[i, j]:.4f} mm is left at X {xs[i]:.3f}, Y {ys[j]:.3f}, and {told:.4f} mm is told")
    if part.round:
        judge_round(block, claim, found)


def inner_corners(height, xs, ball):
    """Places near which a surface turns upward along x, more sharply than the ball: within the ball's radius."""
    slope = np.gradient(np.nan_to_num(height), xs, axis=0)
    reach = int(TURN_OVER / ALONG)
    turn = np.zeros_like(slope)
    turn[reach:-reach] = slope[2 * reach :] - slope[: -2 * reach]
    # A ball turns by this over the same way.
    sharp = (turn > 2.0 * TURN_OVER / ball) & np.isfinite(height)
    return maximum_filter(sharp, (2 * int(ball / ALONG) + 1, 3))


def judge_round(block, claim, found):
    """The rounded ends of a drop-in saddle: upright walls down to a height that is told."""
    part, wrong = block.part, found.wrong["removal"]
    half = 0.5 * part.thickness
    turn = np.linspace(-0.5 * np.pi, 0.5 * np.pi, 160)[1:-1]
    # It is told to a hundredth.
    floor = (block.head.seat if claim.rounded is None else claim.rounded) - block.head.seat + 0.005
    for centre, side in ((part.low + half, -1.0), (part.high - half, 1.0)):
        outward = np.column_stack((side * np.cos(turn), np.sin(turn)))
        wall = np.array([centre, -half]) + half * outward
        crown = part.part.height(wall[:, 0] - part.shift, wall[:, 1])
        for away, name in ((-GOUGE, "inside"), (claim.excess + CLAIM + RUNG, "outside")):
            probe = Places(wall + away * outward, block.head.height)
            for _, tool, motions in block.done:
                probe.cut(motions, tool)
            if name == "inside" and (worst := (crown - probe.z).max()) > GOUGE + part.allowance + abs(away):
                wrong.append(f"on edge: the wall of a rounded end is cut: {worst:.4f} mm down, {-away:.4f} mm inside")
            if name == "outside" and (worst := (probe.z - floor).max()) > 0.0:
                wrong.append(f"on edge: {worst:.4f} mm stands over Z {floor:.3f}, {away:.4f} mm outside of a rounded end")
        for _, tool, motions in block.done:
            if tool.shape == "flat":
                depth = max(0.0, tool.radius - way_off(wall, motions, floor + 1.0).min())
                found.gouge = max(found.gouge, depth)


def judge_slots(block, claim, found):
    part, wrong = block.part, found.wrong["removal"]
    xs, ys = block.field.xs, block.field.ys
    wanted = part.slotted(xs[:, None], ys[None, :])
    off = block.field.z - wanted
    gouge = max(0.0, -off.min())
    found.gouge = max(found.gouge, gouge)
    if gouge > GOUGE:
        i, j = np.unravel_index(off.argmin(), off.shape)
        wrong.append(f"{block.head.setup}: {gouge:.4f} mm into the finished nut at X {xs[i]:.3f}, Y {ys[j]:.3f}")
    for string in part.strings:
        _, floor, place = part.slot(string)
        # A saw goes straight across, and meets a slot that runs aslant in the middle only.
        b = np.array([0.0, string["back"], 0.5 * part.thickness, part.thickness])
        at = [(np.abs(xs - x).argmin(), np.abs(ys + d).argmin()) for x, d in zip(place(b), b)]
        left = min(block.field.z[i, j] - floor(-ys[j]) for i, j in at)
        grooved = left < string["depth"] - 0.03
        if grooved == (string["number"] in claim.ungrooved):
            wrong.append(f"{block.head.setup}: string {string['number']} keeps {left:.3f} mm over its floor; told: {claim.ungrooved}")
        if grooved and claim.left:
            words = claim.left
            each = re.search(r"([\d.]+) mm in each", words) or re.search(rf"\b{string['number']}: ([\d.]+) mm", words)
            figures = [float(v) for v in ([each.group(1)] if each else re.findall(r"([\d.]+) mm", words))]
            # Told to a hundredth; beside the groove's middle it may seem higher by a cell of its steepest side.
            if left < min(figures) - 0.005 - GOUGE or left > max(figures) + 0.005 + GOUGE + SLOT_ALONG:
                wrong.append(f"{block.head.setup}: string {string['number']} keeps {left:.3f} mm, and {words} is told")


class Examiner:
    """Runs of `cut` for one job, the simulations that are alike done once."""

    def __init__(self, job, folder):
        self.job, self.folder = job, Path(folder)
        self.path, self.more = jobs.written(job, folder)
        profiles = [removal.BUILT_IN] + ([self.more[1]] if self.more else [])
        self.cutters = removal.by_name(*profiles)
        self.known = {}

    def cut(self, spec, out):
        machine = ["--machine", spec.machine] if spec.machine else []
        return bonewright("cut", self.path, "--part", spec.part, "--setup", spec.setup, "--out", out, *machine, *self.more)

    def examine(self, spec):
        began = time.perf_counter()
        out = Path(tempfile.mkdtemp(dir=self.folder))
        done = self.cut(spec, out)
        found = Found(spec.name, done.returncode, done.stdout + done.stderr)
        if done.returncode == 0:
            self.judge(spec, done.stdout, out, found)
        elif done.returncode != REFUSED or any(out.iterdir()) or "Nothing was written" not in done.stderr:
            found.wrong["removal"].append(f"exit {done.returncode}: {done.stderr}")
        found.seconds = time.perf_counter() - began
        return found

    def judge(self, spec, account, out, found):
        names = re.findall(r"^\s+((?:nut-)?(?:on-edge|flat|on-end)-\d+\.ngc): mark \w+; tool", account, re.M)
        programs = [out / f"{self.job.name}-{name}" for name in names]
        assert programs and sorted(programs) == sorted(out.glob("*.ngc")), account
        self.look(spec, account, programs, found)

    def look(self, spec, account, programs, found):
        """Everything that is wrong with programs, in the order in which they are run."""
        found.programs = len(programs)
        part = drawn(BINARY, str(self.path), spec.part, tuple(self.more))
        ways = []
        for path in programs:
            text = path.read_text()
            ran = self.once(self.carry_out, (text, spec.machine, spec.read), path, spec, found)
            if ran is None:
                return
            found.moves += len(ran.motions)
            head = Head.of(text).snapped(part.sizes)
            ways.append((path.name, head, program_parts(ran, head)))
        claims, before, came = Claim.all(account), None, ()
        for setup, group in itertools.groupby(ways, key=lambda way: way[1].setup):
            group = list(group)
            # Machines that go the same way at another speed leave the same.
            came += (setup, [(head.seat, head.zero, way_key(runs)) for _, head, runs in group], claims[setup])
            before = self.once(self.remove, (spec.part, came), spec.part, part, claims[setup], group, before, found)

    def once(self, do, key, *args):
        """What `do` gives and finds, done once for everything that is alike."""
        key = (do.__name__, hashlib.sha256(repr(key).encode()).digest())
        *args, found = args
        if key not in self.known:
            own = Found(found.name, 0, "")
            self.known[key] = (do(*args, own), own)
        result, own = self.known[key]
        found.add(own)
        return result

    def carry_out(self, path, spec, found):
        """What the interpreter does with a program, its tips held against the tool table and its places against our reader."""
        try:
            ran = interpreted(path, UNEQUAL)
        except Refuses as refusal:
            found.wrong["lengths"].append(str(refusal))
            return None
        self.lengths(path, ran, found)
        if spec.read:
            self.positions(path, spec.machine, ran, found)
        return ran

    def lengths(self, path, ran, found):
        """Tips stand right whatever the table holds; a program that changes no tool does not look at it."""
        # The first way up is from nobody knows where.
        worst = max(ran.motions[1:], key=lambda m: abs(m["length"]))
        if abs(worst["length"]) > TIP:
            found.wrong["lengths"].append(f"{path.name}: the tip of tool {worst['tool']} stands {worst['length']:.3f} mm off")
        if not ran.changes:
            try:
                other = printed(path, EMPTY)
            except Refuses as refusal:
                found.wrong["lengths"].append(f"with an empty tool table: {refusal}")
                return
            if other != ran.printed:
                found.wrong["lengths"].append(f"{path.name}: an empty tool table changes what the program does")

    def positions(self, path, machine, ran, found):
        """Our reader and the interpreter see the same, and it keeps to the machine."""
        name, wrong = path.name, found.wrong["positions"]
        named = ["--machine", machine] if machine else []
        done = bonewright("replay", path, "--job", self.path, "--json", *named, *self.more)
        if done.returncode != 0:
            wrong.append(f"{name}: replay says {done.stdout[:400]} {done.stderr}")
            return
        page = json.loads(done.stdout)
        if len(page["motions"]) != len(ran.motions):
            wrong.append(f"{name}: {len(page['motions'])} motions against {len(ran.motions)}")
        for a, b in zip(page["motions"], ran.motions):
            if what := differs(a, b):
                wrong.append(f"{name}, line {a['line']}: {what}: {a} against {b}")
                break
        wrong += [f"{name}: {what}" for what in beyond_machine(ran.motions, page["safe_z"], page["travel"])]

    def remove(self, kind, part, claim, group, before, found):
        """Takes off what the programs of one setup do; the block that stays."""
        head = group[0][1]
        block = Block(part, head, before)
        for name, its, runs in group:
            if (its.length, its.thickness, its.height) != (head.length, head.thickness, head.height):
                found.wrong["removal"].append(f"{name}: its stock is not that of the first program")
            block.head = its
            found.wrong["removal"] += block.cut(name, runs, self.cutters)
        block.head = head
        if head.setup == "flat":
            job = tomllib.loads(self.path.read_text())
            judge_flat(block, claim, found, job.get("nut_cut" if kind == "nut" else "cut", {}))
        elif kind == "saddle":
            judge_crown(block, claim, found)
        else:
            judge_slots(block, claim, found)
        return block.left()


def way_key(runs):
    """All that a removal depends on."""
    return [
        (number, [(m["kind"], m["from"], m["to"], m.get("centre"), m.get("clockwise"), round(m["length"], 3)) for m in moves])
        for number, moves in runs
    ]


def near(ours, theirs, unit):
    return all(abs(a - b) <= AGREE + interpreter.PRINTED * unit for a, b in zip(ours, theirs, strict=True))


def differs(a, b):
    """What two readers say differently of one motion; nothing if they agree. Without a change of tool in the program the
    interpreter knows nothing of the one in the spindle."""
    if a["kind"] != b["kind"]:
        return "kind"
    # Our reader does not know how far up the machine's own nought is.
    axes = 2 if b["to"][2] > AT_TOP else 3
    if not near(a["to"][:axes], b["to"][:axes], b["unit"]):
        return "end"
    if b["tool"] is not None and a["tool"] != b["tool"]:
        return "tool"
    if a["spindle"] != b["spindle"] or abs(a["feed"] - b["feed"]) > 0.01:
        return "spindle or feed"
    if a["kind"] == "arc":
        if a["plane"] != b["plane"] or a["clockwise"] != b["clockwise"]:
            return "plane or sense"
        if not near(a["centre"], b["centre"], 2.0 * b["unit"]):
            return "centre"
    return None


def beyond_machine(motions, safe_z, travel):
    """What a program does that its machine must not."""
    first, moving = motions[0], motions[1:]
    if first["kind"] != "rapid" or first["to"][:2] != first["from"][:2]:
        yield f"it does not first go up: {first}"
    for axis, most in enumerate(travel):
        places = [m["to"][axis] for m in moving if m["to"][2] < AT_TOP]
        if max(places) - min(places) > most:
            yield f"{max(places) - min(places)} mm along axis {axis}"
    for m in moving:
        if m["kind"] == "rapid":
            low = min(m["from"][2], m["to"][2])
            if m["from"][:2] != m["to"][:2] and low < safe_z - SLACK_Z:
                yield f"a rapid to the side at Z {low}: {m}"
        elif not (m["spindle"] > 0.0 and m["feed"] > 0.0):
            yield f"a cut without spindle or feed: {m}"
