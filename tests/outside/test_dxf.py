"""The DXF as ezdxf (MIT, https://ezdxf.mozman.at) reads it."""

import ezdxf
import pytest
from ezdxf import units
from ezdxf.math import BoundingBox

# The drawing may differ from the plan's figures by this, mm.
TOLERANCE = 0.005


@pytest.fixture(scope="module")
def document(drawn):
    return ezdxf.readfile(drawn.file("dxf"))


def on(document, layer, kind):
    return list(document.modelspace().query(f'{kind}[layer=="{layer}"]'))


def test_audit_finds_nothing_to_report_or_mend(document):
    audit = document.audit()
    assert [e.message for e in audit.errors] == []
    assert [f.message for f in audit.fixes] == []


def test_units_and_layers(document):
    assert document.units == units.MM
    assert document.dxfversion == "AC1015"
    layers = {layer.dxf.name for layer in document.layers}
    assert {"OUTLINE", "TOP", "RIDGE", "STATIONS", "NOTES"} <= layers
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used == {"OUTLINE", "TOP", "RIDGE", "STATIONS", "NOTES"}
    assert any("millimetres" in text.dxf.text for text in on(document, "NOTES", "TEXT"))


def test_stations_stand_where_the_plan_says(document, drawn):
    strings = drawn.plan["strings"]
    lines = on(document, "STATIONS", "LINE")
    points = on(document, "STATIONS", "POINT")
    labels = on(document, "STATIONS", "TEXT")
    assert len(lines) == len(points) == len(labels) == len(strings)
    (top,) = on(document, "TOP", "LWPOLYLINE")
    front_face = min(y for _, y in top.get_points("xy"))
    for string, line, point, label in zip(strings, lines, points, labels):
        contact = string["contact"]
        # Seen from the front, a right-handed saddle has its treble at the left.
        x = -drawn.hand * contact["u"]
        assert label.dxf.text == str(string["number"])
        assert label.get_placement()[1].x == pytest.approx(x, abs=TOLERANCE)
        assert line.dxf.start.x == pytest.approx(x, abs=TOLERANCE)
        assert line.dxf.start.y == pytest.approx(0.0, abs=TOLERANCE)
        assert line.dxf.end.x == pytest.approx(x, abs=TOLERANCE)
        assert line.dxf.end.y == pytest.approx(contact["v"], abs=TOLERANCE)
        assert point.dxf.location.x == pytest.approx(x, abs=TOLERANCE)
        assert point.dxf.location.y - front_face == pytest.approx(contact["b"], abs=TOLERANCE)


def test_outlines_have_the_size_of_the_blank(document, drawn):
    blank, ends = drawn.plan["blank"], drawn.plan["ends"]
    (outline,) = on(document, "OUTLINE", "LWPOLYLINE")
    (top,) = on(document, "TOP", "LWPOLYLINE")
    assert outline.closed and top.closed
    low, high = sorted(-drawn.hand * u for u in (ends["bass"], ends["treble"]))
    for shape in (outline, top):
        # Flattened, so that round ends count.
        box = BoundingBox(p for e in [ezdxf.path.make_path(shape)] for p in e.flattening(0.0005))
        assert box.extmin.x == pytest.approx(low, abs=TOLERANCE)
        assert box.extmax.x == pytest.approx(high, abs=TOLERANCE)
    assert box.size.y == pytest.approx(blank["thickness"], abs=TOLERANCE)
    heights = [y for _, y in outline.get_points("xy")]
    assert min(heights) == pytest.approx(0.0, abs=TOLERANCE)
    assert max(heights) >= max(s["contact"]["v"] for s in drawn.plan["strings"]) - TOLERANCE


def test_ridge_runs_through_every_contact(document, drawn):
    front, above = on(document, "RIDGE", "LWPOLYLINE")
    (top,) = on(document, "TOP", "LWPOLYLINE")
    front_face = min(y for _, y in top.get_points("xy"))
    for string in drawn.plan["strings"]:
        contact = string["contact"]
        x = -drawn.hand * contact["u"]
        for ridge, y in ((front, contact["v"]), (above, front_face + contact["b"])):
            nearest = min(abs(px - x) + abs(py - y) for px, py in ridge.get_points("xy"))
            assert nearest < TOLERANCE


def test_text_is_plain_ascii_and_every_number_a_number(drawn):
    text = drawn.file("dxf").read_bytes().decode("ascii").lower()
    lines = [line.strip() for line in text.splitlines()]
    assert not {"nan", "inf", "-inf", "-0.000000"} & set(lines)
