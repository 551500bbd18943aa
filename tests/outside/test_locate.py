"""Heights of the cutter's tip against opencamlib over meshes of the same crown, ball and flat, at 2,000 places."""

from locate_speed import compare, make


def test_heights_agree_within_the_mesh(tmp_path):
    ours = make(tmp_path)
    assert {m["ridge"] for m in ours["meshes"]} == {"smooth", "stepped"}
    lines, faults = compare(tmp_path, ours)
    assert len(lines) == 2 * len(ours["meshes"])
    assert not faults, faults
