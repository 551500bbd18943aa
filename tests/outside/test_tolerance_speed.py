"""Spread and speed of `bonewright tolerance` against a plain script (tolerance_speed.py)."""

from tolerance_speed import compare


def test_spread_agrees_and_speed_holds(capsys):
    # Shown where all goes well, too.
    with capsys.disabled():
        print()
        figures, faults = compare()
        print(figures)
    assert not faults, (faults, figures)
