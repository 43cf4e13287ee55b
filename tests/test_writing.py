"""Writing: files are whole or untouched, whatever happens meanwhile."""

import errno
import json
import os
import random
import signal
import stat
import subprocess
import sys
import time
import warnings
from pathlib import Path

import pytest

import squarewright as sw
from squarewright import files
from squarewright.files import PLAN_FILES

POND = Path(__file__).parent.parent / "examples" / "pond"
HERON = str(POND / "heron.png")
PANEL = ["--panel", "12in x 12in"]
DAY = 24 * 60 * 60


@pytest.fixture(autouse=True)
def at_the_bench(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def listed(folder="."):
    return sorted(entry.name for entry in Path(folder).iterdir())


def write(contents, folder="out", overwrite=False, mkdir=False):
    return files.write_all(Path(folder), contents, overwrite, mkdir)


def code_of(work):
    with pytest.raises(sw.OutputError) as caught:
        work()
    return caught.value.code


# A small disk of its own, seen by the child alone.
ON_A_SMALL_DISK = """
import json, os, sys
from pathlib import Path
from squarewright import errors, files
from squarewright.command import main

def listed():
    return {each.name: each.stat().st_size for each in disk.iterdir()}

disk, told = Path(sys.argv[1]), {}
for name in files.PLAN_FILES:
    (disk / name).write_bytes(b"old")
before = listed()
told["command"] = main(["plan", "--panel", "12in x 12in", "--overwrite", "--out", str(disk), sys.argv[2]])
told["kept"] = listed() == before and all((disk / name).read_bytes() == b"old" for name in before)
told["new"] = main(["plan", "--panel", "12in x 12in", "--out", str(disk / "new"), sys.argv[2]])
told["gone"] = listed() == before
try:
    files.write_all(disk, {"plan.json": b"new" * 10, "book.pdf": b"new" * 100_000}, overwrite=True)
except errors.OutputError as error:
    told["code"] = error.code
told["all old"] = listed() == before
with (disk / "filler").open("wb", buffering=0) as file:
    try:
        while file.write(bytes(512)):
            pass
    except OSError:
        pass
before = listed()
told["full"] = main(["plan", "--panel", "12in x 12in", "--overwrite", "--out", str(disk), sys.argv[2]])
told["still old"] = listed() == before
print(json.dumps(told))
"""

ON_A_DISK_FOR_READING = """
import json, os, sys
from squarewright.command import main
arguments = ["plan", "--panel", "12in x 12in", sys.argv[2], "--out"]
told = {out: main([*arguments, os.path.join(sys.argv[1], out)]) for out in ("", "new")}
print(json.dumps(told | {"left": os.listdir(sys.argv[1])}))
"""


def on_a_disk(options, script, tmp_path):
    """Run a script in a child that has a small disk of its own mounted on a folder."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = f'mount -t tmpfs -o {options} none "$1" && exec "$2" -c "$3" "$1" "$4"'
    tried = []
    for separate in (["unshare", "-m"], ["unshare", "-Urm"]):
        done = subprocess.run(
            [*separate, "sh", "-c", mount, "sh", str(disk), sys.executable, script, HERON],
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
        if done.returncode == 0:
            *_, last = done.stdout.splitlines()
            return json.loads(last), done.stderr
        tried.append(done.stderr)
    return pytest.fail(f"this test needs to mount a small disk, as root or in a user namespace: {tried}")


# Source: POSIX.1-2017, "write", ENOSPC; `common practice` for what is left behind.
def test_a_full_disk_leaves_what_was_there(tmp_path):
    told, error = on_a_disk("size=64k", ON_A_SMALL_DISK, tmp_path)
    kept = {"kept": True, "gone": True, "all old": True, "still old": True}
    assert told == {"command": 1, "new": 1, "full": 1, "code": "OUT-SPACE"} | kept
    lines = error.splitlines()
    assert len(lines) == 3
    for line in lines:
        assert line.startswith("squarewright: OUT-SPACE: ") and "has no room left" in line
        assert line.endswith("Nothing was written.")


# Source: POSIX.1-2017, "open", EROFS.
def test_a_disk_for_reading_alone_is_said_so(tmp_path):
    told, error = on_a_disk("ro", ON_A_DISK_FOR_READING, tmp_path)
    assert told == {"": 1, "new": 1, "left": []}
    assert [line.split(": ")[1] for line in error.splitlines()] == ["OUT-DENIED", "OUT-DENIED"]


def rendered(name):
    """Give the files of a plan."""
    plan = sw.plan(POND / f"{name}.png", panel=sw.Panel("2 ft", "2 ft"), pitch="1/8 in")
    plan.write(name)
    return {file: (Path(name) / file).read_bytes() for file in PLAN_FILES}


def forked(work):
    """Run work in a child of this process and give its number."""
    with warnings.catch_warnings():
        # Newer Pythons warn of a fork beside threads; none of them is at work here.
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        try:
            work()
        finally:
            os._exit(1)
    return child


# Source: POSIX.1-2017, "rename": the name leads to the old file or to the new one at every moment.
def test_killed_in_mid_write_each_file_is_old_or_new():
    versions = [rendered("heron"), rendered("otter")]
    place = Path("out")
    write(versions[0])
    start = time.perf_counter()
    write(versions[0], overwrite=True)
    took = time.perf_counter() - start
    chance = random.Random(88)
    kills, broken_off, told = 0, 0, set()

    def again_and_again():
        while True:
            for contents in reversed(versions):
                files.write_all(place, contents, overwrite=True)

    # How long a disk takes varies: as many kills as it takes to meet both an old and a new file.
    while kills < 20 or (kills < 200 and not (broken_off and len(told) == 2)):
        kills += 1
        child = forked(again_and_again)
        time.sleep(chance.uniform(0.1, 3) * took * (1 + kills / 20))
        os.kill(child, signal.SIGKILL)
        assert os.WIFSIGNALED(os.waitpid(child, 0)[1])
        for name in PLAN_FILES:
            data = (place / name).read_bytes()
            assert data in [contents[name] for contents in versions], f"{name} is a mix"
            told.add(data == versions[0][name])
        left = [name for name in listed(place) if name not in PLAN_FILES]
        assert all(files._UNFINISHED.fullmatch(name) for name in left)
        broken_off += bool(left)
        for name in left:
            os.utime(place / name, (0, time.time() - DAY - 60))
        write({"plan.json": versions[0]["plan.json"]}, overwrite=True)
        assert set(listed(place)) == set(PLAN_FILES)
    assert broken_off and told == {True, False}, "no kill fell into the writing"


SLOWLY = """
import os, signal, sys, time
from squarewright.command import main
# a shell lets what it runs in the background ignore some of them
signal.signal(signal.SIGINT, signal.default_int_handler)
for number in (signal.SIGTERM, signal.SIGHUP):
    signal.signal(number, signal.SIG_DFL)
def slow(handle):
    print("writing", flush=True)
    time.sleep(30)
os.fsync = slow
sys.exit(main(sys.argv[1:]))
"""


# Source: POSIX.1-2017, <signal.h>: what asks a process to end; `common practice` for the status.
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_request_to_end_leaves_nothing_unfinished(number, tmp_path):
    arguments = ["plan", *PANEL, HERON, "--mkdir", "--out", "new/er"]
    running = subprocess.Popen(
        [sys.executable, "-c", SLOWLY, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert running.stdout.readline() == "writing\n"
    assert [name for name in listed("new/er") if files._UNFINISHED.fullmatch(name)]
    running.send_signal(number)
    _, error = running.communicate(timeout=20)
    assert running.returncode == 130
    assert error == "squarewright: interrupted. Each file in new/er is as it was or complete.\n"
    assert list(tmp_path.iterdir()) == []


def test_a_failure_takes_away_the_folders_that_it_made(monkeypatch, tmp_path):
    def fail(handle):
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    Path("there").mkdir()
    monkeypatch.setattr(os, "fsync", fail)
    assert code_of(lambda: write({"a.txt": b"a"}, "there/b/c", mkdir=True)) == "OUT-FAILED"
    assert code_of(lambda: write({"a.txt": b"a"}, "there")) == "OUT-FAILED"
    assert [path.name for path in tmp_path.rglob("*")] == ["there"]


@pytest.mark.parametrize(
    ("number", "code"),
    [
        (errno.ENOSPC, "OUT-SPACE"),
        (errno.EDQUOT, "OUT-SPACE"),
        (errno.EACCES, "OUT-DENIED"),
        (errno.EPERM, "OUT-DENIED"),
        (errno.EROFS, "OUT-DENIED"),
        (errno.EIO, "OUT-FAILED"),
    ],
)
def test_each_refusal_of_the_disk_has_its_code(number, code, monkeypatch):
    def fail(self, target):
        raise OSError(number, os.strerror(number), str(self), None, str(target))

    write({"a.txt": b"old"})
    monkeypatch.setattr(Path, "replace", fail)
    assert code_of(lambda: write({"a.txt": b"new", "b.txt": b"new"}, overwrite=True)) == code
    assert listed("out") == ["a.txt"] and Path("out/a.txt").read_bytes() == b"old"


@pytest.mark.parametrize(
    "folder", ["x" * 300, "a/" * 3000 + "b", "nul\0nul", "ring/out", "file", "file/out", "gone", "gone/out"]
)
def test_what_can_be_no_folder_is_refused(folder):
    Path("ring").symlink_to("ring")
    Path("gone").symlink_to("nowhere")
    Path("file").write_bytes(b"mine")
    before = listed()
    assert code_of(lambda: write({"a.txt": b"a"}, folder, overwrite=True, mkdir=True)) == "OUT-FOLDER"
    assert listed() == before


# Source: POSIX.1-2017, "umask" and "open": a new file has what the mask leaves of rw-rw-rw-.
@pytest.mark.parametrize("mask", [0o022, 0o027, 0o077])
def test_a_new_file_follows_the_mask_and_a_replaced_one_keeps_its_permissions(mask):
    Path("out").mkdir()
    for name, mode in (("open", 0o666), ("shut", 0o600), ("fixed", 0o444)):
        (Path("out") / name).write_bytes(b"old")
        (Path("out") / name).chmod(mode)
    kept = os.umask(mask)
    try:
        write(dict.fromkeys(["new", "open", "shut", "fixed"], b"new"), overwrite=True)
    finally:
        os.umask(kept)
    modes = {name: stat.S_IMODE((Path("out") / name).stat().st_mode) for name in listed("out")}
    assert modes == {"new": 0o666 & ~mask, "open": 0o666, "shut": 0o600, "fixed": 0o444}
    assert all((Path("out") / name).read_bytes() == b"new" for name in modes)


# Source: POSIX.1-2017, "rename": a link that is replaced is not followed.
@pytest.mark.parametrize("target", ["mine.txt", "nowhere", "a.txt"])
def test_a_link_is_replaced_itself_and_only_when_that_is_allowed(target):
    Path("out").mkdir()
    Path("out/mine.txt").write_bytes(b"mine")
    Path("out/a.txt").symlink_to(target)
    assert code_of(lambda: write({"a.txt": b"new"})) == "OUT-EXISTS"
    write({"a.txt": b"new"}, overwrite=True)
    assert not Path("out/a.txt").is_symlink() and Path("out/a.txt").read_bytes() == b"new"
    assert Path("out/mine.txt").read_bytes() == b"mine" and listed("out") == ["a.txt", "mine.txt"]


def test_a_folder_that_is_a_link_is_written_into():
    Path("real").mkdir()
    Path("out").symlink_to("real")
    write({"a.txt": b"a"})
    assert listed("real") == ["a.txt"] and Path("out").is_symlink()


@pytest.mark.parametrize("make", [Path.mkdir, os.mkfifo], ids=["folder", "pipe"])
def test_what_is_no_file_is_not_replaced(make):
    Path("out").mkdir()
    make(Path("out/a.txt"))
    assert code_of(lambda: write({"a.txt": b"a"}, overwrite=True)) == "OUT-FOLDER"
    assert listed("out") == ["a.txt"] and not Path("out/a.txt").is_file()


@pytest.mark.parametrize("links", [True, False], ids=["links", "no links"])
def test_a_file_that_turns_up_meanwhile_is_not_replaced(links, monkeypatch):
    def refuse(self, target):
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    if not links:
        monkeypatch.setattr(Path, "hardlink_to", refuse)
    write({"b.txt": b"b"})
    assert listed("out") == ["b.txt"]
    monkeypatch.setattr(files, "sweep", lambda folder: (folder / "a.txt").write_bytes(b"mine"))
    assert code_of(lambda: write({"a.txt": b"new", "c.txt": b"new"})) == "OUT-EXISTS"
    assert Path("out/a.txt").read_bytes() == b"mine" and listed("out") == ["a.txt", "b.txt"]


def test_what_was_left_unfinished_a_day_ago_is_taken_away_and_nothing_else():
    Path("out").mkdir()
    ours = [f".squarewright-{digit * 16}.part" for digit in "0123"]
    others = [".squarewright-0.part", ours[0] + "x", ".hidden", "notes.part", "x" + ours[0]]
    for name in (ours[0], ours[1], *others):
        (Path("out") / name).write_bytes(b"half")
    (Path("out") / ours[2]).mkdir()
    (Path("out") / ours[3]).symlink_to("notes.part")
    for name in (ours[0], ours[2], *others):
        os.utime(Path("out") / name, (0, time.time() - DAY - 60))
    os.utime(Path("out") / ours[3], (0, 0), follow_symlinks=False)
    os.utime(Path("out") / ours[1], (0, time.time() - DAY + 60))
    write({"a.txt": b"a"})
    assert listed("out") == sorted([*ours[1:], *others, "a.txt"])


# Source: POSIX.1-2017, "fsync": data first, then names; the folder is what holds the names.
def test_data_is_on_the_disk_before_it_gets_its_name_and_the_folder_after(monkeypatch):
    done = []
    sync, replace = os.fsync, Path.replace

    def synchronised(handle):
        done.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        sync(handle)

    def replaced(self, target):
        done.append("name")
        return replace(self, target)

    monkeypatch.setattr(os, "fsync", synchronised)
    monkeypatch.setattr(Path, "replace", replaced)
    write({"a.txt": b"a", "b.txt": b"b"}, overwrite=True)
    assert done == ["file", "file", "name", "name", "folder", "folder"]
