"""The saddle solved a second time, in plain scipy, from the equations and not from the program's source.

Input is the `inputs` part of the JSON that `bonewright plan JOB --json` prints (described in crates/report/JSON.md) with the
blank's thickness and land. Lengths in mm, angles in radians, forces in N.

Frets: equal temperament, X_n = L (1 - 2^(-n/12)). Pitch of a fretted string: M. B. Anderson, R. G. Beausoleil, "Classical
guitar intonation and compensation: the well-tempered guitar", J. Acoust. Soc. Am. 156(1), 683 (2024): pinned at the saddle,
clamped at nut or fret. Frames and signs: x toward the bridge, y to the treble, z up; b back from the front face of the
blank, u along, v up.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq, least_squares, minimize_scalar

FRETS = range(1, 13)


class Board:
    def __init__(self, given):
        self.scale = given["scale"]
        self.joint = given["joint_fret"]
        self.relief = given["relief"]
        self.radius = given["radius"]
        # Lines (x on the centre line, slant), and how much lower a fret is; where they do not follow from the scale (test_fanned.py).
        lines = given.get("frets")
        self.lines = [(f["x"], f["slant"]) for f in lines] if lines else None
        self.ends = (given["scale_ends"]["x"], given["scale_ends"]["slant"]) if lines else (self.scale, 0.0)
        self.worn = [0.0, *given.get("worn", [0.0] * 36)]

    def line(self, fret):
        return self.lines[fret] if self.lines else (self.scale * (1.0 - 2.0 ** (-fret / 12.0)), 0.0)

    def crown(self, fret, x, y):
        """z of a fret's crown at (x, y). A fret dips alike all along."""
        first, joint = self.line(1)[0], self.line(self.joint)[0]
        t = (self.line(fret)[0] - first) / (joint - first)
        dip = 4.0 * self.relief * t * (1.0 - t) if 0.0 <= t <= 1.0 else 0.0
        camber = 0.0
        if self.radius is not None:
            nut, twelve = self.radius["nut"], self.radius["fret_12"]
            radius = nut + (twelve - nut) * x / self.line(12)[0]
            camber = radius - math.sqrt(radius**2 - y**2)
        return -dip - camber - self.worn[fret]


def line(p, q):
    """Straight line through two points (x, z), as a function of x."""
    return lambda x: p[1] + (q[1] - p[1]) * (x - p[0]) / (q[0] - p[0])


@dataclass
class Line:
    """One string: its plan run, its nut and its target."""

    given: dict
    board: Board
    press: float
    ends: float

    def y(self, x):
        return self.given["run"]["nut"] + self.given["run"]["slope"] * x

    def meets(self, line):
        """x where it crosses a line."""
        (x, slant), run = line, self.given["run"]
        return (x + slant * run["nut"]) / (1.0 - slant * run["slope"])

    def start(self):
        return self.meets(self.board.line(0))

    def end(self):
        """x where it would end by its scale length."""
        return self.meets(self.board.ends)

    def fret(self, n):
        x = self.meets(self.board.line(n))
        return x, self.board.crown(n, x, self.y(x))

    def over(self, fret, gap):
        x, z = self.fret(fret)
        return x, z + gap

    def present_nut(self):
        """z of the contact at the nut, or on the zero fret, that is there."""
        nut = self.given["present_nut"]
        if nut["by"] == "zero-fret":
            return self.over(0, nut["above"])[1]
        low = self.over(1, nut["gap_1"])
        high = self.over(12, nut["action_12"]) if nut["by"] == "open-gaps" else self.fret(3)
        return line(low, high)(self.given["nut_x"])

    def target(self):
        return self.over(12, self.given["target_action"])

    def nut(self, x=None):
        """Contact at the nut as it will be, at x (unmoved without it). A nut that stays keeps its height; a new one gives the gap asked
        for over fret 1 where its contact stands, of the open string or of the string held at fret 3. A zero fret is raised by what is done."""
        x = self.given["nut_x"] if x is None else x
        if self.given["new_clearance"] is not None:
            return x, line(self.over(1, self.given["new_clearance"]), self.target())(x)
        if self.given["new_held_at_3"] is not None:
            return x, line(self.over(1, self.given["new_held_at_3"]), self.fret(3))(x)
        return x, self.present_nut() + self.given.get("zero_fret", 0.0)

    def cents(self, nut, saddle, factor=1.0):
        """Error at frets 1 to 12 with the open string in tune."""
        given, scale = self.given, self.end() - self.start()
        (xn, zn), (xs, zs) = nut, saddle
        whole = math.hypot(xs - xn, zs - zn)
        stiff = given["stiffness"]
        if stiff["by"] == "construction":
            # g/m and mm make 1e-9 of SI.
            tension = 4e-9 * given["linear_density"] * whole**2 * given["frequency"] ** 2
            kappa = factor * stiff["axial"] / tension
            bend = math.sqrt(factor * stiff["bending"] / (tension * whole**2))
        else:
            kappa = factor * stiff["kappa"]
            bend = math.sqrt(kappa) * (given["outer_diameter"] / 2.0) / (2.0 * scale)

        # Open: clamped at the nut, pinned at the saddle; at a fret so much clamped that the ends' sum comes out.
        opened, fretted = 1.0, (self.ends + 1.0) / 2.0

        def rise(b, clamped):
            return 1.0 + clamped * b + (clamped**2 + math.pi**2 / 2.0) * b**2

        out = []
        for n in FRETS:
            x, z = self.fret(n)
            sounding = math.hypot(xs - x, zs - z)
            p = self.press
            slope = (zs - z) / (xs - x)
            behind = p * sounding / (xs - x) + math.hypot(x - xn - p, (zn - z) + p * slope)
            stretch = (sounding + behind - whole) / whole
            tighter = 1.0 + kappa * stretch
            stiffer = bend * (whole / sounding) / math.sqrt(tighter)
            out.append(
                1200.0 * math.log2(whole / (2.0 ** (n / 12.0) * sounding))
                + 600.0 * math.log2(1.0 + stretch)
                + 600.0 * math.log2(tighter)
                + 1200.0 * math.log2(rise(stiffer, fretted) / rise(bend, opened))
            )
        return np.array(out)

    def factor(self):
        """Factor on the stiffness from a cents reading on the present saddle."""
        measured = self.given["measured"]
        if measured is None:
            return 1.0
        nut = (self.given["nut_x"], self.present_nut())
        x = self.fret(12)[0] + measured["contact_from_fret_12"]
        z = line(nut, self.over(12, measured["action_12"]))(x)
        return brentq(lambda c: self.cents(nut, (x, z), c)[11] - measured["cents_12"], 0.2, 4.0, xtol=1e-13)

    def solve(self, shift=None):
        """Contact wanted at the saddle and contact at the nut: (x_S, nut); `shift` moves the nut to that x."""
        end, factor = self.end(), self.factor()
        nut, target = self.nut(shift), self.target()

        def errors(setback, nut=nut):
            x = end + setback
            return self.cents(nut, (x, line(nut, target)(x)), factor)

        how = self.given["intonation"] if shift is None else "best-fit"
        if how == "offsets":
            return end + self.given["offset"], nut
        if how == "octave":
            setback = brentq(lambda s: errors(s)[11], -0.03 * self.board.scale, 0.1 * self.board.scale, xtol=1e-12)
            return end + setback, nut
        tight = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15}
        if how == "best-fit":
            # Near the place by comparison of values, then exactly by least squares.
            rough = minimize_scalar(lambda s: np.sum(errors(s) ** 2), bounds=(-20.0, 60.0), method="bounded")
            found = least_squares(lambda p: errors(p[0]), [rough.x], **tight)
            return end + found.x[0], nut
        assert how == "best-fit-with-nut", how
        found = least_squares(lambda p: errors(p[0], self.nut(p[1])), [2.0, nut[0]], **tight)
        return end + found.x[0], self.nut(found.x[1])


    def squares(self, shift):
        """Sum of squares over the frets with the nut contact moved to x = shift, and the saddle in its best place."""
        target, factor = self.target(), self.factor()
        nut = self.nut(shift)

        def errors(p):
            x = self.end() + p[0]
            return self.cents(nut, (x, line(nut, target)(x)), factor)

        return np.sum(least_squares(errors, [2.0], xtol=1e-15, ftol=1e-15, gtol=1e-15).fun ** 2)


def axes(bass, treble, lean):
    """(e_b, e_u, e_v) of a blank whose bottom lies from `bass` to `treble`."""
    e_u = (treble - bass) / np.linalg.norm(treble - bass)
    up = np.array([0.0, 0.0, 1.0])
    v0 = up - e_u * (up @ e_u)
    v0 /= np.linalg.norm(v0)
    b0 = np.cross(e_u, v0)
    return b0 * math.cos(lean) + v0 * math.sin(lean), e_u, v0 * math.cos(lean) - b0 * math.sin(lean)


def frame(board, slot, strings):
    """Origin and axes of the blank."""
    lean = slot["lean"] + slot["lean_under_tension"]
    outer = [strings[0], strings[-1]]
    first, joint = 1, board.joint
    if slot["read_by"] == "straightedge":
        mouth = []
        for end, rise, string in zip(slot["straightedge"], slot["bridge_top_under_tension"], outer):
            x = string.fret(12)[0] + end["edge_from_fret_12"]
            edge = line(string.fret(first), string.fret(joint))
            mouth.append(np.array([x, string.y(x), edge(x) + end["bridge_top"] + rise]))
        down = axes(*mouth, lean)[2]
        floor = [m - down * end["depth"] for m, end in zip(mouth, slot["straightedge"])]
    else:
        contacts = []
        for end, string in zip(slot["reference"], outer):
            x = string.fret(12)[0] + end["contact_from_fret_12"]
            present = line((string.given["nut_x"], string.present_nut()), string.over(12, end["action_12"]))
            contacts.append(np.array([x, string.y(x), present(x)]))
        floor = contacts
        for _ in range(50):
            e_b, _, e_v = axes(*floor, lean)
            floor = [c - e_b * end["back"] - e_v * end["height"] for c, end in zip(contacts, slot["reference"])]
    e_b, e_u, e_v = axes(*floor, lean)
    return floor[0] + e_v * slot["under"], e_b, e_u, e_v


def solve(inputs, thickness, land, straight=False, stand_offs=None):
    """`stand_offs`: how far each string's line passes over its ridge by elastic theory, mm, bass to treble. `straight`: all strings share the setback of the nut at which the sum of squares over them is least. Per string: dict of u, b, v, x, z, held and the cents of the planned contact; and the frame."""
    board = Board(inputs["board"])
    strings = [Line(given, board, inputs["press"], inputs["ends"]) for given in inputs["strings"]]
    origin, e_b, e_u, e_v = frame(board, inputs["slot"], strings)
    shift = None
    if straight:
        total = lambda x: sum(string.squares(string.start() + x) for string in strings)
        shift = minimize_scalar(total, bracket=(0.0, 0.5), tol=1e-10).x
    out = []
    for i, string in enumerate(strings):
        lower = inputs["stand_off"] * stand_offs[i] if stand_offs else 0.0
        wanted, nut = string.solve(None if shift is None else string.start() + shift)
        side = line(nut, string.target())

        def place(x, side=side, string=string, lower=lower):
            return np.array([x, string.y(x), side(x) - lower])

        def b(x):
            return (place(x) - origin) @ e_b

        low, high = land, thickness - land
        x, held = wanted, "free"
        if b(wanted) < low:
            held = "front"
            x = brentq(lambda x: b(x) - low, wanted - 50.0, wanted + 50.0, xtol=1e-12)
        elif b(wanted) > high:
            held = "back"
            x = brentq(lambda x: b(x) - high, wanted - 50.0, wanted + 50.0, xtol=1e-12)
        point = place(x) - origin
        out.append(
            {
                "b": point @ e_b,
                "u": point @ e_u,
                "v": point @ e_v,
                "x": x,
                "z": place(x)[2],
                "held": held,
                "wanted_b": b(wanted),
                "setback_wanted": wanted - string.end(),
                "nut_setback": string.start() - nut[0],
                "cents": string.cents(nut, (x, side(x)), string.factor()),
                "factor": string.factor(),
            }
        )
    return out, (origin, e_b, e_u, e_v)
