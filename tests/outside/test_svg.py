"""The sheets as Python's own XML reader reads them."""

import re
import xml.etree.ElementTree as ElementTree

import pytest

SVG = "{http://www.w3.org/2000/svg}"
# The drawing may differ from the plan's figures by this, mm.
TOLERANCE = 0.005


@pytest.fixture(scope="module")
def roots(drawn):
    assert drawn.sheets
    return [ElementTree.parse(path).getroot() for path in drawn.sheets]


def test_well_formed_at_true_scale(roots):
    for root in roots:
        assert root.tag == f"{SVG}svg"
        # One user unit is one millimetre.
        x, y, width, height = map(float, root.get("viewBox").split())
        assert (x, y) == (0.0, 0.0)
        assert root.get("width") == f"{width:g}mm"
        assert root.get("height") == f"{height:g}mm"


def test_every_number_is_a_number(drawn):
    for path in drawn.sheets:
        for element in ElementTree.parse(path).iter():
            for name, value in element.attrib.items():
                assert not re.search(r"\b(nan|inf|infinity)\b", value, re.IGNORECASE), (path, name, value)


def test_ids_are_unique(roots):
    for root in roots:
        ids = [e.get("id") for e in root.iter() if e.get("id")]
        assert len(ids) == len(set(ids))


def test_nothing_is_drawn_off_the_sheet(roots):
    for root in roots:
        _, _, width, height = map(float, root.get("viewBox").split())
        for path in root.iter(f"{SVG}path"):
            numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path.get("d"))]
            assert all(0.0 <= x <= width for x in numbers[0::2]), path.attrib
            assert all(0.0 <= y <= height for y in numbers[1::2]), path.attrib


def with_id(roots, name):
    (element,) = (e for root in roots for e in root.iter() if e.get("id") == name)
    return element


def corners(path):
    return [tuple(map(float, c.split())) for c in re.findall(r"[ML]([^MLZ]+)", path.get("d"))]


def outline(roots, name, hand):
    """Outline as (u from the bass end, v), by its own left or right and lower edge; `hand`: sign of u to the right."""
    points = corners(with_id(roots, name))
    bass = min(hand * x for x, _ in points)
    bottom = max(y for _, y in points)
    return [(hand * x - bass, bottom - y) for x, y in points], bass, bottom


def test_stations_stand_where_the_plan_says(roots, drawn):
    # Seen from the front, a right-handed saddle has its treble at the left.
    sign = -drawn.hand
    points, bass, bottom = outline(roots, "outline-front", sign)
    ends = drawn.plan["ends"]
    assert max(u for u, _ in points) == pytest.approx(ends["treble"] - ends["bass"], abs=TOLERANCE)
    front_face = max(y for _, y in corners(with_id(roots, "outline-above")))
    for string in drawn.plan["strings"]:
        mark = with_id(roots, f"station-{string['number']}")
        u = sign * float(mark.get("cx")) - bass + ends["bass"]
        assert u == pytest.approx(string["contact"]["u"], abs=TOLERANCE)
        assert bottom - float(mark.get("cy")) == pytest.approx(string["contact"]["v"], abs=TOLERANCE)
        above = with_id(roots, f"station-above-{string['number']}")
        assert float(above.get("cx")) == pytest.approx(float(mark.get("cx")), abs=TOLERANCE)
        # Third angle: the front face is the lower edge of the view from above.
        assert front_face - float(above.get("cy")) == pytest.approx(string["contact"]["b"], abs=TOLERANCE)


def test_the_outline_names_its_own_zero(roots, drawn):
    path = with_id(roots, "outline-front")
    sign = float(path.get("data-u-sign"))
    assert sign == -drawn.hand
    _, bass, bottom = outline(roots, "outline-front", sign)
    assert float(path.get("data-v0-y")) == pytest.approx(bottom, abs=TOLERANCE)
    assert sign * float(path.get("data-u0-x")) == pytest.approx(bass - drawn.plan["ends"]["bass"], abs=TOLERANCE)


def height_at(points, u):
    """Height of an outline's top at u, by its chords."""
    top = [(p, q) for p, q in zip(points, points[1:] + points[:1]) if p[1] > 0.0 and q[1] > 0.0 and p[0] != q[0]]
    ((u0, v0), (u1, v1)) = next(c for c in top if min(c[0][0], c[1][0]) <= u <= max(c[0][0], c[1][0]))
    return v0 + (u - u0) / (u1 - u0) * (v1 - v0)


@pytest.mark.parametrize(("name", "turned"), [("outline-pattern-front", 1.0), ("outline-pattern-back", -1.0)])
def test_patterns_are_the_front_view_again(roots, drawn, name, turned):
    front, _, _ = outline(roots, "outline-front", -drawn.hand)
    pattern, _, _ = outline(roots, name, -drawn.hand * turned)
    length = max(u for u, _ in front)
    assert max(u for u, _ in pattern) == pytest.approx(length, abs=TOLERANCE)
    for i in range(1, 200):
        u = length * i / 200.0
        assert height_at(pattern, u) == pytest.approx(height_at(front, u), abs=TOLERANCE), u
