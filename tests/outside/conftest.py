"""Every example, planned and drawn once by the program under test."""

import json
import os
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

TREE = Path(__file__).resolve().parents[2]
# Jobs that make one saddle: a nut alone has no [slot]. Of several, each is planned as a job of its own, which the tests in Rust hold.
EXAMPLES = sorted(p for p in (TREE / "examples").glob("*.toml")
                  if "\n[slot]" in (text := p.read_text()) and "\n[[saddle]]" not in text)
BINARY = os.environ.get("BONEWRIGHT_BIN", "")


def bonewright(*args):
    """Runs the program; its standard output."""
    assert BINARY, "set BONEWRIGHT_BIN to the built program"
    done = subprocess.run([BINARY, *map(str, args)], capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, f"bonewright {args}: exit {done.returncode}\n{done.stderr}"
    return done.stdout


def tool(*args):
    """Runs another program; its standard output. A program that is missing fails the check."""
    done = subprocess.run([*map(str, args)], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, f"{args}: exit {done.returncode}\n{done.stdout}{done.stderr}"
    return done.stdout


def plan_of(job):
    plan = json.loads(bonewright("plan", job, "--json"))
    assert (plan["format"], plan["version"]) == ("bonewright-plan", 1)
    assert plan["strings"]
    return plan


@dataclass
class Drawn:
    """An example with all that was made of it."""

    stem: str
    out: Path
    plan: dict

    @property
    def hand(self):
        """Sign of u in the part as made."""
        return -1.0 if self.plan["left_handed"] else 1.0

    @property
    def sheets(self):
        """SVG sheets in order of their pages."""
        single = self.out / f"{self.stem}.svg"
        if single.exists():
            return [single]
        many = self.out.glob(f"{self.stem}-*.svg")
        number = {p: p.stem.removeprefix(f"{self.stem}-") for p in many}
        # The sheets of a nut are numbered by themselves.
        return sorted((p for p, n in number.items() if n.isdigit()), key=lambda p: int(number[p]))

    def file(self, ending):
        path = self.out / f"{self.stem}.{ending}"
        assert path.stat().st_size > 0
        return path



@pytest.fixture(scope="session", params=EXAMPLES, ids=lambda p: p.stem)
def drawn(request, tmp_path_factory):
    job = request.param
    out = tmp_path_factory.mktemp(job.stem)
    bonewright("draw", job, "--out", out)
    return Drawn(job.stem, out, plan_of(job))
