"""Whole commands on a disk that fails at any call (faulty_disk.c): built, armed, run, and what they left looked at."""

import mmap
import os
import shutil
import signal
import struct
import subprocess
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
# Ways to fail, by their numbers in faulty_disk.c.
WAYS = {"refused": 1, "full": 2, "read-only": 3, "done": 4, "halting": 5, "blind": 6, "twice": 7, "killed": 8}
# No file is forced to a real disk thousands of times: there is no crash of the machine here.
MEMORY = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
# Hidden names of runs that may still live are left alone for a minute: what a run left is made older than that.
LONG_AGO = 3600
# Longest that one run may take, seconds; longer than the patience for a lock.
MOST_SECONDS = 60


def built(into):
    """The library, built."""
    library = into / "faulty_disk.so"
    subprocess.run(["cc", "-O1", "-Wall", "-Werror", "-shared", "-fPIC", "-o", library, HERE / "faulty_disk.c", "-ldl"], check=True)
    return library


class Disk:
    """The disk under one folder."""

    def __init__(self, library, place):
        self.library = library
        self.root = Path(tempfile.mkdtemp(prefix="bonewright-disk-", dir=MEMORY or place)).resolve()
        self.folder = self.root / "work"
        self.folder.mkdir()
        control = self.root / "control"
        control.write_bytes(bytes(512))
        with open(control, "r+b") as file:
            self.control = mmap.mmap(file.fileno(), 512)
        self.env = dict(os.environ, LD_PRELOAD=str(library), FAULTY_FOLDER=str(self.folder), FAULTY_CONTROL=str(control))

    def arm(self, way, at, again=0):
        """From now on this call (from 1) fails, and in the way "twice" one more so many calls later."""
        self.control[:512] = struct.pack("iiiii", 0, WAYS[way], 0, 0, again) + bytes(492)
        self.control[0:4] = struct.pack("i", at)

    def disarm(self):
        self.control[0:4] = bytes(4)

    @property
    def hit(self):
        """Whether a call failed."""
        return struct.unpack_from("i", self.control, 12)[0] != 0

    @property
    def what(self):
        """That call."""
        return bytes(self.control[20:496]).split(b"\0")[0].decode()

    def files(self):
        """What stands in the folder for people to see."""
        found = (p for p in self.folder.rglob("*") if p.is_file())
        named = ((p.relative_to(self.folder), p) for p in found)
        return {str(name): p.read_bytes() for name, p in named if not str(name).startswith(".")}

    def hidden(self):
        """What else does."""
        return sorted(str(p.relative_to(self.folder)) for p in self.folder.rglob("*") if p.name.startswith("."))

    def become(self, snapshot):
        """Makes the folder what was copied to `snapshot`."""
        shutil.rmtree(self.folder)
        shutil.copytree(snapshot, self.folder)

    def copied(self, name):
        """A copy of the folder as it stands."""
        return Path(shutil.copytree(self.folder, self.root / name))

    def age(self):
        """Makes what a run left as old as what no run writes any more."""
        then = time.time() - LONG_AGO
        for p in self.folder.rglob(".bonewright-*"):
            os.utime(p, (then, then))

    def close(self):
        shutil.rmtree(self.root, ignore_errors=True)


class Run:
    """How a run ended: its exit code, minus the signal if one ended it, and what it said on standard error."""

    def __init__(self, code, said):
        self.code = code
        self.said = said

    @property
    def killed(self):
        return self.code == -signal.SIGKILL

    def __str__(self):
        return f"exit {self.code}: {self.said}"


class Plain:
    """A command that is run from its beginning each time."""

    def __init__(self, disk, command, typed=""):
        self.disk, self.command, self.typed = disk, command, typed

    def run(self):
        done = subprocess.run(self.command, env=self.disk.env, input=self.typed, capture_output=True, text=True, timeout=MOST_SECONDS)
        return Run(done.returncode, done.stderr)

    def close(self):
        pass


class Halfway:
    """A command that has done all but touch the folder, and goes on from there as often as is asked."""

    def __init__(self, disk, command):
        self.err = disk.root / "said"
        ours_in, self.into = os.pipe()
        self.out, ours_out = os.pipe()
        env = dict(disk.env, FAULTY_SERVER=f"{ours_in} {ours_out} {self.err}")
        disk.disarm()
        self.child = subprocess.Popen(command, env=env, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
                                      pass_fds=(ours_in, ours_out))
        os.close(ours_in)
        os.close(ours_out)

    def run(self):
        os.write(self.into, b"!")
        status = os.read(self.out, 4)
        assert len(status) == 4, f"the command ended before it touched the folder: {self.child.communicate()[1].decode()}"
        code = os.waitstatus_to_exitcode(struct.unpack("i", status)[0])
        return Run(code, self.err.read_text())

    def close(self):
        if self.into is not None:
            os.close(self.into)
            self.child.communicate(timeout=MOST_SECONDS)
            os.close(self.out)
            self.into = None
