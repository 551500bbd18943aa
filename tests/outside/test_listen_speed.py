"""Hearing a string, side by side with numpy and scipy."""

import listen_speed


def test_hearing_is_fast(capsys):
    with capsys.disabled():
        print()
        assert listen_speed.main() == 0
