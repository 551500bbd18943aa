"""The STL as trimesh (MIT, https://trimesh.org) reads it."""

import pytest
import trimesh

# Chords of the crown keep to this, mm, and single precision adds little.
TOLERANCE = 0.005


@pytest.fixture(scope="module")
def part(drawn):
    return trimesh.load_mesh(drawn.file("stl"))


def test_closed_and_turned_outward(part):
    assert part.is_watertight
    assert part.is_winding_consistent
    assert part.is_volume
    assert part.body_count == 1
    assert part.euler_number == 2


def test_size_in_millimetres(part, drawn):
    plan = drawn.plan
    (x0, y0, z0), (x1, y1, z1) = part.bounds
    low, high = sorted(drawn.hand * u for u in (plan["ends"]["bass"], plan["ends"]["treble"]))
    assert x0 == pytest.approx(low, abs=TOLERANCE)
    assert x1 == pytest.approx(high, abs=TOLERANCE)
    assert y0 == pytest.approx(-plan["blank"]["thickness"], abs=TOLERANCE)
    assert y1 == pytest.approx(0.0, abs=TOLERANCE)
    assert z0 == pytest.approx(0.0, abs=TOLERANCE)
    tallest = max(s["contact"]["v"] for s in plan["strings"])
    assert tallest - TOLERANCE <= z1 < tallest + 2.0
    box = (x1 - x0) * (y1 - y0) * (z1 - z0)
    assert 0.6 * box < part.volume < box


def test_a_rod_from_above_meets_the_crown_at_every_contact(part, drawn):
    for string in drawn.plan["strings"]:
        c = string["contact"]
        at = [drawn.hand * c["u"], -c["b"], 100.0]
        hits, _, _ = part.ray.intersects_location([at], [[0.0, 0.0, -1.0]])
        assert len(hits), string["number"]
        assert max(h[2] for h in hits) == pytest.approx(c["v"], abs=TOLERANCE), string["number"]
