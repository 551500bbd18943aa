"""What long work shows of itself: a line where somebody looks, gone at the end, and never a byte anywhere else."""

import os
import pty
import subprocess

from conftest import BINARY, TREE

JOB = TREE / "examples" / "parlour-both.toml"
COMMANDS = {"cut": ["cut", JOB, "--dry-run"], "tolerance": ["tolerance", JOB, "--samples", "1200000"]}
CLEARED = b"\r\x1b[2K"


def on_a_terminal(arguments, out, term="xterm"):
    """Runs the program with standard error on a terminal; what came there."""
    ours, theirs = pty.openpty()
    with open(out, "wb") as stdout:
        child = subprocess.Popen(
            [BINARY, *map(str, arguments)], stdin=subprocess.DEVNULL, stdout=stdout, stderr=theirs, env={**os.environ, "TERM": term}
        )
    os.close(theirs)
    seen = b""
    while True:
        try:
            read = os.read(ours, 65536)
        except OSError:  # the other end is closed
            break
        if not read:
            break
        seen += read
    os.close(ours)
    assert child.wait(timeout=120) == 0, seen
    return seen


def test_a_line_on_a_terminal_and_nothing_after(tmp_path):
    for name, arguments in COMMANDS.items():
        piped = subprocess.run([BINARY, *map(str, arguments)], capture_output=True, timeout=120)
        assert (piped.returncode, piped.stderr) == (0, b""), name
        seen = on_a_terminal(arguments, tmp_path / name)
        assert b"[" in seen and b" of " in seen, (name, seen)
        # Each state takes the last one's place, and the last one is taken away.
        assert seen.endswith(CLEARED) and b"\n" not in seen, (name, seen)
        assert (tmp_path / name).read_bytes() == piped.stdout, name
        # A terminal that cannot go back is left alone.
        assert on_a_terminal(arguments, tmp_path / name, term="dumb") == b"", name


def test_setups_are_named(tmp_path):
    seen = on_a_terminal(COMMANDS["cut"], tmp_path / "cut")
    for words in (b"0 of 3  Cutting on edge", b"1 of 3  Nut flat", b"2 of 3  Nut on edge"):
        assert words in seen, seen
