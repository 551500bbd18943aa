"""What cutters of nominal shape leave of a block, in numpy, from the interpreter's motions.

Nothing is sampled along the way: the lowest that a cutter comes over a place during a straight move is found in closed form, and
a level arc is as near to a place as its nearest point. A helical arc, or one in another plane, goes in chords within CHORD. So
the height at each place that is looked at is exact, but for that and for the four decimals that the interpreter prints
(0.00005 mm, or 0.00127 mm where the program is in inches). Places between those looked at: the bottom of a way that a cutter
with the tip radius R leaves is at most h^2/(8 R) lower than the nearer of two places h apart across it, which is 0.25 um for
0.04 mm and the smallest ball that finishes a crown.
"""

import math
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

TREE = Path(__file__).resolve().parents[2]
# Chords of arcs that have no closed form, mm.
CHORD = 0.0001
LEVEL = 1e-9
# Rounding within which a place belongs to a cutter's rim, mm.
RIM = 1e-9


def millimetres(value):
    """A length as profiles and jobs write it."""
    if isinstance(value, (int, float)):
        return float(value)
    number, unit = re.fullmatch(r"\s*([-+./\d ]+?)\s*(mm|cm|in|thou|64ths)\s*", value).groups()
    total = sum(float(a) / float(b or 1) for a, _, b in re.findall(r"([-+.\d]+)(/([.\d]+))?", number))
    return total * {"mm": 1.0, "cm": 10.0, "in": 25.4, "thou": 0.0254, "64ths": 25.4 / 64}[unit]


@dataclass(frozen=True)
class Cutter:
    """A nominal cutter: the height of its end over the tip grows from its axis to its radius, and is convex."""

    name: str
    shape: str
    radius: float
    # Of the ball at the tip, and of the flat at a V's tip.
    ball: float = 0.0
    flat: float = 0.0
    # Rise of the cone, mm per mm outward.
    rise: float = 0.0
    # Of a saw.
    thickness: float = 0.0
    cutting_length: float = math.inf

    @staticmethod
    def of(entry):
        """From a profile."""
        radius = 0.5 * millimetres(entry["diameter"])
        side = math.radians(entry.get("side_angle", 45.0))
        shape = entry["shape"]
        long = millimetres(entry["cutting_length"])
        sizes = {
            "flat": {"flat": radius},
            "saw": {"thickness": long},
            "ball": {"ball": radius},
            "tapered ball": {"ball": millimetres(entry.get("tip_radius", 0.0)), "rise": 1.0 / math.tan(side)},
            "V": {"flat": 0.5 * millimetres(entry.get("tip", 0.0)), "rise": 1.0 / math.tan(side)},
        }[shape]
        return Cutter(entry["name"], shape, radius, cutting_length=long, **sizes)

    def profile(self, r):
        """Height of the end over its tip at `r` from the axis, within the radius."""
        if self.shape == "flat":
            return np.zeros_like(r)
        if self.shape == "V":
            return np.maximum(r - self.flat, 0.0) * self.rise
        ball = self.ball - np.sqrt(np.maximum(self.ball**2 - r * r, 0.0))
        if self.shape == "ball":
            return ball
        assert self.shape == "tapered ball", self.shape
        slope = math.hypot(1.0, self.rise)
        touch = self.ball * self.rise / slope
        cone = self.ball * (1.0 - 1.0 / slope) + (r - touch) * self.rise
        return np.where(r <= touch, ball, cone)

    def lead(self, q, slope):
        """How far ahead of a place beside the way, by q, the axis stands when it comes lowest there; the way rises by
        `slope`. Lowest of slope w + profile(hypot(q, w)), which is convex in w."""
        reach = np.sqrt(np.maximum(self.radius**2 - q * q, 0.0))
        if slope == 0.0:
            return np.zeros_like(q)
        back = -math.copysign(1.0, slope)
        if self.shape == "flat":
            return back * reach

        def ball():
            return -slope / math.hypot(1.0, slope) * np.sqrt(np.maximum(self.ball**2 - q * q, 0.0))

        def cone():
            # Where the cone's rise along the way is the way's own fall; at its rim where the way is the steeper.
            if abs(slope) >= self.rise:
                return back * reach
            return np.clip(-slope * q / math.sqrt(self.rise**2 - slope**2), -reach, reach)

        if self.shape == "ball":
            return ball()
        if self.shape == "V":
            rim = back * np.sqrt(np.maximum(self.flat**2 - q * q, 0.0))
            beyond = cone()
            return np.where(np.hypot(q, beyond) >= self.flat, beyond, rim)
        touch = self.ball * self.rise / math.hypot(1.0, self.rise)
        near, beyond = ball(), cone()
        inside = (q < touch) & (np.hypot(q, near) <= touch)
        outside = np.hypot(q, beyond) >= touch
        # Ball and cone meet without a kink, so where neither holds by rounding it is the seam.
        seam = back * np.sqrt(np.maximum(touch**2 - q * q, 0.0))
        return np.where(inside, near, np.where(outside, beyond, seam))


def by_name(*files):
    """Nominal cutters from profile files; a later one replaces an earlier of the same name."""
    entries = [entry for file in files for entry in tomllib.loads(Path(file).read_text()).get("cutter", [])]
    return {entry["name"]: Cutter.of(entry) for entry in entries}


BUILT_IN = TREE / "profiles" / "cutters.toml"


def pieces(motions):
    """Straight pieces ("line", from, to) and level arcs ("arc", centre, radius, first angle, turn, height) of motions."""
    for motion in motions:
        a, b = motion["from"], motion["to"]
        if motion["kind"] != "arc":
            yield ("line", a, b)
            continue
        i, j, k = {"XY": (0, 1, 2), "XZ": (2, 0, 1), "YZ": (1, 2, 0)}[motion["plane"]]
        centre = motion["centre"]
        radius = math.hypot(a[i] - centre[i], a[j] - centre[j])
        end_radius = math.hypot(b[i] - centre[i], b[j] - centre[j])
        first = math.atan2(a[j] - centre[j], a[i] - centre[i])
        last = math.atan2(b[j] - centre[j], b[i] - centre[i])
        turn = (first - last if motion["clockwise"] else last - first) % math.tau
        turn = (turn or math.tau) * (-1.0 if motion["clockwise"] else 1.0)
        if motion["plane"] == "XY" and abs(a[2] - b[2]) < LEVEL and abs(radius - end_radius) < 1e-3:
            yield ("arc", centre[:2], 0.5 * (radius + end_radius), first, turn, a[2])
            continue
        count = max(1, math.ceil(abs(turn) / (2.0 * math.acos(1.0 - min(CHORD / radius, 1.0)))))
        before = list(a)
        for step in range(1, count + 1):
            share = step / count
            place = [0.0] * 3
            r = radius + (end_radius - radius) * share
            place[i] = centre[i] + r * math.cos(first + share * turn)
            place[j] = centre[j] + r * math.sin(first + share * turn)
            place[k] = a[k] + share * (b[k] - a[k])
            yield ("line", before, place)
            before = place


def arc_off(x, y, centre, radius, first, turn):
    """Distance of places from a level arc."""
    dx, dy = x - centre[0], y - centre[1]
    far = np.hypot(dx, dy)
    angle = np.arctan2(dy, dx) - first
    ahead = np.mod(angle if turn > 0 else -angle, math.tau)
    off = np.where(ahead <= abs(turn), np.abs(far - radius), np.inf)
    for end in (first, first + turn):
        off = np.minimum(off, np.hypot(dx - radius * math.cos(end), dy - radius * math.sin(end)))
    return off


def lowest(cutter, piece, x, y):
    """Lowest that the cutter comes over places x, y during a piece of its way; infinite where it does not pass."""
    if piece[0] == "arc":
        _, centre, radius, first, turn, z = piece
        off = arc_off(x, y, centre, radius, first, turn)
        return np.where(off <= cutter.radius + RIM, z + cutter.profile(np.minimum(off, cutter.radius)), np.inf)
    _, a, b = piece
    dx, dy, dz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    length = math.hypot(dx, dy)
    if length < LEVEL:
        off = np.hypot(x - a[0], y - a[1])
        low = min(a[2], b[2])
        return np.where(off <= cutter.radius + RIM, low + cutter.profile(np.minimum(off, cutter.radius)), np.inf)
    ux, uy, slope = dx / length, dy / length, dz / length
    s = (x - a[0]) * ux + (y - a[1]) * uy
    q = np.abs((x - a[0]) * uy - (y - a[1]) * ux)
    t = np.clip(s + cutter.lead(q, slope), 0.0, length)
    off = np.hypot(q, t - s)
    return np.where(off <= cutter.radius + RIM, a[2] + slope * t + cutter.profile(np.minimum(off, cutter.radius)), np.inf)


def box(piece, reach):
    """Least x, y, z and greatest x, y of where a piece may cut."""
    if piece[0] == "arc":
        _, (cx, cy), r, _, _, z = piece
        return cx - r - reach, cy - r - reach, z, cx + r + reach, cy + r + reach
    _, a, b = piece
    return (
        min(a[0], b[0]) - reach, min(a[1], b[1]) - reach, min(a[2], b[2]), max(a[0], b[0]) + reach, max(a[1], b[1]) + reach,
    )  # fmt: skip


class Field:
    """Heights over a lattice: any xs and ys, each in order."""

    def __init__(self, xs, ys, top):
        self.xs, self.ys = np.asarray(xs, float), np.asarray(ys, float)
        self.z = np.full((len(self.xs), len(self.ys)), float(top))

    def cut(self, motions, cutter):
        """Takes off what the cutter meets; deepest cut of a rapid move below what stood there, mm."""
        rapid = 0.0
        for motion in motions:
            for piece in pieces([motion]):
                x0, y0, z0, x1, y1 = box(piece, cutter.radius)
                i0, i1 = np.searchsorted(self.xs, (x0, x1))
                j0, j1 = np.searchsorted(self.ys, (y0, y1))
                if i0 == i1 or j0 == j1:
                    continue
                window = self.z[i0:i1, j0:j1]
                if window.max() <= z0:
                    continue
                low = lowest(cutter, piece, self.xs[i0:i1, None], self.ys[None, j0:j1])
                if motion["kind"] == "rapid":
                    rapid = max(rapid, float((window - low).max()))
                np.minimum(window, low, out=window)
        return rapid


class Places:
    """Heights at single places."""

    def __init__(self, points, top):
        self.points = np.asarray(points, float).reshape(-1, 2)
        self.order = np.argsort(self.points[:, 0], kind="stable")
        self.x, self.y = self.points[self.order].T
        self.low = np.full(len(self.x), float(top))

    def cut(self, motions, cutter):
        for piece in pieces(motions):
            x0, _, z0, x1, _ = box(piece, cutter.radius)
            i0, i1 = np.searchsorted(self.x, (x0, x1))
            if i0 == i1 or self.low[i0:i1].max() <= z0:
                continue
            window = self.low[i0:i1]
            np.minimum(window, lowest(cutter, piece, self.x[i0:i1], self.y[i0:i1]), out=window)

    @property
    def z(self):
        """Heights in the order of the points given."""
        out = np.empty_like(self.low)
        out[self.order] = self.low
        return out
