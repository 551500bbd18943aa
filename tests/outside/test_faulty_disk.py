"""A disk that fails at any call, under whole commands and under saves of the page.

At every call that touches the folder in turn, in every way: afterwards all is old or all is new, or the message says what lies where;
nothing is lost; the exit code is not 0 and the message names the file; and a later run on a sound disk ends well and leaves nothing hidden.
"""

import http.client
import re
import subprocess
import urllib.error
import urllib.parse
import urllib.request

import pytest

import faulty_disk
from conftest import BINARY, TREE
from faulty_disk import HERE, WAYS, Disk, Halfway, Plain, Run

# Calls that a run cannot need, and fewer than any needs.
MOST_CALLS, LEAST_CALLS = 2000, 3
# How soon after a first failing call a second one comes: as many calls as putting back a small set takes.
SOON_AFTER = 25
THEN = ", then "
# The exit code for files.
FILE = 3
# What the message says where all was put back, and where it was not.
STANDS, MIXED = "stood there before stands there still", "the next run in this folder puts it back"


@pytest.fixture(scope="session")
def library(tmp_path_factory):
    return faulty_disk.built(tmp_path_factory.mktemp("library"))


@pytest.fixture
def disk(library, tmp_path):
    made = Disk(library, tmp_path)
    yield made
    made.close()


def points(way):
    """The calls that fail, one after another: each, and for "twice" each with every one of those that come soon after."""
    for at in range(1, MOST_CALLS):
        for again in range(1, SOON_AFTER) if way == "twice" else [0]:
            if (yield at, again):
                break
    pytest.fail("it never ended")


def everywhere(disk, way, command, olds, new, later):
    """Runs a command from the snapshot `olds[0]` with each call failing in turn until none is left. `olds` are all that may stand after
    it beside `new`, `later` the command that comes next on a sound disk: it must end well and leave `new`."""
    stood = [held(disk, old) for old in olds]
    wanted = held(disk, new)
    faults, runs = [], 0
    each = points(way)
    at, again = next(each)
    while True:
        disk.become(olds[0])
        disk.arm(way, at, again)
        run = command.run()
        disk.disarm()
        runs += 1
        hit, now, what = disk.hit, disk.files(), disk.what
        wrong = []
        if not hit or way == "halting":
            if run.code != 0 or now != wanted:
                wrong.append("it should have ended well")
        elif run.killed:
            assert way == "killed", what
        elif run.code == 0:
            if now != wanted:
                wrong.append("it said nothing and did not do it")
        else:
            if run.code != FILE:
                wrong.append("its exit code is of something else")
            if str(disk.folder) not in run.said:
                wrong.append("its message names no file")
            if MIXED not in run.said and now != wanted and now not in stood:
                wrong.append("old and new are mixed, and it does not say so")
            if STANDS in run.said and now not in stood:
                wrong.append("it says that the old stands, and it does not")
        # Of a kill in a swap nothing can be said, and the next run puts back what stood.
        if way != "killed" and MIXED not in run.said and now != wanted and (lost := set(stood[0]) - set(now)):
            wrong.append(f"lost: {lost}")
        disk.age()
        ended = later.run()
        if ended.code != 0:
            wrong.append(f"the later run: {ended}")
        if disk.files() != wanted:
            wrong.append("after the later run it is not all new")
        if left := [name for name in disk.hidden() if name != ".bonewright"]:
            wrong.append(f"left over: {left}")
        if wrong:
            faults.append(f"{way} at call {at}, {what}: {'; '.join(wrong)}\n  {run}")
        if not hit:
            break
        # No second call came any more.
        at, again = each.send(way == "twice" and THEN not in what)
    print(f"{way}: {at - 1} calls, {runs} runs")
    assert at > LEAST_CALLS, "hardly a call was counted"
    assert not faults, f"{len(faults)} faults:\n" + "\n".join(faults)


def held(disk, snapshot):
    disk.become(snapshot)
    return disk.files()


def retitled(job, into, title):
    text, n = re.subn(r'(?m)^title = ".*"$', f'title = "{title}"', job.read_text())
    assert n == 1
    into.write_text(text)
    return into


def well(*command):
    done = subprocess.run(command, capture_output=True, text=True, timeout=faulty_disk.MOST_SECONDS)
    assert done.returncode == 0, done.stderr


SETS = {
    "draw": ["draw", "--part", "saddle", "--only", "txt,dxf"],
    "cut": ["cut"],
    "check": ["check"],
}


@pytest.mark.parametrize("forced", [True, False], ids=["over-a-set", "afresh"])
@pytest.mark.parametrize("command, way", [(command, way) for command in SETS for way in WAYS if way != "twice" or command == "draw"])
def test_set(disk, command, forced, way):
    """A set of files, over an older one or where nothing stands."""
    example = TREE / "examples" / "parlour.toml"
    words = lambda job: [BINARY, *SETS[command], str(job), "--out", str(disk.folder)]
    job = retitled(example, disk.root / "job.toml", "The new title")
    if forced:
        # Of the same name, so that the files are; one of the repairer's own is among them, and one of the old ones is gone.
        (disk.root / "old").mkdir()
        well(*words(retitled(example, disk.root / "old" / "job.toml", "The old title")))
        (disk.folder / "mine.txt").write_text("mine")
        sorted(disk.folder.glob("job*"))[0].unlink()
    old = disk.copied("snapshot-old")
    well(*words(job), "--force")
    new = disk.copied("snapshot-new")
    later = Halfway(disk, [*words(job), "--force"])
    run = later if forced else Halfway(disk, words(job))
    try:
        everywhere(disk, way, run, [old], new, later)
    finally:
        run.close()
        later.close()


class Survey:
    """Changes the title in a draft that has every answer, and writes the job file."""

    TYPED = "1\nThe new title\n\n"

    def __init__(self, disk, draft):
        self.disk, self.draft = disk, draft
        self.file = disk.folder / "job.toml"
        self.beside = disk.folder / "job.toml.draft"

    def run(self, *flags):
        return Plain(self.disk, [BINARY, "new", self.file, "--resume", *flags], self.TYPED).run()


class SurveyLater(Survey):
    """Goes on with what is there; where all was done, does it again."""

    def run(self):
        if not self.beside.exists():
            self.beside.write_bytes(self.draft)
        return super().run("--force")


@pytest.mark.parametrize("way", [way for way in WAYS if way != "twice"])
def test_survey(disk, way):
    """`new`: an answer kept in the draft, then the job file in place of the draft."""
    draft = (HERE / "survey.draft").read_bytes()
    survey, later = Survey(disk, draft), SurveyLater(disk, draft)
    survey.beside.write_bytes(draft)
    olds = [disk.copied("snapshot-old")]
    survey.beside.write_bytes(draft.replace(b"The old title", b"The new title"))
    olds.append(disk.copied("snapshot-answered"))
    assert later.run().code == 0
    new = disk.copied("snapshot-new")
    assert sorted(path.name for path in new.iterdir()) == ["job.toml"]
    # The draft outlives the job that was written from it, if it cannot be removed.
    survey.beside.write_bytes((olds[1] / survey.beside.name).read_bytes())
    olds.append(disk.copied("snapshot-both"))
    everywhere(disk, way, survey, olds, new, later)


def texts(folder):
    """The job's text, and every text that is kept of it."""
    kept = sorted((folder / ".bonewright" / "job").glob("*-*.toml"))
    return [path.read_bytes() for path in [*folder.glob("job.toml"), *kept]]


@pytest.mark.parametrize("way", [way for way in WAYS if way != "twice"])
def test_write_job(disk, way):
    """`fit --write-job --force` over a job of which the page keeps versions: the one that it replaces is kept too."""
    example = TREE / "examples" / "parlour.toml"
    file, kept = disk.folder / "job.toml", disk.folder / ".bonewright" / "job"
    words = [BINARY, "fit", str(example), "--readings", str(TREE / "examples" / "strung" / "parlour.toml"), "--write-job", str(file), "--force"]
    kept.mkdir(parents=True)
    retitled(example, kept / "old-000001.toml", "The first title")
    retitled(example, file, "The old title")
    before = texts(disk.folder)
    old = disk.copied("snapshot-old")
    well(*words)
    new = disk.copied("snapshot-new")
    run = Plain(disk, words)

    class Kept(Plain):
        """The later run, once it is seen that nothing is lost."""

        def run(self):
            if lost := set(before) - set(texts(disk.folder)):
                return Run(1, f"{len(lost)} versions are lost")
            return super().run()

    everywhere(disk, way, run, [old], new, Kept(disk, words))


# What the page asks of the disk: the address, and what is sent.
SAVES = {
    "answer": ("job/job/answer", {"key": "title", "text": "The new title", "view": "survey"}),
    "undo": ("job/job/undo", {}),
    "redo": ("job/job/redo", {}),
    "tick": ("job/job/tick", {}),
    "begin": ("new", {"title": "Another", "name": "another", "from": "example:parlour"}),
}
REFUSED = 507


class Page:
    """`bonewright bench` on the disk."""

    def __init__(self, disk):
        self.disk = disk
        self.child = subprocess.Popen([BINARY, "bench", disk.folder, "--no-open", "--port", "0"], env=disk.env, stdout=subprocess.PIPE,
                                      stderr=subprocess.PIPE, text=True)
        self.base = re.search(r"http://[\d.:]+", self.child.stdout.readline()).group(0)

    def get(self, path):
        with urllib.request.urlopen(f"{self.base}/{path}", timeout=60) as reply:
            return reply.read().decode()

    def form(self):
        """What every form holds."""
        page = self.get("job/job/text")
        return {name: re.search(pattern, page).group(1) for name, pattern in [("token", r'name="token" content="(\w+)"'), ("version", r'data-version="(\w+)"')]}

    def post(self, path, fields):
        """The status, and what is said; none where the server was ended."""
        class Stay(urllib.request.HTTPRedirectHandler):
            def redirect_request(self, *_):
                return None

        try:
            with urllib.request.build_opener(Stay).open(f"{self.base}/{path}", urllib.parse.urlencode(fields, doseq=True).encode(), timeout=60) as reply:
                return reply.status, reply.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.read().decode()
        except (OSError, http.client.HTTPException):
            return None, ""

    def close(self):
        self.disk.disarm()
        self.child.terminate()
        _, said = self.child.communicate(timeout=20)
        assert "panicked" not in said, said


def state(folder):
    """Everything that the page has written, but for the page's own."""
    found = (p for p in folder.rglob("*") if p.is_file() and not p.name.startswith((".", "_")))
    return {str(p.relative_to(folder)): p.read_bytes() for p in found}


# All of them keep and write by the same calls: each way to fail once, and those under which most can be lost for each.
@pytest.mark.parametrize("save, way", [(save, way) for save in SAVES for way in WAYS if way in ("refused", "full", "killed") or way != "twice" and save == "answer"])
def test_page(disk, save, way):
    """A save of the page, with versions to undo and to do again, and ticks beside the job."""
    path, sent = SAVES[save]
    file = disk.folder / "job.toml"
    retitled(TREE / "examples" / "parlour.toml", file, "Title 0")
    disk.disarm()
    page = Page(disk)
    try:
        steps = re.findall(r'name="shown" value="([\w.-]+)"', page.get("job/job/work"))
        tick = lambda n: ("job/job/tick", {"shown": steps[n], "done": steps[n]})
        for address, fields in [*[("job/job/answer", {"key": "title", "text": f"Title {n}", "view": "survey"}) for n in range(1, 5)],
                                ("job/job/undo", {}), ("job/job/undo", {}), tick(0)]:
            status, said = page.post(address, {**page.form(), **fields})
            assert status == 303, said
        if save == "tick":
            path, sent = tick(1)
        page.close()
        old, before = disk.copied("snapshot-old"), texts(disk.folder)
        ticked = (disk.folder / ".bonewright/job/beside.toml").read_text()
        assert len(set(before)) == 5 and steps[0] in ticked
        page = Page(disk)
        assert page.post(path, {**page.form(), **sent})[0] == 303
        wanted, there = state(disk.folder), texts(disk.folder)
        faults = []
        each = points(way)
        at, again = next(each)
        while True:
            disk.become(old)
            fields = {**page.form(), **sent}
            disk.arm(way, at, again)
            status, said = page.post(path, fields)
            disk.disarm()
            hit, what, now = disk.hit, disk.what, state(disk.folder)
            wrong = []
            if not hit or way == "halting":
                if status != 303 or now != wanted:
                    wrong.append("it should have ended well")
            elif status is None:
                if way != "killed":
                    wrong.append("no answer")
            elif status == 303:
                if now.get("job.toml") != wanted["job.toml"] or set(there) - set(texts(disk.folder)):
                    wrong.append("it said that it is kept, and it is not")
            elif status != REFUSED:
                wrong.append("it gives another reason than the disk")
            elif not re.search(f"disk refused: {'another' if save == 'begin' else 'job'}.toml: ", said):
                wrong.append("it does not say that the disk refused, and which file")
            # What is undone can no longer be done again after an answer: that is all that may go.
            gone = set(before) - set(there) if now.get("job.toml") == wanted["job.toml"] else set()
            if lost := set(before) - set(texts(disk.folder)) - gone:
                wrong.append(f"{len(lost)} versions are lost")
            if steps[0] not in now.get(".bonewright/job/beside.toml", b"").decode():
                wrong.append("ticks are lost")
            if now.get("another.toml") not in (None, wanted.get("another.toml")):
                wrong.append("the new job is half written")
            if now["job.toml"] not in (before[0], wanted["job.toml"]):
                wrong.append("neither the old job nor the new one")
            # On the sound disk it goes on, and what was left goes with the next start.
            if status is None or any(name.split("/")[-1].startswith(".bonewright-") for name in disk.hidden()):
                disk.age()
                page.close()
                page = Page(disk)
            if now.get("job.toml") == before[0] and "another.toml" not in now:
                then, _ = page.post(path, {**page.form(), **sent})
                if then != 303 or state(disk.folder)["job.toml"] != wanted["job.toml"] or set(there) - set(texts(disk.folder)):
                    wrong.append(f"afterwards: {then}")
            if left := [name for name in disk.hidden() if name != ".bonewright" and not re.fullmatch(r"\.bonewright/\.open-\d+", name)]:
                wrong.append(f"left over: {left}")
            if wrong:
                plain = " ".join(re.sub("<[^>]*>", " ", said).split())
                faults.append(f"{way} at call {at}, {what}: {'; '.join(wrong)}\n  {status} {plain[-300:]}")
            if not hit:
                break
            at, again = each.send(False)
        print(f"{save}, {way}: {at - 1} calls")
        assert at > LEAST_CALLS, "hardly a call was counted"
        assert not faults, f"{len(faults)} faults:\n" + "\n".join(faults)
    finally:
        page.close()
