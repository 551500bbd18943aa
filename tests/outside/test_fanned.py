"""Frets of a fanned board against closed geometry in the plane and in space.

Each fret is the straight line through two points, one on each outer string, which equal temperament puts there; the outer strings lie
on straight lines whose ends the scale lengths, the square fret and the spreads fix. Nothing here follows the program's own way: points
are found by solving linear equations with numpy. Lengths in mm.
"""

import math

import numpy as np
import pytest
from conftest import EXAMPLES, plan_of

IN = 25.4


def cross(p, q, r, s):
    """Where the line through p and q meets that through r and s."""
    a = np.column_stack((q - p, r - s))
    share, _ = np.linalg.solve(a, r - p)
    return p + share * (q - p)


def outer_strings(scales, square, spreads):
    """Both ends of the outer bass and treble string: spreads are read along nut and saddle, which slant."""
    stand = [scale * (1.0 - 2.0 ** (-square / 12.0)) for scale in scales]
    starts = np.array([-stand[0], -stand[1]])
    starts -= starts.mean()
    ends = starts + np.array(scales)
    strings = []
    across = [math.sqrt(spread**2 - (x[1] - x[0]) ** 2) for spread, x in zip(spreads, (starts, ends))]
    for side, sign in ((0, -0.5), (1, 0.5)):
        strings.append(
            (np.array([starts[side], sign * across[0]]), np.array([ends[side], sign * across[1]])),
        )
    return strings


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    """A flat-boarded variant of the example: no nut, no wear, a spread at the nut."""
    text = next(p for p in EXAMPLES if p.stem == "fanned-seven").read_text()
    head, rest = text.split("[nut_blank]")
    text = head + rest[rest.index("[target]") :]
    text = text.replace('board_radius = { nut = "16", fret_12 = "20" }', 'board_radius = "flat"')
    text = "\n".join(line for line in text.splitlines() if not line.startswith("fret_wear"))
    text = text.replace('saddle_spread = "2 3/4"', 'nut_spread = "1.8"\nsaddle_spread = "2 3/4"')
    text = text.replace('nut_spacing = "equal gaps"', 'nut_spacing = "equal centres"')
    job = tmp_path_factory.mktemp("fanned") / "fanned.toml"
    job.write_text(text)
    return plan_of(job)


def test_frets_nuts_and_saddles_stand_where_geometry_puts_them(plan):
    scales, square = (26.5 * IN, 25.5 * IN), 8
    bass, treble = outer_strings(scales, square, (1.8 * IN, 2.75 * IN))
    frets = []
    for n in range(25):
        share = 1.0 - 2.0 ** (-n / 12.0)
        frets.append([end[0] + share * (end[1] - end[0]) for end in (bass, treble)])
    bridge = [bass[1], treble[1]]
    assert abs(frets[square][0][0] - frets[square][1][0]) < 1e-9

    board = plan["inputs"]["board"]
    for n, (from_bass, to_treble) in enumerate(frets):
        line = board["frets"][n]
        for x, y in (from_bass, to_treble):
            assert abs(line["x"] + line["slant"] * y - x) < 1e-9, f"fret {n}"

    count = len(plan["strings"])
    for i, (s, given) in enumerate(zip(plan["strings"], plan["inputs"]["strings"])):
        # Equal centres at both ends: each string keeps its share, so it has a scale length of its own.
        share = i / (count - 1)
        start, end = (a + share * (b - a) for a, b in zip((bass[0], bass[1]), (treble[0], treble[1])))
        scale = scales[0] + share * (scales[1] - scales[0])
        assert abs(end[0] - start[0] - scale) < 1e-9
        run = given["run"]
        for x, y in (start, end):
            assert abs(run["nut"] + run["slope"] * x - y) < 1e-9
        assert abs(s["nut"]["x"] - start[0]) < 1e-9
        assert abs(s["setback"] - (s["position"]["x"] - end[0])) < 1e-9
        # The action stands over the place where the string crosses fret 12, which relief lets down.
        twelve = cross(start, end, *frets[12])
        first, joint = cross(start, end, *frets[1]), cross(start, end, *frets[14])
        t = (twelve[0] - first[0]) / (joint[0] - first[0])
        crown = -4.0 * board["relief"] * t * (1.0 - t)
        nut, saddle = (np.array([s["nut"]["x"], s["nut"]["z"]]), np.array([s["position"]["x"], s["position"]["z"]]))
        z = nut[1] + (saddle[1] - nut[1]) * (twelve[0] - nut[0]) / (saddle[0] - nut[0])
        assert abs(z - crown - s["action_12"]) < 1e-9
        # And at fret 1 the new nut gives the gap that was asked for.
        z = nut[1] + (saddle[1] - nut[1]) * (first[0] - nut[0]) / (saddle[0] - nut[0])
        assert abs(z - s["action_1"]) < 1e-9


def test_the_saddle_stands_in_space_as_the_slot_was_read(plan):
    """Mouth points along the outer strings' own planes, and the blank's axes from them."""
    bass, treble = outer_strings((26.5 * IN, 25.5 * IN), 8, (1.8 * IN, 2.75 * IN))
    mouth = []
    for (start, end), edge, top in zip((bass, treble), (13 + 13 / 32, 12 + 49 / 64), (0.055, 0.060)):
        twelve = start + 0.5 * (end - start)
        way = (end - start) / (end - start)[0]
        x = twelve[0] + edge * IN
        place = start + (x - start[0]) * way
        mouth.append(np.array([place[0], place[1], top * IN]))
    along = mouth[1] - mouth[0]
    lean = math.radians(2.0)
    e_u = along / np.linalg.norm(along)
    up = np.array([0.0, 0.0, 1.0])
    v0 = up - up.dot(e_u) * e_u
    v0 /= np.linalg.norm(v0)
    b0 = np.cross(e_u, v0)
    e_v = v0 * math.cos(lean) - b0 * math.sin(lean)
    frame = plan["frame"]
    # The axes are rebuilt on the floor, which the depths tilt by little.
    floor = [mouth[0] - 7 / 32 * IN * e_v, mouth[1] - 0.210 * IN * e_v]
    u = floor[1] - floor[0]
    u /= np.linalg.norm(u)
    for axis, origin, along in zip("xyz", floor[0], u):
        assert abs(frame["origin"][axis] - origin) < 1e-9
        assert abs(frame["e_u"][axis] - along) < 1e-12
