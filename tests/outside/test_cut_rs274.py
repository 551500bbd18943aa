"""What `bonewright cut` writes for every example, through the RS-274/NGC interpreter, against `bonewright replay --json`."""

import json
import subprocess

import pytest
from conftest import BINARY, EXAMPLES
from test_rs274 import SLACK_Z_MM, interpreted, lowest, near

SETUPS = ("on-edge", "flat")
MACHINES = ("small belt router", "small router, lines only", "small ballscrew mill")
# Exit code of a program that is not in order and so was not written.
REFUSED = 4


def run(*args):
    return subprocess.run([BINARY, *map(str, args)], capture_output=True, text=True, timeout=300)


@pytest.fixture(scope="session")
def cut_programs(tmp_path_factory):
    """Every program that was written, with its job, setup and machine."""
    found = []
    for job in EXAMPLES:
        for setup in SETUPS:
            # The other machines once: they differ in words, not in what is cut.
            for machine in MACHINES if job.stem == "parlour" else MACHINES[:1]:
                out = tmp_path_factory.mktemp("cut")
                done = run("cut", job, "--setup", setup, "--machine", machine, "--out", out)
                if done.returncode == REFUSED:
                    assert not list(out.iterdir()), f"{job.stem}: refused, yet files were written"
                    assert "Nothing was written" in done.stderr
                    continue
                assert done.returncode == 0, f"{job.stem} {setup} {machine}: {done.stderr}"
                found += [(path, job, setup, machine) for path in sorted(out.glob("*.ngc"))]
    assert len({(job, setup) for _, job, setup, _ in found}) >= 2 * len(EXAMPLES) - 5
    return found


def test_every_program_of_cut(cut_programs):
    for path, job, setup, machine in cut_programs:
        theirs = interpreted(path)
        done = run("replay", path, "--job", job, "--setup", setup, "--machine", machine, "--json")
        assert done.returncode == 0, f"{path.name}: {done.stderr}"
        page = json.loads(done.stdout)
        ours = page["motions"]
        assert len(ours) == len(theirs), path.name
        for a, b in zip(ours, theirs):
            where = f"{path.name}, line {a['line']}: {a} against {b}"
            assert a["kind"] == b["kind"], where
            assert near(a["to"], b["to"], b["unit"]), where
            assert a["spindle"] == b["spindle"] and abs(a["feed"] - b["feed"]) <= 0.01, where
        first, moving = theirs[0], theirs[1:]
        assert first["kind"] == "rapid" and first["to"][:2] == [0.0, 0.0], path.name
        for axis, travel in enumerate(page["travel"]):
            places = [m["to"][axis] for m in moving]
            assert max(places) - min(places) <= travel, path.name
        for m in moving:
            if m["kind"] == "rapid":
                sideways = m["from"][:2] != m["to"][:2]
                assert not sideways or lowest(m) >= page["safe_z"] - SLACK_Z_MM, f"{path.name}: {m}"
            else:
                assert m["spindle"] > 0.0 and m["feed"] > 0.0, f"{path.name}: {m}"
