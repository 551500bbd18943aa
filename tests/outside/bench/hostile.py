"""10,000 random requests and bodies: no panic, no 5xx, nothing written outside the job folder."""

import http.client
import random
import re
import socket
import struct
import sys
import time
import urllib.parse
from pathlib import Path

from kit import Server

COUNT, SEED = 10_000, 20_240_613
# Half-sent requests of one address, the most handles that they may hold, and the time after which all are gone, seconds.
CROWD, CROWD_HELD, CROWD_SECONDS = 500, 24, 25
# What the page may answer. 507 alone stands for the disk and does not come here; 503 says that the programs of a request that was given
# up are still being checked.
ALLOWED = {200, 303, 400, 403, 404, 405, 408, 409, 413, 414, 422, 431, 503}

POSTED = ["answer", "entry", "entry-away", "try", "tick", "undo", "redo", "strung/try", "strung", "hear", "hear/try", "text"]
PLACES = ["survey", "ask", "more", "entry?of=readings", "entry?of=string&at=6", "entry?of=saddle", "plan", "sheets", "filing", "strung", "hear", "hear?string=6", "work", "text", "programs?make=yes", "out/parlour.pdf", "out/parlour-on-edge-1.ngc", "out/parlour-nut-flat-1.ngc", "out/parlour-1.svg", "out/parlour-99.svg", "out/parlour.toml", "out/../../x", "out/%2e%2e%2fcanary.toml", "out/parlour-0.png", ""]
NAMES = ["parlour", "nylon-drop-in", "twelve-string", "baritone-ukulele", "none", "..", "%2e%2e", "../canary", "%2e%2e%2fcanary", "a%00b", "con",
         ".bonewright", "%F0%9F%8E%B8", "x" * 300, "parlour.toml", "new"]
FIELDS = ["open", "of", "at", "read", "v.action_12[1]", "v.action_at[1].fret", "v.slot.depth.bass", "v.strings", "fretted", "fret", "key", "text", "view", "part", "sure", "skip", "version", "string", "by", "mm", "shown", "done", "title", "name", "from", "a6", "a1", "c6", "g1", "back", "save", "v"]
KEYS = ["title", "unit", "target.action_12.bass", "slot.lean", "strings.set", "ask.count", "blank.land", "ask.board", "ask.nut", "string.3.gauge", "notes",
        "instrument.relief:gap", "present.cents_12", "bridge.string_exit", "nope", ""]
VALUES = ["readings", "saddle", "string", "also", "doubt", "6 5 4", "1", "-1", "0", "1e308", "-1e-308", "NaN", "inf", "3.2 mm", "1/0 in", "9" * 500, "deg", "9 deg", "spelled out", "yes", "12", "two radii", "82.4:0.01:1e-4:1e-6,82.4:0.01:1e-4:1e-6",
          "../../etc/passwd", "/etc/passwd", "..\\..\\x", "<script>alert(1)</script>", "\"'\n\r\t", "\0", "\u202e", "é", "example:parlour", "job:../canary", "job:parlour",
          "set:light bronze 12-53", "[strung]\naction_12 = 1", "a = [[[[[[", "-", "ask", "plan", "whole"]


def text(rng):
    kind = rng.random()
    if kind < 0.6:
        return rng.choice(VALUES)
    if kind < 0.8:
        return "".join(chr(rng.randrange(1, 0x250)) for _ in range(rng.randrange(0, 60)))
    return rng.randbytes(rng.randrange(0, 40)).decode("latin1")


def fields(rng, token, version):
    pairs = [(rng.choice(FIELDS), text(rng)) for _ in range(rng.randrange(0, 6))]
    if rng.random() < 0.9:
        pairs.append(("token", token))
    if rng.random() < 0.7:
        pairs.append(("version", version))
    if rng.random() < 0.7:
        pairs.append(("key", rng.choice(KEYS)))
    rng.shuffle(pairs)
    return urllib.parse.urlencode(pairs)


def sound(rng):
    """A WAV file of noise, or what is nearly one."""
    rate, bits = rng.choice([8_000, 44_100, 48_000, 192_000]), rng.choice([16, 24, 32])
    noise = rng.randbytes(rng.randrange(0, 200_000))
    head = struct.pack("<4sI4s4sIHHIIHH4sI", b"RIFF", 36 + len(noise), b"WAVE", b"fmt ", 16, rng.choice([1, 3]), rng.choice([1, 2]), rate, rate * bits // 8, bits // 8, bits, b"data", len(noise))
    made = bytearray(head + noise)
    for _ in range(rng.randrange(0, 4)):
        made[rng.randrange(0, 44)] = rng.randrange(0, 256)
    return bytes(made)


def raw(server, rng):
    """Bytes that are hardly HTTP; the server may answer or hang up."""
    with socket.create_connection((server.host, server.port), timeout=2) as link:
        lines = [b"GET / HTTP/1.1\r\nHost: x\r\n\r\n", b"POST /new HTTP/1.1\r\nContent-Length: 99999999999\r\n\r\n", rng.randbytes(200),
                 b"GET " + b"/" * 9000 + b" HTTP/1.1\r\n\r\n", b"GET / HTTP/1.1\r\n" + b"A: b\r\n" * 300 + b"\r\n", b"\r\n\r\n\0"]
        answer = b""
        try:
            link.sendall(rng.choice(lines))
            link.shutdown(socket.SHUT_WR)
            answer = link.recv(4096)
        except OSError:
            pass  # it hung up, as it may
        if answer.startswith(b"HTTP/1."):
            assert int(answer.split()[1]) in ALLOWED, answer[:200]


def ask(link, method, path, body, headers):
    """Status and content. A refusal may end the connection, which then shows at the next request: that is sent again."""
    for attempt in range(3):
        try:
            link.request(method, path, body, headers)
            reply = link.getresponse()
            return reply.status, reply.read()
        except (OSError, http.client.HTTPException):
            link.close()
            if body is not None and len(body) > 256 * 1024:
                return 413, b""
    raise AssertionError(("no answer", method, path, body))


def crowd(server):
    """Half-sent requests of one address: few stay open, others get in, and after the time for a request all are gone."""
    handles = Path(f"/proc/{server.child.pid}/fd")
    before = len(list(handles.iterdir()))

    def answered(source):
        link = http.client.HTTPConnection(server.host, server.port, timeout=20, source_address=(source, 0))
        try:
            link.request("GET", "/bench.css")
            return link.getresponse().status == 200
        except OSError:
            return False
        finally:
            link.close()

    links = [socket.create_connection((server.host, server.port), timeout=20) for _ in range(CROWD)]
    for link in links:
        try:
            link.sendall(b"GET / HTTP/1.1\r\nHost: ")
        except OSError:
            pass  # it was hung up on
    began = time.monotonic()
    assert answered("127.0.0.2"), "another address is locked out"
    held = len(list(handles.iterdir())) - before
    assert held <= CROWD_HELD, f"{held} handles for one address"
    while not answered("127.0.0.1"):
        assert time.monotonic() - began < CROWD_SECONDS, "half-sent requests stay"
        time.sleep(0.5)
    for link in links:
        link.close()
    return held


def main():
    rng = random.Random(SEED)
    seen = {}
    with Server() as server:
        outside = {path: path.read_bytes() for path in server.root.iterdir() if path.is_file() and path.name != "stderr.txt"}
        own = f"{server.host}:{server.port}"
        link = http.client.HTTPConnection(server.host, server.port, timeout=20)

        def get(path):
            return ask(link, "GET", path, None, {"Host": own})[1].decode("utf8", "replace")

        token = re.search(r'name="token" content="(\w+)"', get("/")).group(1)
        version = "0"
        for i in range(COUNT):
            if i % 100 == 0:
                found = re.search(r'data-version="(\w+)"', get("/job/parlour/text"))
                version = found.group(1) if found else "0"
            if rng.random() < 0.02:
                raw(server, rng)
                continue
            method = rng.choice(["GET", "POST", "POST"])
            name = rng.choice(NAMES if rng.random() < 0.3 else NAMES[:4])
            path = f"/job/{name}/{rng.choice(POSTED if method == 'POST' else PLACES)}"
            if rng.random() < 0.1:
                path = "/new" if method == "POST" else "/" + rng.choice(["", "bench.js", "nowhere", "job", "%00"])
            if rng.random() < 0.05:
                method = rng.choice(["GET", "POST", "PUT", "DELETE", "HEAD", "PATCH"])
            body = None
            headers = {"Host": rng.choice([own] * 40 + ["evil.example", own + "0", ""])}
            if rng.random() < 0.05:
                headers["Origin"] = rng.choice(["http://evil.example", f"http://{own}", "null"])
            if rng.random() < 0.05:
                headers["Sec-Fetch-Site"] = rng.choice(["cross-site", "same-origin", "same-site", "\x7f"])
            if rng.random() < 0.5:
                headers["X-Bench"] = "1"
            if method == "POST":
                body = rng.randbytes(rng.randrange(0, 3000)) if rng.random() < 0.1 else fields(rng, token, version).encode()
                if rng.random() < 0.003:
                    body = b"text=" + b"x" * 300_000
                if path.endswith("/hear/try") and rng.random() < 0.8:
                    headers["X-Bench-Token"] = token
                    path += f"?version={version}&string={rng.randrange(1, 7)}&{fields(rng, token, version)[:2000]}"
                    body = sound(rng) if rng.random() < 0.95 else b"RIFF" * 600_000
            elif rng.random() < 0.5:
                path += ("&" if "?" in path else "?") + fields(rng, token, version)[:4000]
            status, content = ask(link, method, path, body, headers)
            seen[status] = seen.get(status, 0) + 1
            assert status in ALLOWED, (status, method, path, body, content[:300])
            # The job's own file is no page, and says what was written into it.
            assert b"<script>alert(1)" not in content or path.split("?")[0].endswith(".toml"), (path, body)
            assert server.child.poll() is None, "the server ended"
        assert get("/").startswith("<!DOCTYPE html>")
        after = {path: path.read_bytes() for path in server.root.iterdir() if path.is_file() and path.name != "stderr.txt"}
        assert after == outside, "something outside the job folder was touched"
        assert {path.name for path in server.root.iterdir()} == {"canary.toml", "jobs", "stderr.txt"}
        strays = [str(path) for path in server.jobs.iterdir() if path.suffix != ".toml" and path.name != ".bonewright"]
        assert not strays, strays
        link.close()
        held = crowd(server)
        print(f"hostile: {CROWD} half-sent requests held {held} handles; {COUNT} requests, answers {dict(sorted(seen.items()))}, memory {server.memory():.1f} MB")


if __name__ == "__main__":
    sys.exit(main())
