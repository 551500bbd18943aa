"""Puts the browser edition together: the module, the pages' own styles and scripts, and the shell around them.

    assemble.py MODULE FOLDER

leaves FOLDER/bonewright.html, FOLDER/site/ and a package for node (bonewright-npm-VERSION.tgz) that holds the
same module. The same input gives the same bytes.
"""

import base64
import gzip
import hashlib
import io
import json
import re
import shutil
import sys
import tarfile
from pathlib import Path
from urllib.parse import quote

HERE = Path(__file__).parent
SHELL = HERE / "assets"
PAGES = HERE.parent / "pages" / "assets"

# Nothing is fetched, and no script, style or worker runs but what this file holds. The module needs its own word.
POLICY = (
    "default-src 'none'; script-src 'sha256-{script}' 'wasm-unsafe-eval' blob:; style-src 'sha256-{style}'; img-src blob: data:; "
    "worker-src blob:{own}; {manifest}form-action 'none'; base-uri 'none'"
)
MANIFEST = "app.webmanifest"
THEME = {"light": "#f6f3ec", "dark": "#1d1b18"}


def mark(text):
    """As a content policy names a text."""
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def script(manifest):
    """Everything that runs in the page, as one text."""

    def read(folder, name):
        return (folder / name).read_text(encoding="utf-8")

    css = read(PAGES, "bench.css")
    constants = {
        "CSS_OF_PAGES": css,
        "ICON": "data:image/svg+xml," + quote(read(PAGES, "icon.svg")),
        "MANIFEST": MANIFEST if manifest else "",
        "SAMPLER": read(PAGES, "sampler.js"),
        "WORKER": read(SHELL, "worker.js") + read(HERE / "npm", "message.mjs").replace("export ", ""),
    }
    parts = ["(() => {\n'use strict';\n"]
    parts += [f"const {name} = {json.dumps(text)};\n" for name, text in constants.items()]
    parts += [read(SHELL, name) for name in ("engine.js", "homes.js", "shell.js")]
    # The pages' own scripts see each other, as they do on the server's pages; what a server gives is put into their hands.
    parts += ["function pages(fetch, location, history, hears) {\n"]
    parts += [read(PAGES, name) for name in ("bench.js", "keys.js", "jobs.js")]
    parts += ["if (hears) {\n", read(PAGES, "hear.js"), "}\n}\n})();\n"]
    # Neither may end the element that holds it.
    whole = "".join(parts).replace("</script", "<\\/script").replace("<!--", "<\\!--")
    return whole, css


def page(module, manifest):
    text, css = script(manifest)
    policy = POLICY.format(
        script=mark(text),
        style=mark(css),
        own=" 'self'" if manifest else "",
        manifest="manifest-src 'self'; " if manifest else "",
    )
    head = '<link rel="icon" href="data:,">\n'
    if manifest:
        head = f'<link rel="manifest" href="{MANIFEST}">\n<link rel="icon" href="icon.svg">\n<link rel="apple-touch-icon" href="icon-180.png">\n'
        policy = policy.replace("img-src blob: data:", "img-src blob: data: 'self'")
    holes = {
        "POLICY": policy,
        "HEAD": head,
        "MODULE": base64.b64encode(gzip.compress(module, 9, mtime=0)).decode(),
        "SCRIPT": text,
    }
    whole = (SHELL / "page.html").read_text(encoding="utf-8")
    for name, value in holes.items():
        before, after = whole.split(f"@{name}@")
        whole = before + value + after
    return whole


def version():
    """That of the workspace."""
    text = (HERE.parent.parent / "Cargo.toml").read_text(encoding="utf-8")
    return re.search(r'^version = "([^"]+)"', text, re.MULTILINE).group(1)


def packed(module, site, number):
    """The package for node: what npm installs, with the times and owners that it gives itself."""
    described = json.loads((HERE / "npm" / "package.json").read_text(encoding="utf-8"))
    described["version"] = number
    files = {f"site/{path.name}": path.read_bytes() for path in site.iterdir()}
    files |= {path.name: path.read_bytes() for path in (HERE / "npm").iterdir()}
    files |= {"package.json": (json.dumps(described, indent=2) + "\n").encode(), "web.wasm": module}
    content = io.BytesIO()
    with tarfile.open(fileobj=content, mode="w", format=tarfile.USTAR_FORMAT) as archive:
        for name, text in sorted(files.items()):
            entry = tarfile.TarInfo(f"package/{name}")
            entry.size = len(text)
            entry.mtime = 499162500  # 1985, as npm's own packages have it
            entry.mode = 0o755 if name == "bonewright.mjs" else 0o644
            archive.addfile(entry, io.BytesIO(text))
    return gzip.compress(content.getvalue(), 9, mtime=0)


def main():
    module = Path(sys.argv[1]).read_bytes()
    out = Path(sys.argv[2])
    site = out / "site"
    shutil.rmtree(site, ignore_errors=True)
    site.mkdir(parents=True)
    (out / "bonewright.html").write_text(page(module, manifest=False), encoding="utf-8")

    index = page(module, manifest=True)
    (site / "index.html").write_text(index, encoding="utf-8")
    shutil.copy(PAGES / "icon.svg", site)
    for icon in sorted(SHELL.glob("icon-*.png")):
        shutil.copy(icon, site)
    manifest = {
        "name": "bonewright",
        "short_name": "bonewright",
        "description": "Saddles and nuts: survey, plan, sheets, programs, filing.",
        "id": "./",
        "start_url": "./",
        "scope": "./",
        "display": "standalone",
        "background_color": THEME["light"],
        "theme_color": THEME["light"],
        "icons": [
            {"src": "icon.svg", "sizes": "any", "type": "image/svg+xml"},
            {"src": "icon-192.png", "sizes": "192x192", "type": "image/png"},
            {"src": "icon-512.png", "sizes": "512x512", "type": "image/png"},
        ],
    }
    (site / MANIFEST).write_text(json.dumps(manifest, indent=1) + "\n", encoding="utf-8")
    files = sorted(path.name for path in site.iterdir())
    edition = hashlib.sha256(b"".join((site / name).read_bytes() for name in files)).hexdigest()[:16]
    keeper = (SHELL / "keeper.js").read_text(encoding="utf-8")
    keeper = keeper.replace("@EDITION@", edition).replace("@FILES@", json.dumps(["./", *files]))
    (site / "sw.js").write_text(keeper, encoding="utf-8")

    number = version()
    (out / f"bonewright-npm-{number}.tgz").write_bytes(packed(module, site, number))

    size = (out / "bonewright.html").stat().st_size
    print(f"{out / 'bonewright.html'}: {size / 1e6:.2f} MB; {site}/: edition {edition}")


main()
