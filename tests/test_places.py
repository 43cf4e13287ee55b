"""Paths and places: what cannot be read, what must not be replaced, what changes while it is read.

Strange names are in test_names, a full disk and being killed in test_writing, folders without pictures in
test_bulk.
"""

import os
import pickle
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from PIL import Image

import squarewright as sw
from heron import HERON, PANEL, picture
from squarewright import files, pictures
from squarewright.command import main
from squarewright.files import PLAN_FILES


@pytest.fixture(autouse=True)
def at_the_bench(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def listed(folder):
    return sorted(entry.name for entry in Path(folder).iterdir())


def missing():
    picture("heron.png")
    return "herom.png"


def folder():
    Path("pond").mkdir()
    return "pond"


def link(name, target):
    Path(name).symlink_to(target)
    return name


def ring():
    link("one.png", "two.png")
    return link("two.png", "one.png")


def pipe():
    os.mkfifo("pipe.png")
    return "pipe.png"


def listening():
    with socket.socket(socket.AF_UNIX) as made:
        made.bind("socket.png")
    return "socket.png"


# Sources: POSIX.1-2017, "open", for links, pipes, sockets and names that are too long; `common practice`.
UNREADABLE = [
    ("missing", missing, "PATH-MISSING", "Did you mean heron.png?"),
    ("missing", lambda: "pond/heron.png", "PATH-MISSING", "There is no folder pond."),
    ("missing", lambda: picture("heron.png") + "/it.png", "PATH-MISSING", "heron.png is no folder."),
    ("missing", lambda: "x" * 300 + ".png", "PATH-MISSING", "longer than a path can be"),
    ("missing", lambda: "her\non\x1b[2J.png", "PATH-MISSING", r"her\non\x1b[2J.png does not exist"),
    ("a folder", folder, "PATH-FOLDER", "pond is a folder. Give one picture in it."),
    ("a folder", lambda: "/", "PATH-FOLDER", "/ is a folder"),
    (
        "a link that leads nowhere",
        lambda: link("heron.png", "gone.png"),
        "PATH-MISSING",
        "is a link to gone.png, which does not exist",
    ),
    ("a link that leads nowhere", ring, "PATH-MISSING", "is a link that leads back to itself"),
    (
        "a link that leads nowhere",
        lambda: ring() + "/heron.png",
        "PATH-MISSING",
        "goes through links in a circle",
    ),
    ("a link that leads nowhere", lambda: link("pond.png", folder()), "PATH-FOLDER", "pond.png is a folder"),
    ("no file", pipe, "PATH-NOT-FILE", "is a pipe, not a file"),
    ("no file", listening, "PATH-NOT-FILE", "is a socket, not a file"),
    ("no file", lambda: "/dev/zero", "PATH-NOT-FILE", "is a device, not a file"),
    ("no file", lambda: link("heron.png", "/dev/zero"), "PATH-NOT-FILE", "is a device, not a file"),
]


@pytest.mark.parametrize(("case", "make", "code", "words"), UNREADABLE)
def test_a_path_that_cannot_be_read_is_answered_at_once(case, make, code, words, tmp_path, run):
    path = make()
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(sw.PlaceError) as caught:
        sw.recover(path)
    assert caught.value.code == code and words in str(caught.value)
    status, told, error = run("plan", *PANEL, "--", path)
    assert (status, told) == (1, "")
    assert error.startswith(f"squarewright: {code}: ") and words in error
    assert error.endswith("Nothing was written.\n") and error.count("\n") == 1 and error[:-1].isprintable()
    assert sorted(tmp_path.rglob("*")) == before


def test_a_path_with_a_nul_is_no_path():
    with pytest.raises(sw.PlaceError, match="PATH-MISSING"):
        sw.recover("her\0on.png")


# Between the look and the opening anything can be put in its place.
def test_a_pipe_that_takes_the_place_of_a_file_cannot_make_it_wait(monkeypatch):
    def woken(*_):
        raise AssertionError("it waits for the pipe")

    path = Path(pipe())
    look = HERON.stat()
    monkeypatch.setattr(Path, "stat", lambda self, **_: look)
    kept = signal.signal(signal.SIGALRM, woken)
    signal.alarm(5)
    try:
        with pytest.raises(sw.PlaceError, match="PATH-NOT-FILE"):
            sw.recover(path)
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, kept)


@pytest.mark.parametrize("closed", ["file", "folder"])
def test_what_may_not_be_read_is_said_so(closed, reachable, as_stranger):
    path = reachable / "heron.png"
    path.write_bytes(HERON.read_bytes())
    shut = path if closed == "file" else reachable
    shut.chmod(0)
    told = as_stranger(lambda: main(["plan", *PANEL, "--dry-run", str(path)]))
    assert told.startswith("1 squarewright: PATH-DENIED: heron.png may not be read.")
    assert told.endswith("Nothing was written.\n")


def same_file(kind: str) -> Path:
    """Give the heron a second name that the preview of a plan has, and give the first."""
    Path("out").mkdir()
    if kind == "itself":
        Path("out/preview.png").write_bytes(HERON.read_bytes())
        return Path("out/preview.png")
    path = Path(picture("heron.png"))
    if kind == "link":
        Path("out/preview.png").symlink_to("../heron.png")
    elif kind == "second name":
        Path("out/preview.png").hardlink_to(path)
    else:
        Path("in").symlink_to("out")
        path.rename("out/preview.png")
        return Path("in/preview.png")
    return path


KINDS = ["itself", "link", "second name", "linked folder"]


# Source: POSIX.1-2017, "stat": one file is one device and one serial number; `common practice`.
@pytest.mark.parametrize("more", [["--overwrite"], ["--overwrite", "--dry-run"], []])
@pytest.mark.parametrize("kind", KINDS)
def test_the_command_never_replaces_the_picture(kind, more, run):
    path = same_file(kind)
    status, told, error = run("plan", *PANEL, *more, "--out", "out", str(path))
    assert (status, told) == (5, "")
    assert error.startswith("squarewright: OUT-SAME: out/preview.png is the picture itself.")
    assert error.endswith("Nothing was written.\n")
    assert path.read_bytes() == HERON.read_bytes() and listed("out") == ["preview.png"]


def ways(path):
    """Give every way to name a picture by its path."""
    yield path
    yield str(path)
    yield pictures.load(path)
    yield pickle.loads(pickle.dumps(pictures.load(path)))
    with path.open("rb") as file:
        yield file
    with Image.open(path) as image:
        yield image


@pytest.mark.parametrize("kind", KINDS)
def test_a_plan_never_replaces_its_picture(kind, tmp_path, monkeypatch):
    path = same_file(kind)
    for source in ways(path):
        plan = sw.plan(source, panel=sw.Panel("12 in", "12 in"))
        monkeypatch.chdir("/")
        for made in (plan, pickle.loads(pickle.dumps(plan))):
            with pytest.raises(sw.OutputError, match="OUT-SAME"):
                made.write(tmp_path / "out", overwrite=True)
        monkeypatch.chdir(tmp_path)
    assert path.read_bytes() == HERON.read_bytes() and listed("out") == ["preview.png"]


def test_on_a_disk_that_takes_both_cases_for_one(monkeypatch):
    """Stand in for such a disk: look-ups go by folded names, and each numbers the file anew."""
    whole = Path.stat
    numbers = iter(range(1, 1000))

    def stat(self, **options):
        if self.name.casefold() != "preview.png":
            return whole(self, **options)
        found = list(whole(self.with_name("Preview.png"), **options))
        found[1] = next(numbers)
        return os.stat_result(found)

    picture("Preview.png")
    monkeypatch.setattr(Path, "stat", stat)
    with pytest.raises(sw.OutputError, match=r"OUT-SAME.*preview\.png"):
        files.keep_input(Path("Preview.png").absolute(), Path.cwd(), PLAN_FILES)
    picture("preview.png")
    files.keep_input(Path("Preview.png").absolute(), Path.cwd(), PLAN_FILES)


def test_what_is_there_stays_unless_overwriting_is_allowed(run):
    picture("heron.png")
    for make in (lambda path: path.write_bytes(b"mine"), lambda path: path.symlink_to("nowhere")):
        Path("out").mkdir()
        make(Path("out/plan.json"))
        for more in ([], ["--dry-run"]):
            status, told, error = run("plan", *PANEL, "--out", "out", *more, "heron.png")
            assert (status, told) == (5, "") and "OUT-EXISTS: out already has plan.json." in error
            assert "--overwrite" in error and error.endswith("Nothing was written.\n")
        assert listed("out") == ["plan.json"]
        Path("out/plan.json").unlink()
        Path("out").rmdir()


def test_a_place_that_may_not_be_written_to_is_said_so(reachable, as_stranger):
    (reachable / "out").mkdir()
    (reachable / "heron.png").write_bytes(HERON.read_bytes())
    (reachable / "out").chmod(0o555)
    reachable.chmod(0o555)
    arguments = ["plan", *PANEL, "--mkdir", str(reachable / "heron.png"), "--out"]
    for out in ("out", "new", "new/newer"):
        told = as_stranger(lambda out=reachable / out: main([*arguments, str(out)]))
        assert told.startswith(f"1 squarewright: OUT-DENIED: {reachable / out} may not be written to."), told
        assert told.endswith("Nothing was written.\n")
    assert listed(reachable) == ["heron.png", "out"] and listed(reachable / "out") == []


def test_folders_above_are_made_only_when_allowed(tmp_path, run):
    plan = sw.plan(HERON, panel=sw.Panel("12 in", "12 in"))
    for more in ([], ["--dry-run"]):
        status, _, error = run("plan", *PANEL, "--out", "a/b/c", *more, str(HERON))
        assert status == 1 and error.startswith("squarewright: OUT-FOLDER: a/b/c cannot be made: ")
        assert "there is no folder a." in error and "--mkdir" in error
    with pytest.raises(sw.OutputError, match="OUT-FOLDER"):
        plan.write("a/b/c")
    assert list(tmp_path.iterdir()) == []
    assert run("plan", *PANEL, "--out", "a/b/c", "--mkdir", str(HERON))[0] == 0
    assert [path.name for path in plan.write("d/e", mkdir=True)] == list(PLAN_FILES)
    assert listed("a/b/c") == listed("d/e") == sorted(PLAN_FILES)


@pytest.mark.parametrize("grown", [True, False])
def test_a_change_while_it_is_read_is_noticed(grown, monkeypatch):
    path = Path(picture("heron.png"))
    whole, looks = os.fstat, []

    def look(handle):
        looks.append(handle)
        if len(looks) == 2:
            data = path.read_bytes()
            path.write_bytes(data + b"more" if grown else data)
            os.utime(path, ns=(0, 1))
        return whole(handle)

    os.utime(path, ns=(0, 0))
    monkeypatch.setattr(os, "fstat", look)
    with pytest.raises(sw.PictureError, match=r"PIC-CHANGED: heron\.png changed while it was read\."):
        sw.recover(path)


def test_what_is_read_is_never_a_mix():
    """Another process writes red over blue and back, half by half, in a picture that keeps its size."""
    path = Path("pond.bmp")
    Image.new("RGB", (256, 256), "red").save(path)
    red = path.read_bytes()
    Image.new("RGB", (256, 256), "blue").save(path)
    blue = path.read_bytes()
    assert len(red) == len(blue)
    painter = (
        "import random, sys, time\n"
        "red, blue = (open(name, 'rb').read() for name in ('red', 'blue'))\n"
        "while True:\n"
        "    for data in (red, blue):\n"
        "        with open('pond.bmp', 'r+b', buffering=0) as file:\n"
        "            file.write(data[:90000])\n"
        "            time.sleep(random.random() * 0.01)\n"
        "            file.write(data[90000:])\n"
        "        time.sleep(random.random() * 0.06)\n"
    )
    Path("red").write_bytes(red)
    Path("blue").write_bytes(blue)
    at_work = subprocess.Popen([sys.executable, "-c", painter])
    try:
        seen = {"changed": 0, "red": 0, "blue": 0}
        end = time.monotonic() + 20
        while min(seen.values()) < 5 and time.monotonic() < end:
            try:
                array = sw.read_picture(path)
            except sw.PictureError as error:
                assert error.code == "PIC-CHANGED"
                seen["changed"] += 1
                continue
            assert (array == array[0, 0]).all(), "a mix of two pictures"
            seen["red" if array[0, 0, 0] else "blue"] += 1
    finally:
        at_work.kill()
        at_work.wait()
    assert min(seen.values()) >= 5, seen
