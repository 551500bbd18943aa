"""What a survey's readings would be of any instrument, and the likeliest instrument by scipy: a second model, from the equations.

The instrument as its survey has it is the `inputs` part of what `bonewright plan JOB --json` prints of a job without further readings
(crates/report/JSON.md). Its figures are off by a state: lengths in mm, angles in radians, factors by their logarithms, named as the
program `known` of the benches names them. Everything is worked out for many states side by side, in complex numbers, so that a
complex step gives exact derivatives.

Frets, pitch and frames as in resolve.py; the inharmonicity of a stiff string is pi^2 EI / (T L^2) (N. H. Fletcher and T. D. Rossing, The
Physics of Musical Instruments). How sure readings are: examples/FORMAT.md, [uncertainty].
"""

import math

import numpy as np
from scipy.optimize import least_squares

# Total and correlation, mm, of readings by the usual tool, with that tool's name and what its error goes with.
SURE = {
    "NutTo12": (0.2, "steel rule"), "Relief": (0.025, "feelers"), "Clearance": (0.025, "feelers"),
    "HeldAtThree": (0.025, "feelers"), "ZeroFret": (0.025, "feelers"), "Action": (0.1, "steel rule"),
    "SlotEdge": (0.3, "steel rule"), "BridgeTop": (0.15, "straightedge and feelers"), "SlotDepth": (0.05, "depth rod"),
    "Lean": (math.pi / 180.0, "eye"), "Contact": (0.3, "steel rule"), "SaddleHeight": (0.02, "caliper"),
    "SaddleBack": (0.1, "caliper"), "Exposure": (0.05, "depth rod"), "OverBridge": (0.05, "caliper"),
    "Cents": (3.0, "tuner"), "Inharmonicity": (0.05, "recording"),
}
CORRELATION, OF_CENTS, RADIUS = 0.5, 0.8, 0.05
# What is known beforehand, and making: FORMAT.md.
PRIOR = {"Ends": 0.3, "StandOff": 0.25, "Straightedge": 0.05, "FloorBow": 0.03, "OldSeat": 0.03, "Mass": 0.02,
         "NeckDrift": 0.05, "TopDrift": 0.1}
BETWEEN = {"Action": 0.05, "Nut": 0.03}
# Stretch, how many times as far off bending is, and how sure that is.
STRETCH = {"plain": (0.02, 1.0, 0.02), "core of set": (0.15, 2.0, 0.12), "core": (0.05, 2.0, 0.12), "response of set": (0.15, 1.0, 0.12)}
# A bend over the ridge that nobody read; a slot's depth, mm, and how far that may lie off.
USUAL_BEND, USUAL_DEPTH, ANY_DEPTH = 0.3, 8.0, 4.0


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def plus(a, b, times=1.0):
    return [x + y * times for x, y in zip(a, b)]


def unit(a):
    length = np.sqrt(dot(a, a))
    return [x / length for x in a]


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def axes(along, lean):
    """Back, along and up of a blank that stands along this and leans forward."""
    e_u = unit(along)
    v0 = unit([-e_u[0] * e_u[2], -e_u[1] * e_u[2], 1.0 - e_u[2] * e_u[2]])
    b0 = cross(e_u, v0)
    sin, cos = np.sin(lean), np.cos(lean)
    return plus([x * cos for x in b0], v0, sin), e_u, plus([x * cos for x in v0], b0, -sin)


def line(p, q):
    return lambda x: p[1] + (q[1] - p[1]) * (x - p[0]) / (q[0] - p[0])


class Instrument:
    """One instrument with its figures off by a state; `off(name)` says by how much."""

    def __init__(self, survey, off, visit=1):
        self.survey, self.off, self.given = survey, off, survey.inputs
        given = self.given["board"]
        self.joint = given["joint_fret"]
        self.stretch = np.exp(off("Stretch"))
        self.first_relief = given["relief"] + off("Relief")
        self.relief = self.first_relief
        self.radius = given["radius"] and (given["radius"]["nut"] * np.exp(off("RadiusAtNut")),
                                           given["radius"]["fret_12"] * np.exp(off("RadiusAt12")))
        lines = given.get("frets")
        self.lines = [(f["x"], f["slant"]) for f in lines] if lines else None
        self.end_line = (given["scale_ends"]["x"], given["scale_ends"]["slant"]) if lines else (given["scale"], 0.0)
        self.worn = [0.0, *given.get("worn", [0.0] * 36)]
        self.later = visit > 1
        self.risen = off(f"TopDrift({visit})") if self.later else 0.0
        self.slot()
        if self.later:
            self.relief = self.first_relief + off(f"NeckDrift({visit})")
            self.origin = plus(self.origin, [0.0, 0.0, 1.0], self.risen)
            if self.mouth:
                self.mouth = [plus(m, [0.0, 0.0, 1.0], self.risen) for m in self.mouth]

    def place(self, fret):
        return self.lines[fret] if self.lines else (self.given["board"]["scale"] * (1.0 - 2.0 ** (-fret / 12.0)), 0.0)

    def meets(self, at, run):
        return self.stretch * (at[0] + at[1] * run["nut"]) / (1.0 - at[1] * run["slope"])

    def y(self, run, x):
        return run["nut"] + run["slope"] * x

    def fret(self, n, run, relief=None):
        """x and z of a crown under a string."""
        relief = self.relief if relief is None else relief
        x = self.meets(self.place(n), run)
        first, joint = self.place(1)[0], self.place(self.joint)[0]
        t = (self.place(n)[0] - first) / (joint - first)
        z = -4.0 * relief * t * (1.0 - t) if 0.0 <= t <= 1.0 else 0.0 * relief
        if self.radius:
            nut, twelve = self.radius
            r = nut + (twelve - nut) * x / (self.stretch * self.place(12)[0])
            z = z - (r - np.sqrt(r * r - self.y(run, x) ** 2))
        return x, z - self.worn[n]

    def over(self, n, run, gap):
        x, z = self.fret(n, run, self.first_relief)
        return x, z + gap

    def nut(self, i):
        """The string's contact at the nut; None where it was not read."""
        s = self.given["strings"][i]
        nut, run = s["present_nut"], s["run"]
        if nut is None:
            return None
        x, off = self.stretch * s["nut_x"], self.off(f"Nut({i})")
        if nut["by"] == "zero-fret":
            return x, self.over(0, run, nut["above"] + off)[1]
        low = self.over(1, run, nut["gap_1"] + off)
        high = self.over(12, run, self.action(i)) if nut["by"] == "open-gaps" else self.fret(3, run, self.first_relief)
        return x, line(low, high)(x)

    def action(self, i):
        return self.survey.actions[i] + self.off(f"Action({i})")

    def string(self, i):
        """Contact at the nut and a second point of the string's underside."""
        run, nut = self.given["strings"][i]["run"], self.nut(i)
        if nut is None:
            return None
        second = self.over(12, run, self.action(i))
        if self.later:
            # The nut stays; the saddle comes up with the bridge.
            end = self.meets(self.end_line, run)
            second = (end, line(nut, second)(end) + self.risen)
        return nut, second

    def straightedge(self, run, x):
        return line(self.fret(1, run), self.fret(self.joint, run))(x)

    def slot(self):
        """Origin and axes of the blank on its floor, and where the front wall meets the bridge top."""
        slot, strings, off = self.given["slot"], self.given["strings"], self.off
        lean = slot["lean"] + slot["lean_under_tension"] + off("Lean")
        outer = [strings[0]["run"], strings[-1]["run"]]
        self.mouth = None
        if slot["read_by"] == "straightedge":
            mouth = []
            for e, (end, rise, run) in enumerate(zip(slot["straightedge"], slot["bridge_top_under_tension"], outer)):
                x = self.fret(12, run)[0] + end["edge_from_fret_12"] + off(f"SlotPlace({e})")
                z = self.straightedge(run, x) + end["bridge_top"] + rise + off(f"SlotHeight({e})")
                mouth.append([x, self.y(run, x), z])
            up = axes(plus(mouth[1], mouth[0], -1.0), lean)[2]
            self.depths = [end["depth"] + off(f"SlotThird({e})") for e, end in enumerate(slot["straightedge"])]
            floor = [plus(m, up, -d) for m, d in zip(mouth, self.depths)]
            self.mouth, lift = mouth, slot["under"] + 0.5 * off("FloorBow")
        else:
            contacts, backs, heights = [], [], []
            for e, (end, run, i) in enumerate(zip(slot["reference"], outer, (0, len(strings) - 1))):
                x = self.fret(12, run)[0] + end["contact_from_fret_12"] + off(f"SlotPlace({e})")
                lower = (self.given["stand_off"] + off("StandOff")) * self.survey.elastic[i]
                nut, second = self.nut(i), self.over(12, run, end["action_12"] + off(f"Action({i})"))
                contacts.append([x, self.y(run, x), line(nut, second)(x) - lower])
                backs.append(end["back"] + off(f"SlotThird({e})"))
                heights.append(end["height"] + off(f"SlotHeight({e})") + off(f"OldSeat({e})"))
            floor = contacts
            for _ in range(30):
                e_b, _, e_v = axes(plus(floor[1], floor[0], -1.0), lean)
                floor = [plus(plus(c, e_b, -b), e_v, -h) for c, b, h in zip(contacts, backs, heights)]
            up, lift = axes(plus(floor[1], floor[0], -1.0), lean)[2], slot["under"]
            depth = [(end["depth"] or USUAL_DEPTH) + off(f"ReferenceDepth({e})") for e, end in enumerate(slot["reference"])]
            self.mouth = [plus(f, up, d) for f, d in zip(floor, depth)]
            lift = 0.0
        self.axes = axes(plus(floor[1], floor[0], -1.0), lean)
        self.origin = plus(floor[0], self.axes[2], lift)

    def blank(self, point):
        return [dot(axis, plus(point, self.origin, -1.0)) for axis in self.axes]

    def met(self, i):
        """Where the string ends on the present saddle, (x, z) of its line, and the ridge in the blank's frame."""
        run, (nut, second) = self.given["strings"][i]["run"], self.string(i)
        lower = (self.given["stand_off"] + self.off("StandOff")) * self.survey.elastic[i]
        slope = (second[1] - nut[1]) / (second[0] - nut[0])
        start = [nut[0], self.y(run, nut[0]), nut[1] - lower]
        along = [1.0, run["slope"], slope]
        last, back = len(self.given["strings"]) - 1, self.survey.back(i)
        if self.survey.by_reference and i in (0, last):
            back = back + self.off(f"SlotThird({0 if i == 0 else 1})")
        else:
            back = back + self.off(f"Contact({i})")
        step = (back - self.blank(start)[0]) / dot(self.axes[0], along)
        x = nut[0] + step
        return (x, line(nut, second)(x)), self.blank(plus(start, along, step))

    def cents(self, i, fret, nut, saddle):
        s, (open_length, kappa, bend) = self.given["strings"][i], self.stiff(i, nut, saddle)
        x, z = self.fret(fret, s["run"])
        press, (xs, zs) = self.given["press"], saddle
        sounding = np.sqrt((xs - x) ** 2 + (zs - z) ** 2)
        slope = (zs - z) / (xs - x)
        behind = press * sounding / (xs - x) + np.sqrt((x - nut[0] - press) ** 2 + (nut[1] - z + press * slope) ** 2)
        stretch = (sounding + behind - open_length) / open_length
        tighter = 1.0 + kappa * stretch
        fretted = (self.given["ends"] + self.off("Ends") + 1.0) / 2.0

        def rise(b, clamped):
            return 1.0 + clamped * b + (clamped**2 + math.pi**2 / 2.0) * b * b

        ratio = open_length / (2.0 ** (fret / 12.0) * sounding)
        ratio = ratio * rise(bend * open_length / (sounding * np.sqrt(tighter)), fretted) / rise(bend, 1.0)
        return 1200.0 * np.log(ratio) / math.log(2.0) + 600.0 * np.log((1.0 + stretch) * tighter) / math.log(2.0)

    def stiff(self, i, nut, saddle):
        """Length, stretch stiffness over tension, and sqrt(EI/T) over the length, of the open string."""
        s = self.given["strings"][i]
        axial, bending, mass = (np.exp(self.off(f"{of}({i})")) for of in ("Axial", "Bending", "Mass"))
        length = np.sqrt((saddle[0] - nut[0]) ** 2 + (saddle[1] - nut[1]) ** 2)
        how = s["stiffness"]
        if how["by"] == "construction":
            tension = 4e-9 * mass * s["linear_density"] * length**2 * s["frequency"] ** 2
            return length, axial * how["axial"] / tension, np.sqrt(bending * how["bending"] / tension) / length
        scale = self.meets(self.end_line, s["run"]) - self.meets(self.place(0), s["run"])
        return length, axial * how["kappa"], np.sqrt(bending * how["kappa"]) * s["outer_diameter"] / (4.0 * scale)

    def reading(self, of, at):
        """What a reading of this kind would be; `at` is an end, a string, or nothing."""
        strings = self.given["strings"]
        run = strings[at if of not in ("SlotEdge", "BridgeTop") else (0, len(strings) - 1)[at]]["run"] if at is not None else None
        if of == "NutTo12":
            return self.fret(12, {"nut": 0.0, "slope": 0.0})[0]
        if of == "Relief":
            return self.relief
        if of in ("RadiusAtNut", "RadiusAt12"):
            return self.radius[0 if of == "RadiusAtNut" else 1]
        if of == "Lean":
            return self.given["slot"]["lean"] + self.given["slot"]["lean_under_tension"] + self.off("Lean")
        if of == "SlotEdge":
            return self.mouth[at][0] - self.fret(12, run)[0]
        if of == "BridgeTop":
            return self.mouth[at][2] - self.straightedge(run, self.mouth[at][0]) + self.off("Straightedge")
        if of == "SlotDepth":
            return self.depths[at] if not self.survey.by_reference else self.blank(self.mouth[at])[2]
        if of == "Inharmonicity":
            nut, second = self.string(at)
            end = self.meets(self.end_line, run)
            return math.pi**2 * self.stiff(at, nut, (end, line(nut, second)(end)))[2] ** 2
        nut, second = self.string(at)
        side = line(nut, second)

        def gap(fret):
            x, z = self.fret(fret, run)
            return side(x) - z

        if isinstance(of, tuple):
            kind, fret = of
            return gap(fret) if kind == "Action" else self.cents(at, fret, nut, self.met(at)[0])
        if of == "Clearance":
            return gap(1)
        if of == "HeldAtThree":
            x, z = self.fret(1, run)
            return line(nut, self.fret(3, run))(x) - z
        if of == "ZeroFret":
            return nut[1] - self.fret(0, run, self.first_relief)[1]
        if of == "OverBridge":
            bass, treble = self.mouth
            way = plus(treble, bass, -1.0)
            share = (self.y(run, bass[0]) - bass[1]) / (way[1] - way[0] * run["slope"])
            edge = plus(bass, way, share)
            return side(edge[0]) - edge[2]
        contact, ridge = self.met(at)
        share = self.survey.shares[at]
        if of == "Contact":
            return contact[0] - self.fret(12, run)[0]
        if of == "SaddleHeight":
            return ridge[2] - self.off("OldSeat(0)") * (1.0 - share) - self.off("OldSeat(1)") * share
        if of == "SaddleBack":
            return ridge[0]
        if of == "Exposure":
            bass, treble = (self.blank(m) for m in self.mouth)
            return ridge[2] - (bass[2] + (treble[2] - bass[2]) * (ridge[1] - bass[1]) / (treble[1] - bass[1]))
        raise AssertionError(of)


class Survey:
    """The survey as it is read, and all that is known by it and by further readings.

    `inputs`: as said above; `actions`: present action of every string where any was read; `between`: whether inner strings were put
    between the outer ones; `known`: how each string's stretch is known; `bridge`: where strings leave it.
    """

    def __init__(self, inputs, actions, between, known, thickness):
        self.inputs, self.between, self.known, self.thickness = inputs, between, known, thickness
        strings = inputs["strings"]
        self.read_action = actions is not None
        self.actions = actions or [2.4] * len(strings)
        self.by_reference = inputs["slot"]["read_by"] != "straightedge"
        self.elastic = [0.0] * len(strings)
        self.shares = [0.0] * len(strings)
        as_read = Instrument(self, lambda name: 0.0)
        ys = [as_read.y(s["run"], as_read.meets(as_read.end_line, s["run"])) for s in strings]
        self.shares = [(y - ys[0]) / (ys[-1] - ys[0]) for y in ys]
        self.elastic = [self.stand_off(as_read, i) for i in range(len(strings))]

    def back(self, i):
        if self.by_reference:
            bass, treble = (end["back"] for end in self.inputs["slot"]["reference"])
            return bass + (treble - bass) * self.shares[i]
        return 0.5 * self.thickness

    def stand_off(self, as_read, i):
        """Half the bend over the ridge times sqrt(EI/T): by elastic theory the string's line passes so far over it."""
        s, bridge, turned = self.inputs["strings"][i], self.inputs.get("bridge"), USUAL_BEND
        if bridge and as_read.string(i):
            nut, second = as_read.string(i)
            slope = (second[1] - nut[1]) / (second[0] - nut[0])
            contact = as_read.met(i)[0]
            outs = [(m[0] + b["behind_slot"], m[2] + b["above_bridge_top"]) for m, b in zip(as_read.mouth, bridge)]
            x, z = (outs[0][k] + self.shares[i] * (outs[1][k] - outs[0][k]) for k in (0, 1))
            turned = math.atan(slope) + math.atan((contact[1] - z) / (x - contact[0]))
        scale = as_read.meets(as_read.end_line, s["run"]) - as_read.meets(as_read.place(0), s["run"])
        _, _, share = as_read.stiff(i, (0.0, 0.0), (scale, 0.0))
        return 0.5 * turned * share * scale

    def rows(self, further):
        """Every row: (what, value, own uncertainty, visit); what is (reading, at, shared, how many times) or names of figures with factors. `further`
        are (reading, at, value, visit)."""
        rows, priors, strings = [], {}, self.inputs["strings"]
        slot, last = self.inputs["slot"], len(strings) - 1

        def known(name, sure):
            priors.setdefault(name, sure)

        def contact(i):
            if not (self.by_reference and i in (0, last)):
                known(f"Contact({i})", self.thickness / math.sqrt(12.0))

        def read(of, at, value, visit=1, apart=None):
            kind, fret = of if isinstance(of, tuple) else (of, None)
            total, tool = SURE[kind] if kind in SURE else (RADIUS * abs(value), "radius gauges")
            if kind == "Inharmonicity":
                total = total * abs(value)
            correlation = apart if apart is not None else OF_CENTS if kind == "Cents" else CORRELATION
            shared, own = total * math.sqrt(correlation), total * math.sqrt(1.0 - correlation)
            like = {"Action": "Action { fret: 12 }", "RadiusAt12": "RadiusAtNut"}.get(kind, kind)
            name = f"Pull({at})" if kind == "Cents" else f"Tool({tool}, {like})"
            if kind in ("SaddleHeight", "SaddleBack", "Exposure", "Contact", "Cents") and at is not None and of != ("End", 0):
                contact(at)
            if kind == "SaddleHeight" and not self.by_reference:
                known("OldSeat(0)", PRIOR["OldSeat"]), known("OldSeat(1)", PRIOR["OldSeat"])
            if kind in ("SlotDepth", "Exposure", "OverBridge") and self.by_reference:
                known("ReferenceDepth(0)", ANY_DEPTH), known("ReferenceDepth(1)", ANY_DEPTH)
            if shared > 0.0:
                known(name, shared)
            # What one tool's readings share is to each as much as it is said to be.
            times = shared / priors[name] if shared > 0.0 else 0.0
            if visit > 1:
                known(f"NeckDrift({visit})", PRIOR["NeckDrift"]), known(f"TopDrift({visit})", PRIOR["TopDrift"])
            # Where all is shared a reading has a thousandth of that to itself.
            rows.append(((of, at, name if shared > 0.0 else None, times), value, max(own, 1e-3 * shared, 1e-9), visit))

        def tied(names, sure):
            rows.append((names, 0.0, sure, 1))

        board = self.inputs["board"]
        read("NutTo12", None, Instrument(self, lambda name: 0.0).reading("NutTo12", None))
        read("Relief", None, board["relief"])
        if board["radius"]:
            read("RadiusAtNut", None, board["radius"]["nut"], apart=1.0)
            read("RadiusAt12", None, board["radius"]["fret_12"], apart=1.0)
        known("Ends", PRIOR["Ends"]), known("StandOff", PRIOR["StandOff"])
        read("Lean", None, slot["lean"] + slot["lean_under_tension"], apart=0.0)
        if self.by_reference:
            for e, end in enumerate(slot["reference"]):
                i = (0, last)[e]
                read("Contact", i, end["contact_from_fret_12"])
                read("SaddleHeight", i, end["height"])
                read("SaddleBack", i, end["back"])
                known(f"OldSeat({e})", PRIOR["OldSeat"])
                if end["depth"]:
                    read("SlotDepth", e, end["depth"])
        else:
            for e, (end, rise) in enumerate(zip(slot["straightedge"], slot["bridge_top_under_tension"])):
                read("SlotEdge", e, end["edge_from_fret_12"])
                read("BridgeTop", e, end["bridge_top"] + rise)
                read("SlotDepth", e, end["depth"])
            known("Straightedge", PRIOR["Straightedge"]), known("FloorBow", PRIOR["FloorBow"])
        for i, s in enumerate(strings):
            inner, nut = 0 < i < last and self.between, s["present_nut"]

            def between(of, i=i):
                share = self.shares[i]
                tied([(f"{of}({i})", 1.0), (f"{of}(0)", share - 1.0), (f"{of}({last})", -share)], BETWEEN[of])

            if nut:
                of, value = {"open-gaps": ("Clearance", nut.get("gap_1")), "held-at-3": ("HeldAtThree", nut.get("gap_1")),
                             "zero-fret": ("ZeroFret", nut.get("above"))}[nut["by"]]
                between("Nut") if inner else read(of, i, value)
            if self.read_action:
                between("Action") if inner else read(("Action", 12), i, self.actions[i])
            known(f"Mass({i})", PRIOR["Mass"])
            sure, times, tie = STRETCH[self.known[i]]
            known(f"Axial({i})", sure)
            tied([(f"Bending({i})", 1.0), (f"Axial({i})", -times)], tie)
        for of, at, value, visit in further:
            read(of, at, value, visit)
        for name, sure in priors.items():
            tied([(name, 1.0)], sure)
        return rows

    def expected(self, rows, names, state):
        """What every row would be at many states, a column each; `state` has a row a figure."""
        place = {name: i for i, name in enumerate(names)}
        nought = np.zeros(state.shape[1], dtype=state.dtype)

        def off(name):
            return state[place[name]] if name in place else nought

        visits = {visit: Instrument(self, off, visit) for visit in sorted({row[3] for row in rows})}
        out = []
        for what, _, _, visit in rows:
            if isinstance(what, list):
                out.append(sum(times * off(name) for name, times in what))
            else:
                of, at, shared, times = what
                out.append(visits[visit].reading(of, at) + (times * off(shared) if shared else 0.0) + nought)
        return np.array(out)

    def adjusted(self, rows, names):
        """State and covariance of the likeliest instrument."""
        values, sure = np.array([row[1] for row in rows]), np.array([row[2] for row in rows])
        count, step = len(names), 1e-30

        def left(state):
            return (self.expected(rows, names, state[:, None])[:, 0] - values) / sure

        def slopes(state):
            moved = state[:, None] + 1j * step * np.eye(count)
            return self.expected(rows, names, moved).imag / step / sure[:, None]

        tight = 3 * np.finfo(float).eps
        found = least_squares(left, np.zeros(count), jac=slopes, method="lm", x_scale="jac", xtol=tight, ftol=tight, gtol=tight)
        assert found.success
        # Sums of squares differ no more where half of the state's digits are still to come: three linear steps bring them.
        state = found.x
        for _ in range(3):
            jac = slopes(state)
            lengths = np.linalg.norm(jac, axis=0)
            state = state - np.linalg.lstsq(jac / lengths, left(state))[0] / lengths
        jac = slopes(state)
        lengths = np.linalg.norm(jac, axis=0)
        r = np.linalg.qr(jac / lengths)[1]
        shares = np.linalg.inv(r) / lengths[:, None]
        return state, shares @ shares.T, float(left(state) @ left(state)), np.linalg.cond(jac / lengths)
