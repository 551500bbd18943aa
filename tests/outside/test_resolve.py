"""Contacts of the program against a second solution of the same equations (resolve.py)."""

import re

import pytest
from conftest import EXAMPLES, plan_of
from resolve import solve

# Places, mm, and cents.
PLACE = 0.0005
CENTS = 0.005


def compare(plan, straight=False):
    """Every figure of the plan that depends on the solution."""
    stand_offs = [s["stand_off"] for s in plan["strings"]]
    solved = solve(plan["inputs"], plan["blank"]["thickness"], plan["blank"]["land"], straight, stand_offs)
    strings, (origin, e_b, e_u, e_v) = solved
    frame = plan["frame"]
    for i, axis in enumerate("xyz"):
        assert frame["origin"][axis] == pytest.approx(origin[i], abs=PLACE)
        for name, vector in (("e_b", e_b), ("e_u", e_u), ("e_v", e_v)):
            assert frame[name][axis] == pytest.approx(vector[i], abs=1e-6)
    assert len(strings) == len(plan["strings"])
    for mine, theirs in zip(strings, plan["strings"]):
        number = theirs["number"]
        for axis in "buv":
            assert theirs["contact"][axis] == pytest.approx(mine[axis], abs=PLACE), (number, axis)
        assert theirs["position"]["x"] == pytest.approx(mine["x"], abs=PLACE), number
        assert theirs["position"]["z"] == pytest.approx(mine["z"], abs=PLACE), number
        assert theirs["wanted"]["b"] == pytest.approx(mine["wanted_b"], abs=PLACE), number
        assert theirs["setback_wanted"] == pytest.approx(mine["setback_wanted"], abs=PLACE), number
        assert theirs["nut_setback"] == pytest.approx(mine["nut_setback"], abs=PLACE), number
        assert theirs["hold"] == mine["held"], number
        assert theirs["cents"] == pytest.approx(list(mine["cents"]), abs=CENTS), number


def test_as_the_example_asks(drawn):
    text = next(p for p in EXAMPLES if p.stem == drawn.stem).read_text()
    compare(drawn.plan, straight=re.search(r'(?m)^front\s*=\s*"straight"', text) is not None)


# A zero fret has no setback, so nothing is solved for one.
CRITERIA = [
    pytest.param(job, criterion, id=f"{job.stem}-{criterion}")
    for job in EXAMPLES
    for criterion in ("octave", "best-fit", "best-fit-with-nut")
    if criterion != "best-fit-with-nut" or "zero_fret" not in job.read_text()
]


@pytest.mark.parametrize(("job", "criterion"), CRITERIA)
def test_with_each_criterion(job, criterion, tmp_path):
    text, count = re.subn(r'(?m)^(intonation\s*=\s*)"[^"]*"', rf'\1"{criterion}"', job.read_text())
    assert count >= 1, "the example names no intonation"
    # How a nut's setback is made belongs to one intonation only.
    text = re.sub(r"(?m)^front\s*=.*$", "", text)
    changed = tmp_path / job.name
    changed.write_text(text)
    plan = plan_of(changed)
    assert {s["intonation"] for s in plan["inputs"]["strings"]} <= {criterion, "offsets"}
    compare(plan)


def test_a_zero_fret_read_by_its_height(tmp_path):
    text = next(p for p in EXAMPLES if p.stem == "zero-fret").read_text()
    text, count = re.subn(r"(?m)^held_at_3 = .*$", "zero_fret_above = { bass = 0.25, treble = -0.05 }", text)
    assert count == 1
    job = tmp_path / "by-height.toml"
    job.write_text(text)
    plan = plan_of(job)
    assert all(s["present_nut"]["by"] == "zero-fret" for s in plan["inputs"]["strings"])
    compare(plan)
