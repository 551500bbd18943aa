"""The PDF as poppler's tools and qpdf read and print it."""

import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from conftest import tool
from PIL import Image

# ISO 216 A4 and ANSI/ASME Y14.1 letter, in points of 1/72 in.
PAPERS = [(595.276, 841.890), (612.0, 792.0)]
DPI = 600
# Length of the bars on paper, mm.
TOLERANCE = 0.1


def pages(pdf):
    found = re.search(r"^Pages:\s+(\d+)$", tool("pdfinfo", pdf), re.MULTILINE)
    return int(found[1])


def test_page_size_is_exact(drawn):
    pdf = drawn.file("pdf")
    count = pages(pdf)
    assert count == len(drawn.sheets)
    text = tool("pdfinfo", "-f", 1, "-l", count, pdf)
    sizes = re.findall(r"^Page\s+\d+ size:\s+([\d.]+) x ([\d.]+) pts", text, re.MULTILINE)
    assert len(sizes) == count
    for size in sizes:
        size = sorted(map(float, size))
        assert any(size == pytest.approx(paper, abs=0.01) for paper in PAPERS), size


def test_structure_is_sound(drawn):
    assert "No syntax or stream encoding errors found" in tool("qpdf", "--check", drawn.file("pdf"))


def test_fonts_are_inside(drawn):
    rows = tool("pdffonts", drawn.file("pdf")).splitlines()[2:]
    assert rows, "no text in the PDF"
    for row in rows:
        # The last columns: embedded, subset, unicode, object number and generation.
        embedded, subset, unicode, _, _ = row.split()[-5:]
        assert (embedded, subset, unicode) == ("yes", "yes", "yes"), row


def test_text_can_be_read(drawn):
    text = " ".join(tool("pdftotext", "-layout", drawn.file("pdf"), "-").split())
    raw = " ".join(tool("pdftotext", "-raw", drawn.file("pdf"), "-").split())
    assert drawn.plan["title"] in raw or drawn.plan["title"] in text
    for word in ("respirator", "eye protection", "slack", "survey"):
        assert re.search(word, raw, re.IGNORECASE), word
    for string in drawn.plan["strings"]:
        assert re.search(rf"\b{string['number']}\b", raw)


@pytest.fixture(scope="module")
def printed(drawn, tmp_path_factory):
    """Every page in grey at DPI, 0 white to 1 black."""
    folder = tmp_path_factory.mktemp("pages")
    tool("pdftoppm", "-r", DPI, "-gray", drawn.file("pdf"), folder / "page")
    files = sorted(folder.glob("page-*.pgm"))
    assert len(files) == len(drawn.sheets)
    Image.MAX_IMAGE_PIXELS = None
    return [1.0 - np.asarray(Image.open(f), dtype=np.float32) / 255.0 for f in files]


def runs(row):
    """(first, last + 1) of each stretch of ink."""
    ink = np.concatenate(([0], (row > 0.5).astype(int), [0]))
    turns = np.flatnonzero(np.diff(ink))
    return list(zip(turns[0::2], turns[1::2]))


@pytest.mark.parametrize(("name", "length"), [("bar-100mm", 100.0), ("bar-4in", 101.6)])
def test_the_bars_on_paper_have_their_length(drawn, printed, name, length):
    found = 0
    for path, page in zip(drawn.sheets, printed):
        for bar in (e for e in ElementTree.parse(path).iter() if e.get("id") == name):
            found += 1
            (x0, y0), (x1, y1) = ([float(v) for v in p.split()] for p in re.findall(r"[ML]([^ML]+)", bar.get("d")))
            assert y0 == y1
            per_mm = DPI / 25.4
            # The line itself, unbroken, with at most its end marks' width over.
            row = page[round(y0 * per_mm), :]
            first, last = round((x0 - 3.0) * per_mm), round((x1 + 3.0) * per_mm)
            (line,) = (r for r in runs(row[first:last]) if r[1] - r[0] > 10.0 * per_mm)
            assert length - TOLERANCE < (line[1] - line[0]) / per_mm < length + 0.5
            # Between its end marks, which alone stand 2.3 mm over it, from middle to middle.
            marks = runs(page[round((y0 - 2.3) * per_mm), first:last])
            assert len(marks) == 2, marks
            (a, b), (c, d) = marks
            measured = ((c + d) - (a + b)) / 2.0 / per_mm
            assert measured == pytest.approx(length, abs=TOLERANCE)
    assert found == len(drawn.sheets), "a bar on every sheet"
