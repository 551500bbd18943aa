"""The server under test, for the checks that need no browser."""

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

TREE = Path(__file__).resolve().parents[3]
BINARY = os.environ["BONEWRIGHT_BIN"]


class Server:
    """`bonewright bench` over a folder with every example, inside a folder that must not change otherwise."""

    def __init__(self, *flags):
        self.flags = flags or ("--port", "0")

    def __enter__(self):
        self.root = Path(tempfile.mkdtemp(prefix="bonewright-bench-"))
        (self.root / "canary.toml").write_text("not a job")
        self.jobs = self.root / "jobs"
        self.jobs.mkdir()
        for example in (TREE / "examples").glob("*.toml"):
            shutil.copy(example, self.jobs)
        self.errors = open(self.root / "stderr.txt", "w+")
        command = [BINARY, "bench", str(self.jobs), "--no-open", *self.flags]
        self.child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=self.errors, text=True, cwd=self.root)
        self.printed = self.child.stdout.readline()
        self.host, self.port = re.search(r"http://([\d.]+):(\d+)", self.printed).groups()
        self.port = int(self.port)
        return self

    def memory(self):
        """Resident memory, MB."""
        status = Path(f"/proc/{self.child.pid}/status").read_text()
        return int(re.search(r"VmRSS:\s+(\d+)", status).group(1)) / 1024

    def __exit__(self, *_):
        self.child.terminate()
        code = self.child.wait(timeout=20)
        self.errors.seek(0)
        said = self.errors.read()
        shutil.rmtree(self.root, ignore_errors=True)
        assert "panicked" not in said, said
        assert code == 0, (code, said)
