"""Writes the licences of everything that is linked into a program, to standard output: notices.py PACKAGE@TARGET ...

Crates and their texts are those that cargo links (no build scripts, no macros), from the crates' own files. To them come Rust's
standard library, as its toolchain tells it, the C library and the compiler's own parts where they are linked in, and the fonts."""

import html.parser
import json
import re
import subprocess
import sys
from pathlib import Path

TREE = Path(__file__).resolve().parent.parent
# Files at the top of a crate that say how it may be used.
NAMES = re.compile(r"licen[sc]e|copying|copyright|notice|unlicense", re.IGNORECASE)
DEBIAN = Path("/usr/share/doc")
COMMON = Path("/usr/share/common-licenses")
WIDTH = 78

HEAD = """\
Notices

bonewright is under MIT or Apache-2.0, as you like. Into its programs are linked, or built into them as data, the works below, each with
its licence and, in brackets, the texts at the end that came with it. Where a licence says OR, bonewright takes what asks least.
"""
# What a crate without a text of its own says in its manifest stands for.
STANDARD = {"MIT": "MIT", "Apache-2.0": "Apache-2.0"}


def ran(*command):
    return subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True, cwd=TREE).stdout


class Texts:
    """Licence texts, each once however its lines are broken."""

    def __init__(self):
        self.texts, self.numbers = [], {}

    def add(self, text):
        key = " ".join(text.split())
        if key not in self.numbers:
            self.texts.append(text.strip("\n").expandtabs())
            self.numbers[key] = len(self.texts)
        return self.numbers[key]


def linked(package, target):
    """Names and versions of the crates that are linked into a package's program."""
    lines = ran(
        "cargo", "tree", "--locked", "--package", package, "--target", target, "--edges", "normal,no-proc-macro",
        "--prefix", "none", "--format", "{p}",
    )  # fmt: skip
    return {tuple(re.match(r"(\S+) v(\S+)", line).groups()) for line in lines.splitlines() if line}


def crate_texts(package, texts, rust):
    folder = Path(package["manifest_path"]).parent
    files = sorted(path for path in folder.iterdir() if path.is_file() and NAMES.match(path.name))
    if files:
        return [texts.add(path.read_text(encoding="utf-8", errors="replace")) for path in files]
    # The crate names its licence and carries no text of it.
    for name, file in STANDARD.items():
        if re.search(rf"\b{re.escape(name)}\b", package["license"] or ""):
            by = ", ".join(package["authors"]) or f"the authors of {package['name']}"
            text = (rust / "licenses" / f"{file}.txt").read_text(encoding="utf-8")
            return [texts.add(re.sub(r"(?m)^Copyright \(c\) <.*$", lambda _: f"Copyright (c) {by}", text))]
    sys.exit(f"notices.py: {package['name']} has no text of its licence, {package['license']}")


class StandardLibrary(html.parser.HTMLParser):
    """The toolchain's page of notices as lines; whole texts go where all texts are."""

    def __init__(self, texts):
        super().__init__()
        self.texts, self.lines, self.now, self.pre = texts, [], "", False

    def handle_starttag(self, tag, attributes):
        if tag == "pre":
            self.flush()
            self.pre = True
        elif tag in ("p", "h1", "h2", "h3", "li", "div", "summary"):
            self.flush()

    def handle_endtag(self, tag):
        if tag == "pre":
            self.lines.append(f"  [{self.texts.add(self.now)}]")
            self.now, self.pre = "", False
        elif tag in ("p", "h1", "h2", "h3", "li", "div", "summary"):
            self.flush()

    def handle_data(self, data):
        self.now += data

    def flush(self):
        line = " ".join(self.now.split())
        if line:
            self.lines.append(line)
        self.now = ""


def of_rust(rust, texts):
    page = rust / "COPYRIGHT-library.html"
    if not page.is_file():
        sys.exit(f"notices.py: {page} is missing; a toolchain that rustup installs has it")
    parser = StandardLibrary(texts)
    text = page.read_text(encoding="utf-8")
    # Its short version and its table of contents are no notices.
    parser.feed(text[text.index('<h2 id="longer-version">') :])
    return [line for line in parser.lines if line not in ("Notices:", "Exceptions:")]


def of_debian(package, texts):
    path = DEBIAN / package / "copyright"
    if not path.is_file():
        sys.exit(f"notices.py: {path} is missing: what is linked statically is told from Debian's packages")
    return texts.add(path.read_text(encoding="utf-8"))


def heading(words):
    return f"\n{words}\n{'-' * len(words)}"


def main():
    sysroot = ran("rustc", "--print", "sysroot").strip()
    rust = Path(sysroot) / "share/doc/rust"
    wanted = [word.split("@") for word in sys.argv[1:]]
    targets = {target for _, target in wanted}
    metadata = json.loads(ran("cargo", "metadata", "--locked", "--format-version", "1"))
    outside = {(p["name"], p["version"]): p for p in metadata["packages"] if p["source"]}
    crates = set().union(*(linked(package, target) for package, target in wanted))
    texts = Texts()
    lines = [HEAD, heading("Crates")]
    for key in sorted(crates & outside.keys()):
        package = outside[key]
        numbers = sorted(set(crate_texts(package, texts, rust)))
        lines.append(f"{key[0]} {key[1]}: {package['license']} {numbers}")
    lines.append(heading("The fonts of sheets and pictures: DejaVu Sans Condensed, and Bold"))
    lines.append(f"  [{texts.add((TREE / 'crates/drawing/fonts/LICENSE-DejaVu').read_text(encoding='utf-8'))}]")
    if any("linux-gnu" in target for target in targets):
        lines.append(heading("The GNU C Library, in the statically linked Linux program: LGPL-2.1-or-later, parts under other licences"))
        lines.append(
            f"  [{of_debian('libc6-dev', texts)}] and, of the licence itself, [{texts.add((COMMON / 'LGPL-2.1').read_text(encoding='utf-8'))}]\n"
            "  Whoever has the program may have its whole source and the command that builds it (dist/make), and link it with another\n"
            "  version of that library."
        )
    if any(target.endswith("-gnu") for target in targets):
        exception = (rust / "licenses/GCC-exception-3.1.txt").read_text(encoding="utf-8")
        lines.append(heading("Parts of the GNU Compiler Collection's runtime: GPL-3.0-or-later WITH GCC-exception-3.1"))
        lines.append(f"  [{texts.add(exception)}]: the exception lets programs that are compiled with it be given under any licence.")
    if any("windows-gnu" in target for target in targets):
        lines.append(heading("Parts of the mingw-w64 runtime, in the Windows program"))
        lines.append(f"  [{of_debian('mingw-w64-common', texts)}]")
    lines.append(heading("The Rust standard library"))
    lines += of_rust(rust, texts)
    lines.append(heading("Texts"))
    for number, text in enumerate(texts.texts, 1):
        lines.append(f"\n[{number}] {'=' * (WIDTH - len(str(number)) - 3)}\n\n{text}")
    sys.stdout.reconfigure(encoding="utf-8")
    print("\n".join(lines))


main()
