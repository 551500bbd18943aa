"""Recorded strings that others made: the open-string sounds of PyPI's guitarsounds (MIT), its WAV files alone.

The package is fetched by its name, checked by its hash, and never installed or run. A folder in GUITARSOUNDS, or the one in the
temp folder, keeps it for the next run.
"""

import hashlib
import io
import os
import subprocess
import sys
import tarfile
import tempfile
import wave
from pathlib import Path

import numpy as np

NAME = "guitarsounds==1.2.0"
SHA256 = "ee26363876ba1473e19fbaf359f4cb3b6cb3dcefc6bdac945a8a1b8cb242c29b"
# Names of the files by string and fret-less note, as the package has them.
NOTES = {"E6": "E2", "A5": "A2", "D4": "D3", "G3": "G3", "B2": "B3", "E1": "E4"}
FREQUENCIES = {"E2": 82.4069, "A2": 110.0, "D3": 146.8324, "G3": 195.9977, "B3": 246.9417, "E4": 329.6276}
GUITARS = ("Wood", "Carbon")


def archive():
    folder = Path(os.environ.get("GUITARSOUNDS", Path(tempfile.gettempdir()) / "bonewright-guitarsounds"))
    folder.mkdir(parents=True, exist_ok=True)
    found = sorted(folder.glob("guitarsounds-*.tar.gz"))
    if not found:
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-deps", "--no-binary", ":all:"]
        # Its build is not run: pip is only to bring the file.
        done = subprocess.run([*command, "--no-build-isolation", "--dest", folder, NAME], capture_output=True, text=True)
        found = sorted(folder.glob("guitarsounds-*.tar.gz"))
        assert found, done.stderr
    content = found[0].read_bytes()
    assert hashlib.sha256(content).hexdigest() == SHA256, f"{found[0]} is not what it was"
    return content


def write(folder):
    """Every recording as a file: (guitar, note) and its path."""
    files = {}
    with tarfile.open(fileobj=io.BytesIO(archive())) as tar:
        for member in tar.getmembers():
            stem = Path(member.name).stem
            guitar, _, string = stem.partition("_")
            if member.isfile() and member.name.endswith(".wav") and guitar in GUITARS and string in NOTES:
                path = Path(folder) / f"{stem}.wav"
                path.write_bytes(tar.extractfile(member).read())
                files[guitar, NOTES[string]] = path
    assert len(files) == len(GUITARS) * len(NOTES), sorted(files)
    return files


def samples(path):
    """First channel, full scale at 1, and its rate."""
    with wave.open(str(path)) as file:
        assert file.getsampwidth() == 2
        data = np.frombuffer(file.readframes(file.getnframes()), dtype="<i2")
        return data[:: file.getnchannels()] / 32768.0, file.getframerate()


def write_wav(path, data, rate):
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(np.round(32767 * np.clip(data, -1, 1)).astype("<i2").tobytes())


def onset(data, rate):
    """Sample of the pluck: the loudest hundredth of a second."""
    step = rate // 100
    power = (data[: len(data) // step * step].reshape(-1, step) ** 2).sum(axis=1)
    return int(power.argmax()) * step
