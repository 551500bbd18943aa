"""Slow clients and clients that vanish, on a network of the test's own, with the server's real limits.

The server and a good client are in one network namespace, slow clients in a second one at the end of a thin cable, clients that vanish
in a third one whose cable is pulled. A link that is only slow gets its page whole; who sends or takes a byte now and then is hung up on in
time; the good client is answered quickly all the while; and in the end the server holds no more handles than at the beginning.
"""

import http.client
import json
import os
import re
import socket
import subprocess
import sys
import threading
import time
import urllib.parse
from pathlib import Path

HERE = Path(__file__).resolve()
# The thin cable, bits a second.
RATE = "256kbit"
# The server's limits (crates/serve/src/limits.rs), and how much later its end of a connection may be seen, seconds.
HEAD, BODY, REPLY, LATE = 15, 15, 60, 10
# Clients that hardly take their reply.
HARDLY = 4
# How often one asks for a large reply at once: all together more than the system holds for a connection.
MUCH = 100
# What the good client waits for an answer, s, and how often it asks.
QUICK, PAUSE = 2.0, 0.25
SERVER, THIN, PULLED = "10.77.0.1", "10.77.1.2", "10.77.2.2"
LARGE = "/job/twelve-string/out/twelve-string.pdf"
# The window of a slow client, and the least length of the large reply, bytes.
WINDOW, LEAST_LARGE = 4096, 40_000


def link(port, path=None, method="GET", cookie="", more=b"", whole=True):
    """A connection, with a request on it or the beginning of one."""
    made = socket.socket()
    made.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, WINDOW)
    made.settimeout(REPLY + 2 * LATE)
    made.connect((SERVER, port))
    if path:
        head = f"{method} {path} HTTP/1.1\r\nHost: {SERVER}:{port}\r\nCookie: {cookie}\r\n".encode()
        made.sendall(head + (b"\r\n" if whole else b"") + more)
    return made


def much(port, cookie):
    """A connection that asks for more than the system holds for it."""
    made = link(port)
    made.sendall(MUCH * f"GET {LARGE} HTTP/1.1\r\nHost: {SERVER}:{port}\r\nCookie: {cookie}\r\n\r\n".encode())
    return made


def ended(of, most, feed=b""):
    """How long until the server ends a connection that is fed once a second; what came first."""
    began, first = time.monotonic(), b""
    of.settimeout(0.01)
    while time.monotonic() - began < most:
        try:
            if feed:
                of.sendall(feed)
            got = of.recv(1024)
            first = first or got
            if not got:
                break
        except TimeoutError:
            pass
        except OSError:
            break
        time.sleep(1)
    of.close()
    return round(time.monotonic() - began, 1), first[:40].decode("latin1")


def slow(port, cookie):
    """In the second namespace."""
    found = {}
    large = http.client.HTTPConnection(SERVER, port, timeout=REPLY)
    began = time.monotonic()
    large.request("GET", LARGE, headers={"Cookie": cookie})
    content = large.getresponse().read()
    found["whole"] = [round(time.monotonic() - began, 1), len(content), content[-6:].decode("latin1").strip()]
    large.close()

    def one(name, *link_of, most, **way):
        found[name] = ended(link(*link_of[0:1], **link_of[1]), most, **way)

    body = b"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\ntoken="
    kinds = [
        *[(f"head {n}", {"path": "/", "cookie": cookie, "whole": False}, {"most": HEAD + LATE, "feed": b"a"}) for n in range(6)],
        *[(f"nothing {n}", {}, {"most": HEAD + LATE}) for n in range(2)],
        *[(f"body {n}", {"path": "/job/parlour/answer", "method": "POST", "cookie": cookie, "more": body, "whole": False},
           {"most": BODY + LATE, "feed": b"a"}) for n in range(6)],
    ]
    threads = [threading.Thread(target=one, args=(name, port, of), kwargs=way) for name, of, way in kinds]
    # The end of a reply that is hardly taken does not come to the client: behind it lies what is not taken yet.
    hardly = [much(port, cookie) for _ in range(HARDLY)]
    print("begun", flush=True)

    def take():
        while True:
            for one in hardly:
                one.recv(1)
            time.sleep(1)

    threading.Thread(target=take, daemon=True).start()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    print(json.dumps(found), flush=True)
    sys.stdin.read()


def vanish(port, cookie):
    """In the third namespace: halves of everything, until the cable is pulled."""
    held = [link(port, "/", cookie=cookie, whole=False) for _ in range(6)] + [much(port, cookie) for _ in range(6)]
    time.sleep(1)
    print(len(held), flush=True)
    sys.stdin.read()


def ip(*words, tool="ip"):
    done = subprocess.run([tool, *words], capture_output=True, text=True)
    assert done.returncode == 0, f"{tool} {' '.join(words)}: {done.stderr}"


class Elsewhere:
    """This script in another namespace, at the end of a cable."""

    def __init__(self, role, port, cookie, cable, own, address, rate=None):
        self.child = subprocess.Popen(["unshare", "-n", sys.executable, HERE, role, str(port), cookie, cable, address, rate or ""], stdin=subprocess.PIPE,
                                      stdout=subprocess.PIPE, text=True)
        assert self.child.stdout.readline().strip() == "here"
        ip("link", "add", cable, "type", "veth", "peer", "name", f"{cable}-far", "netns", str(self.child.pid))
        ip("addr", "add", f"{own}/24", "dev", cable)
        ip("link", "set", cable, "up")
        if rate:
            ip("qdisc", "add", "dev", cable, "root", "tbf", "rate", rate, "burst", "4kb", "latency", "500ms", tool="tc")
        self.child.stdin.write("go\n")
        self.child.stdin.flush()


def arrive(cable, address, rate):
    """The other end of the cable; the server's address is reached over it."""
    print("here", flush=True)
    sys.stdin.readline()
    far = f"{cable}-far"
    ip("link", "set", "lo", "up")
    ip("addr", "add", f"{address}/24", "dev", far)
    ip("link", "set", far, "up")
    ip("route", "add", SERVER, "via", address.rsplit(".", 1)[0] + ".1")
    if rate:
        ip("qdisc", "add", "dev", far, "root", "tbf", "rate", rate, "burst", "4kb", "latency", "500ms", tool="tc")


def let_in(port, printed):
    """The pass of one device, by its one-time address."""
    key = re.search(r"key=(\w+)", printed).group(1)
    own = f"{SERVER}:{port}"
    asked = http.client.HTTPConnection(SERVER, port, timeout=20)
    asked.request("POST", "/open", urllib.parse.urlencode({"key": key}),
                  {"Host": own, "Origin": f"http://{own}", "Content-Type": "application/x-www-form-urlencoded"})
    reply = asked.getresponse()
    reply.read()
    asked.close()
    assert reply.status == 303, reply.status
    return reply.headers["Set-Cookie"].split(";")[0]


def main():
    from kit import Server

    ip("link", "set", "lo", "up")
    ip("addr", "add", f"{SERVER}/32", "dev", "lo")
    with Server("--listen", f"{SERVER}:0") as server:
        cookie = let_in(server.port, server.printed)
        handles = lambda: len(os.listdir(f"/proc/{server.child.pid}/fd"))
        took, good = [], threading.Event()

        def ask():
            began = time.monotonic()
            asked = http.client.HTTPConnection(SERVER, server.port, timeout=30)
            asked.request("GET", "/job/parlour/plan", headers={"Cookie": cookie})
            assert asked.getresponse().read().endswith(b"</html>")
            asked.close()
            took.append(time.monotonic() - began)

        def keep_asking():
            while not good.is_set():
                ask()
                time.sleep(PAUSE)

        ask()
        time.sleep(1)
        before = handles()
        far = Elsewhere("vanish", server.port, cookie, "pulled", "10.77.2.1", PULLED)
        asking = threading.Thread(target=keep_asking)
        asking.start()
        halves = int(far.child.stdout.readline())
        held = handles() - before
        ip("link", "set", "pulled", "down")
        thin = Elsewhere("slow", server.port, cookie, "thin", "10.77.1.1", THIN, RATE)
        assert thin.child.stdout.readline().strip() == "begun"
        begun = time.monotonic()
        found = json.loads(thin.child.stdout.readline())
        # A good request holds a handle now and then.
        free = lambda: any(handles() <= before or time.sleep(0.05) for _ in range(10))
        while not free() and time.monotonic() - begun < REPLY + LATE:
            time.sleep(0.5)
        gone, left = time.monotonic() - begun, not free()
        good.set()
        asking.join()
        for elsewhere in (far, thin):
            elsewhere.child.stdin.close()
            elsewhere.child.wait(timeout=20)
    took.sort()
    print(f"slow: {found}\n{halves} connections vanished with {held} handles, {HARDLY} hardly took their reply; all were gone {gone:.0f} s after; "
          f"{len(took)} good requests, the slowest {took[-1] * 1000:.0f} ms")
    seconds, length, end = found.pop("whole")
    assert length > LEAST_LARGE and end == "%%EOF" and seconds > 1, "a link that is only slow gets all of it"
    for name, (seconds, first) in found.items():
        most = {"head": HEAD, "nothing": HEAD, "body": BODY}[name.split()[0]]
        assert most - 2 <= seconds < most + LATE, f"{name} was held for {seconds} s ({first!r})"
    assert held >= halves, "all of them were open"
    assert not left, "handles are held still"
    assert gone > REPLY - LATE, "who hardly takes a reply is given its time, so that this was no test of it"
    assert took[-1] < QUICK, f"a good client waited {took[-1]:.1f} s"


if __name__ == "__main__":
    if len(sys.argv) > 1 and sys.argv[1] in ("slow", "vanish"):
        role, port, cookie, cable, address, rate = sys.argv[1:7]
        arrive(cable, address, rate)
        {"slow": slow, "vanish": vanish}[role](int(port), cookie)
    elif sys.argv[1:] == ["inside"]:
        sys.exit(main())
    else:
        # A network namespace of its own; without being root, in a user namespace of its own.
        own = ["-n"] if os.geteuid() == 0 else ["-rn"]
        done = subprocess.run(["unshare", *own, sys.executable, str(HERE), "inside"])
        if done.returncode:
            sys.exit("slow.py failed; where unshare said why, this machine allows no network namespace to this user: run it as root")
