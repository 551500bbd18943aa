"""Runs the README's marked commands in the tree given: each ```sh block with `<!-- ci -->` on the line before its fence."""

import re
import subprocess
import sys
import time
from pathlib import Path

BLOCK = re.compile(r"^<!-- ci -->[ \t]*\n```sh\n(.*?)^```[ \t]*$", re.MULTILINE | re.DOTALL)
# Seconds for one block, and lines shown of one that fails.
LIMIT = 1200
SHOWN = 80


def main():
    tree = Path(sys.argv[1])
    text = (tree / "README.md").read_text(encoding="utf-8")
    blocks = BLOCK.findall(text)
    marks = text.count("<!-- ci -->")
    if not blocks or len(blocks) != marks:
        sys.exit(f"README.md: {marks} marks `<!-- ci -->`, {len(blocks)} ```sh blocks right below one; each mark needs its block")
    for block in blocks:
        print("$ " + block.strip().replace("\n", "\n$ "), flush=True)
        start = time.monotonic()
        done = subprocess.run(
            ["bash", "-euo", "pipefail", "-c", block],
            cwd=tree,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            timeout=LIMIT,
        )
        # Shown only on failure: the tests of the copy are not to be counted twice.
        if done.returncode:
            print("\n".join(done.stdout.splitlines()[-SHOWN:]))
            sys.exit(f"README.md: this block ended with exit code {done.returncode}")
        print(f"  done in {time.monotonic() - start:.0f} s", flush=True)


main()
