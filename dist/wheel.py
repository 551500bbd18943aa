"""Writes a wheel that carries the command: wheel.py VERSION PROGRAM PACK NOTICES OUT; its times are SOURCE_DATE_EPOCH.

Man pages and completions (PACK, from bonewright-pack) go where the environment keeps such things. The program is statically linked: it
asks for no C library of the machine, so the tags name every one that pip knows, by the oldest that it knows them."""

import base64
import hashlib
import os
import sys
import time
import zipfile
from pathlib import Path

TREE = Path(__file__).resolve().parent.parent
TAGS = [f"py3-none-{platform}" for platform in ("manylinux_2_17_x86_64", "manylinux2014_x86_64", "musllinux_1_1_x86_64")]
COMPLETIONS = {
    "bonewright.bash": "bash-completion/completions/bonewright",
    "_bonewright": "zsh/site-functions/_bonewright",
    "bonewright.fish": "fish/vendor_completions.d/bonewright.fish",
}

METADATA = """\
Metadata-Version: 2.1
Name: bonewright
Version: {version}
Summary: Plans and draws a replacement saddle or nut for a fretted instrument, from one survey of it
License: MIT OR Apache-2.0; what is linked in: NOTICES.txt
Classifier: Environment :: Console
Classifier: Operating System :: POSIX :: Linux
Description-Content-Type: text/plain

The command bonewright, statically linked. There is no Python in it and none to import: `bonewright --help` says what it does.
"""


def main():
    version, program, pack, notices, out = sys.argv[1], *map(Path, sys.argv[2:])
    moment = time.gmtime(int(os.environ["SOURCE_DATE_EPOCH"]))[:6]
    info, data = f"bonewright-{version}.dist-info", f"bonewright-{version}.data"
    share = f"{data}/data/share"
    files = {f"{data}/scripts/bonewright": program.read_bytes()}
    files |= {f"{share}/man/man1/{page.name}": page.read_bytes() for page in sorted((pack / "man").iterdir())}
    files |= {f"{share}/{place}": (pack / "completions" / name).read_bytes() for name, place in COMPLETIONS.items()}
    files[f"{info}/METADATA"] = METADATA.format(version=version).encode()
    tags = "".join(f"Tag: {tag}\n" for tag in TAGS)
    files[f"{info}/WHEEL"] = f"Wheel-Version: 1.0\nGenerator: bonewright dist\nRoot-Is-Purelib: false\n{tags}".encode()
    for path in (TREE / "LICENSE-MIT", TREE / "LICENSE-APACHE", notices):
        files[f"{info}/licenses/{path.name}"] = path.read_bytes()
    record = "".join(f"{name},{told(content)}\n" for name, content in files.items())
    files[f"{info}/RECORD"] = f"{record}{info}/RECORD,,\n".encode()
    platforms = ".".join(tag.removeprefix("py3-none-") for tag in TAGS)
    with zipfile.ZipFile(out / f"bonewright-{version}-py3-none-{platforms}.whl", "w") as wheel:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, moment)
            entry.create_system = 3  # Unix: the mode below counts
            entry.external_attr = (0o100755 if name.startswith(f"{data}/scripts/") else 0o100644) << 16
            wheel.writestr(entry, content, zipfile.ZIP_DEFLATED, 9)


def told(content):
    digest = base64.urlsafe_b64encode(hashlib.sha256(content).digest()).rstrip(b"=").decode()
    return f"sha256={digest},{len(content)}"


main()
