"""Programs by hand through the stand-alone RS-274/NGC interpreter of Debian's linuxcnc-uspace, against our own replay.

They are those of the Rust program write_program, with arcs in all planes, replayed by the Rust program replay. All that
`bonewright cut` writes is held against the interpreter in test_cutting.py.
"""

import json
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest
from conftest import TREE
from cutting import beyond_machine, differs
from interpreter import EMPTY, EQUAL, UNEQUAL, Refuses, interpreted


def cargo(*args):
    command = ["cargo", "run", "--quiet", "-p", "bonewright-benches", "--bin", *map(str, args)]
    done = subprocess.run(command, cwd=TREE, capture_output=True, text=True, timeout=1800)
    assert done.returncode == 0, f"{command}: exit {done.returncode}\n{done.stderr}"
    return done.stdout


@dataclass
class Program:
    """A program, what we say that it does, and what it must keep to."""

    path: Path
    motions: list
    safe_z: float
    travel: list


@pytest.fixture(scope="session")
def programs(tmp_path_factory):
    folder = tmp_path_factory.mktemp("by-hand")
    cargo("write_program", "--", folder)
    found = []
    for path in sorted(folder.glob("*.ngc")):
        limits = json.loads(Path(f"{path}.limits.json").read_text())
        motions = [json.loads(line) for line in cargo("replay", "--", path).splitlines()]
        found.append(Program(path, motions, limits["safe_z"], limits["travel"]))
    assert len(found) == 2
    return found


def test_every_program(programs):
    for program in programs:
        theirs, name = interpreted(program.path, UNEQUAL).motions, program.path.name
        assert len(program.motions) == len(theirs), name
        for a, b in zip(program.motions, theirs):
            what = differs(a, b)
            assert what is None, f"{name}, line {a['line']}: {what}: {a} against {b}"


def test_the_comparison_can_say_no(programs):
    """A motion that is off in one figure is told apart from itself."""
    arc = next(m for p in programs for m in interpreted(p.path, UNEQUAL).motions if m["kind"] == "arc")
    arc = arc | {"tool": arc["tool"] or 1}
    assert differs(arc, arc) is None
    x, y, z = arc["to"]
    for change, what in [
        ({"to": [x, y + 0.001, z]}, "end"),
        ({"feed": arc["feed"] + 0.1}, "spindle or feed"),
        ({"tool": arc["tool"] + 1}, "tool"),
        ({"clockwise": not arc["clockwise"]}, "plane or sense"),
        ({"centre": [c + 0.01 for c in arc["centre"]]}, "centre"),
        ({"kind": "line"}, "kind"),
    ]:
        assert differs(arc | change, arc) == what


def test_programs_keep_to_the_machine(programs):
    for program in programs:
        motions = interpreted(program.path, UNEQUAL).motions
        assert not list(beyond_machine(motions, program.safe_z, program.travel)), program.path.name


def written(folder, *lines):
    path = folder / "program.ngc"
    path.write_text("\n".join(("G21 G90 G17 G94 G54", *lines, "M30", "")))
    return path


def test_the_interpreter_can_say_no(tmp_path):
    """It does refuse what it should, so that its silence means something."""
    with pytest.raises(Refuses):
        interpreted(written(tmp_path, "F100", "G2 X2 Y0 I1.5 J0"))
    with pytest.raises(Refuses):
        interpreted(written(tmp_path, "T1", "G0 Z5"), EMPTY)


LENGTHS = [
    # lines, and how far the tip of the last motion stands off, by the lengths of the table
    (("T1 M6", "G43 H1", "G0 Z9"), lambda table: 0.0),
    (("T1 M6", "G49", "G0 Z9"), lambda table: -table[1]),
    (("T1 M6", "G43 H1", "G0 Z9", "T3 M6", "G0 Z5"), lambda table: table[1] - table[3]),
    (("T3 M6", "G43 H2", "G0 Z9"), lambda table: table[2] - table[3]),
    (("T1 M6", "G43 H1", "G0 Z9", "T3 M6", "G43 H3", "G0 Z5"), lambda table: 0.0),
    (("G49", "G0 Z9", "(Tool 3: put in ball)", "M0", "G0 Z5"), lambda table: 0.0),
    (("G49", "G0 Z9", "(Tool 3: put in ball)", "M0", "G43 H3", "G0 Z5"), lambda table: table[3]),
]


@pytest.mark.parametrize(("lines", "off"), LENGTHS)
@pytest.mark.parametrize("table", [UNEQUAL, EQUAL])
def test_tips_are_worked_out(tmp_path, lines, off, table):
    """Whatever the table holds; a length not taken up, or another tool's, shows."""
    last = interpreted(written(tmp_path, *lines), table).motions[-1]
    assert last["length"] == pytest.approx(off(table), abs=0.001)


def test_lengths_in_inches(tmp_path):
    path = tmp_path / "inches.ngc"
    path.write_text("G20 G90 G17 G94 G54\nT1 M6\nG43 H1\nG0 Z1\nM30\n")
    last = interpreted(path, UNEQUAL).motions[-1]
    assert last["length"] == pytest.approx(0.0, abs=0.002) and last["to"][2] == pytest.approx(25.4)
