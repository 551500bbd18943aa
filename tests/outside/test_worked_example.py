"""The second solution itself, against the worked example that the Rust tests use (worked example A of the design papers: an
invented parlour guitar; places to 0.00001 mm, solved independently of both)."""

import math

import pytest
from resolve import solve

# number, Hz, gauge, clearance now, action now, target, g/m, E A in N, E I in N mm2
STRINGS = [
    (6, 82.4069, 1.35, 0.55, 2.9, 2.4, 10.042306, 31808.6256, 402.5779),
    (5, 110.0, 1.07, 0.52, 2.75, 2.3, 6.332775, 25132.7412, 251.3274),
    (4, 146.8324, 0.81, 0.48, 2.6, 2.2, 3.657023, 20357.5204, 164.8959),
    (3, 195.9977, 0.61, 0.45, 2.45, 2.1, 2.100133, 17105.9720, 116.4275),
    (2, 246.9417, 0.41, 0.4, 2.3, 2.0, 1.036400, 26405.0863, 277.4184),
    (1, 329.6276, 0.3, 0.36, 2.2, 1.9, 0.554884, 14137.1669, 79.5216),
]
# (u, b, v) by string
OCTAVE = [
    (-0.09090, 2.85000, 8.46715),
    (10.97157, 2.47310, 8.86437),
    (22.01986, 2.12609, 8.96108),
    (33.04565, 2.00958, 8.70597),
    (44.02899, 2.85000, 8.02411),
    (55.04608, 2.58151, 7.20193),
]
BEST_FIT = [
    (-0.09090, 2.85000, 8.46715),
    (10.95562, 2.77505, 8.81868),
    (22.00952, 2.34622, 8.92776),
    (33.03873, 2.17931, 8.68022),
    (44.02899, 2.85000, 8.02411),
    (55.04195, 2.73183, 7.17895),
]
SCALE = 610.0


def inputs(intonation):
    # Equal clear gaps over 36.5 mm at the nut, equal centres over 55 mm at the saddle.
    gauges = [s[2] for s in STRINGS]
    gap = (36.5 - sum(gauges) + (gauges[0] + gauges[-1]) / 2.0) / 5.0
    nut = [-36.5 / 2.0]
    for a, b in zip(gauges, gauges[1:]):
        nut.append(nut[-1] + a / 2.0 + gap + b / 2.0)
    saddle = [-27.5 + 11.0 * i for i in range(6)]
    return {
        "board": {"scale": SCALE, "joint_fret": 12, "relief": 0.18, "radius": {"nut": 300.0, "fret_12": 350.0}},
        "press": 0.0, "ends": 1.0, "stand_off": 0.0,
        "strings": [
            {
                "frequency": hz,
                "outer_diameter": gauge,
                "linear_density": density,
                "stiffness": {"by": "construction", "axial": axial, "bending": bending},
                "run": {"nut": at_nut, "slope": (at_saddle - at_nut) / SCALE},
                "present_nut": {"by": "open-gaps", "gap_1": clearance, "action_12": now},
                "new_clearance": None,
                "new_held_at_3": None,
                "nut_x": 0.0,
                "target_action": target,
                "intonation": intonation,
                "measured": None,
            }
            for (_, hz, gauge, clearance, now, target, density, axial, bending), at_nut, at_saddle in zip(
                STRINGS, nut, saddle
            )
        ],
        "slot": {
            "read_by": "straightedge",
            "lean": math.radians(9.0),
            "lean_under_tension": 0.0,
            "bridge_top_under_tension": [0.0, 0.0],
            "under": 0.0,
            "straightedge": [
                {"edge_from_fret_12": 306.9, "bridge_top": 1.2, "depth": 5.5},
                {"edge_from_fret_12": 304.6, "bridge_top": 1.4, "depth": 5.3},
            ],
        },
    }


@pytest.mark.parametrize(("intonation", "expected"), [("octave", OCTAVE), ("best-fit", BEST_FIT)])
def test_contacts(intonation, expected):
    found, (origin, *_) = solve(inputs(intonation), 3.2, 0.35)
    assert list(origin) == pytest.approx([612.758809, -27.473023, -5.174875], abs=1e-5)
    for string, (u, b, v) in zip(found, expected, strict=True):
        assert (string["u"], string["b"], string["v"]) == pytest.approx((u, b, v), abs=2e-5)
