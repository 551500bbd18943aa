"""The finished saddle as the STL of `bonewright draw` has it.

Corners of the STL's triangles lie on the true surface, its faces on chords of it. Cut across, the body is a straight fall, an
arc, and a straight fall, so that each section between corners at one X is known exactly: its arc is fitted to the corners on
it. Between two sections the arc's centre is taken to run straight; the STL has its sections so close that it strays from that
by at most CHORDS across and up.
"""

from dataclasses import dataclass

import numpy as np

# Half of the chord tolerance that the drawing states (crates/drawing), mm.
CHORDS = 0.001
# Single precision at 80 mm, and what a fit makes of it, mm.
READ = 0.0001


def triangles(path):
    """Corners of the triangles of a binary STL file."""
    data = path.read_bytes()
    count = int.from_bytes(data[80:84], "little")
    kind = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    return np.frombuffer(data, kind, count, 84)["corners"].astype(float)


@dataclass
class Part:
    """X along, y forward from the front face (0 down to minus the thickness), heights over the bottom edge."""

    # X of the sections, in order, and those of their arcs' centres.
    x: np.ndarray
    centre_y: np.ndarray
    centre_z: np.ndarray
    rounding: float
    # Rise per mm toward the ridge of the falls in front and behind.
    front: float
    back: float
    thickness: float
    # The ends are half circles from above.
    round: bool
    corners: np.ndarray

    @staticmethod
    def of(path):
        corners = np.unique(triangles(path).reshape(-1, 3), axis=0)
        top = corners[corners[:, 2] > READ]
        thickness = -corners[:, 1].min()
        xs = np.unique(top[:, 0])
        sections = [top[top[:, 0] == x] for x in xs]
        sections = [s[np.argsort(s[:, 1])] for s in sections]
        spans = np.array([s[-1, 1] - s[0, 1] for s in sections])
        is_round = bool(spans[0] < 0.9 * thickness)
        # Corners within a section, without those at the faces, are on the arc.
        arcs = [s[1:-1, 1:] for s in sections]
        most = max(arcs, key=len)
        assert len(most) >= 3, "the ridge of the STL is no arc"
        rounding = circle(most)[2]
        part = Part(xs, None, None, rounding, *falls(sections, rounding), thickness, is_round, corners)
        known = [i for i, arc in enumerate(arcs) if 2 * len(arc) > len(most) and len(arc) >= 3]
        centres = np.array([centre(arcs[i], rounding) for i in known])
        # Beyond the outer strings the ridge runs straight on; narrow sections at a rounded end hold too few corners.
        part.centre_y = carried(xs, xs[known], centres[:, 0])
        part.centre_z = carried(xs, xs[known], centres[:, 1])
        off = np.abs(part.height(top[:, 0], top[:, 1]) - top[:, 2])
        assert off.max() < 5.0 * READ, f"a corner of the STL is {off.max():.6f} mm off the surface read from it"
        return part

    @property
    def ends(self):
        return self.x[0], self.x[-1]

    def height(self, x, y):
        """Height of the crown at places, wherever it would run."""
        cy, cz = np.interp(x, self.x, self.centre_y), np.interp(x, self.x, self.centre_z)
        t = y - cy
        rho = self.rounding
        front_sin, back_sin = (f / np.hypot(1.0, f) for f in (self.front, self.back))
        front_cos, back_cos = (1.0 / np.hypot(1.0, f) for f in (self.front, self.back))
        arc = np.sqrt(np.maximum(rho * rho - t * t, 0.0))
        ahead = rho * front_cos - (t - rho * front_sin) * self.front
        behind = rho * back_cos - (-rho * back_sin - t) * self.back
        return cz + np.where(t > rho * front_sin, ahead, np.where(t < -rho * back_sin, behind, arc))

    def silhouette(self, x, half_width):
        """Highest of the section at x within half_width of its middle."""
        cy, middle = np.interp(x, self.x, self.centre_y), -0.5 * self.thickness
        # It bulges upward, so it is highest where it is level, or else at one face.
        level = np.clip(cy, middle - half_width, middle + half_width)
        return np.maximum.reduce([self.height(x, y) for y in (level, middle - half_width, middle + half_width)])

    def half_width(self, x):
        """From the middle of the thickness to either face."""
        half = 0.5 * self.thickness
        if not self.round:
            return np.full_like(x, half)
        beyond = half - np.minimum(np.minimum(x - self.x[0], self.x[-1] - x), half)
        return np.sqrt(np.maximum(half * half - beyond * beyond, 0.0))


def circle(points):
    """Centre and radius of the circle through places, by least squares."""
    y, z = points.T
    solved, *_ = np.linalg.lstsq(np.column_stack((y, z, np.ones_like(y))), y * y + z * z, rcond=None)
    a, b = solved[:2] / 2.0
    return a, b, np.sqrt(solved[2] + a * a + b * b)


def centre(points, radius):
    """Centre of a circle of known radius through places."""
    a, b, _ = circle(points)
    for _ in range(5):
        dy, dz = points[:, 0] - a, points[:, 1] - b
        r = np.hypot(dy, dz)
        step, *_ = np.linalg.lstsq(np.column_stack((dy / r, dz / r)), r - radius, rcond=None)
        a, b = a + step[0], b + step[1]
    return a, b


def falls(sections, rounding):
    """Rise per mm of the straight falls in front and behind, from the widest of them."""

    def rise(outer, inner):
        widest = max(sections, key=lambda s: abs(s[outer, 1] - s[inner, 1]) if len(s) > 4 else 0.0)
        return (widest[inner, 2] - widest[outer, 2]) / abs(widest[inner, 1] - widest[outer, 1])

    return rise(-1, -2), rise(0, 1)


def carried(x, known, values):
    """Values at x by straight lines through known ones, and straight on beyond them."""
    out = np.interp(x, known, values)
    for ends, side in ((slice(None, 2), x < known[0]), (slice(-2, None), x > known[-1])):
        (x0, x1), (v0, v1) = known[ends], values[ends]
        out[side] = v0 + (x[side] - x0) * (v1 - v0) / (x1 - x0)
    return out
