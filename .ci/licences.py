"""Checks that every crate the workspace can pull in comes under a licence that this project may use."""

import json
import re
import subprocess
import sys

ALLOWED = {
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "MPL-2.0",
    "Unicode-3.0",
    "Unicode-DFS-2016",
    "Unlicense",
    "Zlib",
}


def allowed(expression):
    """Value of an SPDX expression; a slash, as old crates have it, is OR."""
    tokens = re.findall(r"[()]|[^\s()]+", expression.replace("/", " OR "))
    at = 0

    def peek():
        return tokens[at] if at < len(tokens) else None

    def take():
        nonlocal at
        at += 1
        return tokens[at - 1]

    def either():
        value = both()
        while peek() == "OR":
            take()
            # Not short-circuited: the right side must be read.
            value = both() or value
        return value

    def both():
        value = one()
        while peek() == "AND":
            take()
            value = one() and value
        return value

    def one():
        name = take()
        if name == "(":
            value = either()
            if take() != ")":
                raise ValueError("bracket")
            return value
        if peek() == "WITH":
            take()
            name = f"{name} WITH {take()}"
        return name in ALLOWED

    try:
        value = either()
        return value and at == len(tokens)
    except (IndexError, ValueError):
        return False


def main():
    for expression, expected in (
        ("MIT OR Apache-2.0", True),
        ("MIT/Apache-2.0", True),
        ("GPL-3.0-only OR MIT", True),
        ("(MIT OR GPL-3.0-only) AND Unicode-3.0", True),
        ("MIT AND GPL-3.0-only", False),
        ("Apache-2.0 WITH LLVM-exception OR GPL-2.0-only", True),
        ("GPL-3.0-only", False),
        ("MIT OR", False),
        ("", False),
    ):
        assert allowed(expression) is expected, expression
    metadata = json.loads(
        subprocess.run(
            ["cargo", "metadata", "--locked", "--format-version", "1"], check=True, stdout=subprocess.PIPE, text=True
        ).stdout
    )
    members = set(metadata["workspace_members"])
    outside = [p for p in metadata["packages"] if p["id"] not in members]
    bad = [f"{p['name']} {p['version']}: {p['license']}" for p in outside if not allowed(p["license"] or "")]
    if bad:
        sys.exit("licences not on the list in .ci/licences.py:\n" + "\n".join(bad))
    if not outside:
        sys.exit("no dependencies were found: cargo metadata has changed")
    print(f"{len(outside)} crates, all under permitted licences")


main()
