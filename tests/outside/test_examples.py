"""That there is something to check, and that drawing it again gives the same bytes."""

from conftest import EXAMPLES, bonewright


def test_four_examples():
    assert len(EXAMPLES) >= 4, EXAMPLES


def test_every_kind_of_file_is_there(drawn):
    assert drawn.sheets
    for ending in ("pdf", "dxf", "stl"):
        drawn.file(ending)
    assert list(drawn.out.glob(f"{drawn.stem}*.png"))


def test_same_input_same_bytes(drawn, tmp_path):
    job = next(job for job in EXAMPLES if job.stem == drawn.stem)
    bonewright("draw", job, "--out", tmp_path)
    first = {p.name: p.read_bytes() for p in drawn.out.iterdir()}
    again = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    assert first.keys() == again.keys()
    for name in first:
        assert first[name] == again[name], name
