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


def test_stations_stand_where_the_plan_says(roots, drawn):
    outlines = [e for root in roots for e in root.iter() if e.get("id") == "outline-front"]
    marks = {e.get("id"): e for root in roots for e in root.iter() if (e.get("id") or "").startswith("station-")}
    assert len(outlines) == 1
    (outline,) = outlines
    zero_x, zero_y, sign = (float(outline.get(f"data-{key}")) for key in ("u0-x", "v0-y", "u-sign"))
    # Seen from the front, a right-handed saddle has its treble at the left.
    assert sign == -drawn.hand
    for string in drawn.plan["strings"]:
        mark = marks[f"station-{string['number']}"]
        assert sign * (float(mark.get("cx")) - zero_x) == pytest.approx(string["contact"]["u"], abs=TOLERANCE)
        assert zero_y - float(mark.get("cy")) == pytest.approx(string["contact"]["v"], abs=TOLERANCE)
    corners = [tuple(map(float, c.split())) for c in re.findall(r"[ML]([^MLZ]+)", outline.get("d"))]
    across = sorted(sign * (x - zero_x) for x, _ in corners)
    ends = drawn.plan["ends"]
    assert across[0] == pytest.approx(ends["bass"], abs=TOLERANCE)
    assert across[-1] == pytest.approx(ends["treble"], abs=TOLERANCE)
