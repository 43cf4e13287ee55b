"""Many pictures in one run: all of them, whatever happens to some, to the run or to the machine."""

import dataclasses
import hashlib
import io
import json
import multiprocessing
import os
import pickle
import pty
import re
import signal
import subprocess
import sys
import time
from concurrent.futures import Future, ProcessPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import squarewright as sw
from squarewright import bulk
from squarewright.bulk.finding import find, folders
from squarewright.bulk.journal import NAME, Journal
from squarewright.command import main
from squarewright.contents import PLAN_FILES

PANEL = ["--panel", "12in x 12in"]
SETTINGS = sw.Settings(panel="12in x 12in", files=("plan.json",))
PICTURES, BAD = 1000, 37


def figure(number):
    """Give a figure of 8 to 16 pixels a side on white, as a PNG: a crest, a back, a belly, eyes and legs."""
    random = np.random.default_rng(number)
    side = int(random.integers(8, 17))
    pixels = np.full((side, side, 3), 255, np.uint8)
    pixels[1:-1, 1:-1] = random.integers(0, 100, 3)
    pixels[side // 2 : -1, 2:-2] = random.integers(100, 200, 3)
    pixels[2, [2, -3]] = (250, 200, number % 256)
    pixels[-2, 2:-2:2] = 255
    pixels[1, ::3] = 255
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG", compress_level=1)
    return out.getvalue()


BADLY = {
    "PIC-EMPTY": lambda data: b"",
    "PIC-TRUNCATED": lambda data: data[: len(data) * 2 // 3],
    "PIC-NOT-PICTURE": lambda data: b"<!doctype html><title>Not found</title>",
    "PIC-DAMAGED": lambda data: data[:40] + bytes(40) + data[80:],
}


@pytest.fixture(scope="module")
def pond(tmp_path_factory):
    """Make a thousand pictures, 37 of them bad."""
    folder = tmp_path_factory.mktemp("pond") / "pictures"
    folder.mkdir()
    ruin = list(BADLY.values())
    bad = {number * PICTURES // BAD for number in range(BAD)}
    for number in range(PICTURES):
        data = figure(number)
        data = ruin[number % len(ruin)](data) if number in bad else data
        (folder / f"figure-{number:04}.png").write_bytes(data)
    return folder


@pytest.fixture
def few(tmp_path, monkeypatch):
    """Make four pictures and stand beside them."""
    monkeypatch.chdir(tmp_path)
    Path("pictures").mkdir()
    for number in range(4):
        Path(f"pictures/newt-{number}.png").write_bytes(figure(number))
    return Path("pictures")


def tree(folder):
    """Give the SHA-256 of every file."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(Path(folder).rglob("*"))
        if path.is_file()
    }


def states(summary):
    return [outcome.state for outcome in summary.outcomes]


def journal(out):
    return [json.loads(line) for line in (Path(out) / NAME).read_text().splitlines()]


RUN = """
import signal, sys
from squarewright.command import main
# a shell lets what it runs in the background ignore the signal
signal.signal(signal.SIGINT, signal.default_int_handler)
sys.exit(main(["bulk", *sys.argv[1:]]))
"""


def command(*arguments, **options):
    return subprocess.Popen([sys.executable, "-c", RUN, *arguments], **options)


def asked(pictures, out):
    return [str(pictures), "--out", str(out), *PANEL, "--files", "plan.json", "--json"]


def test_37_bad_of_a_thousand_pictures_stop_none_of_the_others(pond, capsys):
    out = pond.parent / "plans"
    assert main(["bulk", *asked(pond, out)]) == 1
    told = capsys.readouterr()
    report = json.loads(told.out)
    assert (report["done"], report["failed"], report["left"]) == (PICTURES - BAD, BAD, [])
    assert sum(report["codes"].values()) == BAD and set(report["codes"]) == set(BADLY)
    assert len(list(out.glob("*/plan.json"))) == PICTURES - BAD
    lines = journal(out)
    assert len(lines) == PICTURES and [line["path"] for line in lines] == sorted(x["path"] for x in lines)
    assert sum("code" in line for line in lines) == BAD
    assert "\x1b" not in told.err


def test_a_run_that_is_killed_at_half_goes_on_there(pond, capsys):
    out, whole = pond.parent / "killed", pond.parent / "plans"
    child = command(*asked(pond, out), stdout=subprocess.DEVNULL)
    while child.poll() is None and len(list(out.glob("*/plan.json"))) < PICTURES // 2:
        time.sleep(0.02)
    assert child.poll() is None
    child.kill()
    child.wait()
    before = {path: path.stat().st_mtime_ns for path in out.glob("*/plan.json")}
    assert PICTURES // 2 <= len(before) < PICTURES - BAD
    assert main(["bulk", *asked(pond, out)]) == 1
    report = json.loads(capsys.readouterr().out)
    redone = report["done"] - (PICTURES - BAD - len(before))
    assert 0 <= redone <= PICTURES // 100
    assert report["done"] + report["unchanged"] == PICTURES - BAD
    # Not even what was done again was written again, as it came out the same.
    assert all(path.stat().st_mtime_ns == written for path, written in before.items())
    if not whole.exists():
        main(["bulk", *asked(pond, whole)])
    assert tree(out) == tree(whole)


def test_ctrl_c_leaves_what_the_next_run_goes_on_with(pond, capsys):
    out = pond.parent / "stopped"
    child = command(*asked(pond, out), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    while child.poll() is None and len(list(out.glob("*/plan.json"))) < 50:
        time.sleep(0.02)
    begun = time.monotonic()
    child.send_signal(signal.SIGINT)
    told = child.communicate()[1].decode()
    assert child.returncode == 130 and time.monotonic() - begun < 5
    assert told.count("\n") == 1 and "interrupted" in told and "as it was or complete" in told
    kept = len(journal(out))
    assert kept >= 40 and not list(out.rglob("*.part"))
    pictures = sorted(pond.iterdir())[:kept]
    summary = sw.plan_many(pictures, SETTINGS, out)
    assert len(summary.unchanged) >= kept - BAD - 10


@pytest.fixture(scope="module")
def compared(tmp_path_factory):
    """Plan twelve figures in threads, whole folders of files, to compare others with."""
    base = tmp_path_factory.mktemp("compared")
    (base / "pictures").mkdir()
    for number in range(12):
        (base / "pictures" / f"newt-{number}.png").write_bytes(figure(number))
    (base / "pictures" / "none.png").write_bytes(b"")
    settings = sw.Settings(panel="12in x 12in", stock=sw.Stock.basic(), painting={"outline": "last"})
    summary = sw.plan_many(base / "pictures", settings, base / "threads", workers=3)
    assert (len(summary.done), list(summary.codes)) == (12, ["PIC-EMPTY"])
    return base, settings, tree(base / "threads")


def test_one_thread_writes_the_same_bytes(compared):
    base, settings, wanted = compared
    sw.plan_many(base / "pictures", settings, base / "one", workers=1)
    assert tree(base / "one") == wanted and len(wanted) == 12 * len(PLAN_FILES) + 1


@pytest.mark.parametrize("start", ["spawn", "forkserver"])
def test_processes_write_the_same_bytes(compared, start):
    base, settings, wanted = compared
    with ProcessPoolExecutor(2, mp_context=multiprocessing.get_context(start)) as pool:
        sw.plan_many(base / "pictures", settings, base / start, pool)
    assert tree(base / start) == wanted


@pytest.mark.filterwarnings("ignore")
def test_a_dask_cluster_writes_the_same_bytes(compared):
    from dask.distributed import Client, LocalCluster

    base, settings, wanted = compared
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        Client(cluster) as client,
        client.get_executor() as pool,
    ):
        sw.plan_many(base / "pictures", settings, base / "cluster", pool)
    assert tree(base / "cluster") == wanted


def test_what_only_runs_and_waits_is_adapted(compared):
    base, settings, wanted = compared
    with multiprocessing.get_context("spawn").Pool(2) as pool:
        adapted = bulk.Adapted(lambda function, job: pool.apply(function, (job,)), workers=2)
        sw.plan_many(base / "pictures", settings, base / "pool", adapted)
    assert tree(base / "pool") == wanted


class Losing:
    """An executor whose workers die with one picture."""

    def submit(self, function, job):
        future = Future()
        if job.path.endswith("newt-2.png"):
            future.set_exception(OSError("a worker was killed"))
        else:
            future.set_result(function(job))
        return future


def test_a_worker_that_is_lost_is_a_failure_and_stops_no_other(few):
    summary = sw.plan_many(few, SETTINGS, "plans", Losing())
    assert states(summary) == ["done", "done", "failed", "done"]
    assert summary.codes == {"WORKER-LOST": 1}
    assert states(sw.plan_many(few, SETTINGS, "plans")) == ["unchanged", "unchanged", "done", "unchanged"]


def test_an_executor_that_breaks_leaves_the_rest(few):
    spawn = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(1, mp_context=spawn) as pool:
        for process in (pool.submit(os.getpid).result(),):
            os.kill(process, signal.SIGKILL)
        time.sleep(0.5)
        summary = sw.plan_many(few, SETTINGS, "plans", pool)
    assert not summary.done and len(summary.left) + len(summary.failed) == 4
    assert states(sw.plan_many(few, SETTINGS, "plans")) == ["done"] * 4


class NeverPickled(dict):
    """A table of settings that refuses to be sent to another process."""

    def __reduce__(self):
        raise TypeError("this stays where it is")


def test_settings_that_cannot_be_sent_to_a_worker_are_copied_into_what_can(few):
    settings = dataclasses.replace(SETTINGS, rates=NeverPickled(mark=(1, 2)))
    assert pickle.loads(pickle.dumps(settings)) == settings


class Unsendable:
    """An executor that pickles each job, as one between processes does, and cannot."""

    _max_workers = 1

    def submit(self, function, job):
        future = Future()
        future.set_exception(pickle.PicklingError("a job cannot be sent"))
        return future


def test_jobs_that_cannot_be_sent_are_failures_that_say_so(few):
    summary = sw.plan_many(few, SETTINGS, "plans", Unsendable())
    assert summary.codes == {"WORKER-LOST": 4}
    assert all("PicklingError: a job cannot be sent" in outcome.what for outcome in summary.failed)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"paths": ["pictures", 7]}, r"paths\[1\] must be a path, got int"),
        ({"paths": [None]}, r"paths\[0\] must be a path, got NoneType"),
        ({"paths": 7}, "int"),
        ({"settings": {"panel": "12in x 12in"}}, "settings must be Settings, got dict"),
        ({"executor": 3}, "executor must have submit, got int"),
        ({"out": 3}, "int"),
    ],
)
def test_a_value_of_another_type_is_a_type_error_and_nothing_is_written(change, words, few):
    before = tree(".")
    arguments = {"paths": ["pictures"], "settings": SETTINGS, "out": "plans", "executor": None} | change
    with pytest.raises(TypeError, match=words):
        sw.plan_many(**arguments)
    assert tree(".") == before


def test_nothing_that_is_unchanged_is_done_again(few):
    assert states(sw.plan_many(few, SETTINGS, "plans")) == ["done"] * 4
    before = tree("plans")
    assert states(sw.plan_many("pictures/*.png", SETTINGS, "plans")) == ["unchanged"] * 4
    assert tree("plans") == before
    assert states(sw.plan_many(few, SETTINGS, "plans", resume=False)) == ["done"] * 4


def test_what_has_changed_is_done_again(few):
    sw.plan_many(few, SETTINGS, "plans")
    (few / "newt-1.png").write_bytes(figure(99))
    Path("plans/newt-2/plan.json").unlink()
    assert states(sw.plan_many(few, SETTINGS, "plans")) == ["unchanged", "done", "done", "unchanged"]
    other = dataclasses.replace(SETTINGS, margin="1/4 in")
    assert states(sw.plan_many(few, other, "plans")) == ["done"] * 4


def test_paints_are_known_by_what_is_in_their_file(few):
    Path("paints.csv").write_text("name,colour,owned\nwhite,#ffffff,yes\nblack,#000000,yes\n")
    settings = dataclasses.replace(SETTINGS, stock="paints.csv")
    assert states(sw.plan_many(few, settings, "plans")) == ["done"] * 4
    Path("paints.csv").rename("other.csv")
    settings = dataclasses.replace(SETTINGS, stock="other.csv")
    assert states(sw.plan_many(few, settings, "plans")) == ["unchanged"] * 4
    Path("other.csv").write_text("name,colour,owned\nwhite,#ffffff,yes\nred,#ff0000,yes\n")
    assert states(sw.plan_many(few, settings, "plans")) == ["done"] * 4


def test_a_notebook_shows_what_became_of_each(few):
    Path("pictures/<b>.png").write_bytes(b"no picture")
    summary = sw.plan_many([few, "nothing*.png"], SETTINGS, "plans")
    assert repr(summary) == "Summary(4 done, 1 failed)"
    shown = summary._repr_html_()
    assert shown.count("<tr>") == 6 and "<td>failed</td><td>../pictures/&lt;b&gt;.png</td><td>PIC-" in shown
    assert "<b>" not in shown and "nothing*.png" in shown


def test_files_from_other_settings_are_told_and_stay(few):
    both = dataclasses.replace(SETTINGS, files=("plan.json", "marks.csv"))
    sw.plan_many(few, both, "plans")
    summary = sw.plan_many(few, SETTINGS, "plans")
    assert all(outcome.notes[-1].startswith("marks.csv in its folder is from") for outcome in summary.done)
    assert states(sw.plan_many(few, dataclasses.replace(both, margin="1 in"), "plans")) == ["done"] * 4


def test_what_we_did_not_write_is_not_replaced(few, capsys):
    mine = Path("plans/newt-1/plan.json")
    mine.parent.mkdir(parents=True)
    mine.write_bytes(b"mine")
    arguments = ["bulk", "pictures", "--out", "plans", *PANEL, "--files=plan.json"]
    assert main([*arguments, "--dry-run"]) == 5
    assert main(arguments) == 5
    assert "OUT-EXISTS  1" in capsys.readouterr().out and mine.read_bytes() == b"mine"
    assert len(list(Path("plans").glob("*/plan.json"))) == 4
    assert main([*arguments, "--overwrite"]) == 0
    assert mine.read_bytes() != b"mine"


def test_what_was_changed_after_we_wrote_it_is_not_replaced(few):
    sw.plan_many(few, SETTINGS, "plans")
    Path("plans/newt-3/plan.json").write_bytes(b"noted by hand")
    for _ in range(2):
        assert sw.plan_many(few, SETTINGS, "plans").codes == {"OUT-CHANGED": 1}
    assert Path("plans/newt-3/plan.json").read_bytes() == b"noted by hand"
    assert states(sw.plan_many(few, SETTINGS, "plans", overwrite=True))[3] == "done"


def test_a_link_in_the_way_is_not_followed(few):
    Path("plans/newt-0").mkdir(parents=True)
    Path("plans/newt-0/plan.json").symlink_to(Path("pictures/newt-0.png").absolute())
    assert sw.plan_many(few, SETTINGS, "plans").codes == {"OUT-SAME": 1}
    assert Path("pictures/newt-0.png").read_bytes() == figure(0)


def test_a_picture_that_fails_later_keeps_its_old_plan(few):
    sw.plan_many(few, SETTINGS, "plans")
    kept = Path("plans/newt-0/plan.json").read_bytes()
    (few / "newt-0.png").write_bytes(b"")
    assert sw.plan_many(few, SETTINGS, "plans").codes == {"PIC-EMPTY": 1}
    assert Path("plans/newt-0/plan.json").read_bytes() == kept
    (few / "newt-0.png").write_bytes(figure(50))
    assert states(sw.plan_many(few, SETTINGS, "plans"))[0] == "done"


def test_the_first_failures_can_end_the_run(few, capsys):
    for number in (0, 1, 2):
        (few / f"newt-{number}.png").write_bytes(b"")
    summary = sw.plan_many(few, SETTINGS, "plans", workers=1, fail_fast=True)
    assert len(summary.failed) >= 1 and "../pictures/newt-3.png" in summary.left
    assert main(["bulk", "pictures", "--out", "b", *PANEL, "--max-failures", "4"]) == 1
    assert "1 done, 3 failed." in capsys.readouterr().out


def test_a_dry_run_writes_nothing(few, capsys):
    before = tree(".")
    assert main(["bulk", "pictures", "--out", "plans", *PANEL, "--dry-run"]) == 0
    told = capsys.readouterr().out
    assert "plans/newt-3/book.pdf" in told and "4 done." in told
    assert tree(".") == before and not Path("plans").exists()


def test_names_that_make_one_slug_get_digits_whichever_comes_first(few):
    for folder in ("a", "b"):
        Path(folder).mkdir()
        Path(folder, "heron.png").write_bytes(figure(1))
    sw.plan_many(["a", "b/heron.png"], SETTINGS, "plans")
    sw.plan_many(["b", "a"], SETTINGS, "again")
    names = sorted(path.name for path in Path("plans").iterdir() if path.is_dir())
    assert names == sorted(path.name for path in Path("again").iterdir() if path.is_dir())
    assert len(names) == 2 and all(re.fullmatch("heron-[0-9a-f]{8}", name) for name in names)


def test_a_newcomer_does_not_take_the_folder_of_another(few):
    sw.plan_many("pictures/newt-0.png", SETTINGS, "plans")
    Path("more").mkdir()
    Path("more/NEWT-0.png").write_bytes(figure(7))
    summary = sw.plan_many(["more", "pictures/newt-0.png"], SETTINGS, "plans")
    assert [outcome.folder[:7] for outcome in summary.outcomes] == ["NEWT-0-", "newt-0"]
    assert states(summary) == ["done", "unchanged"]


def test_folders_never_meet():
    keys = [
        "../journal.jsonl.png",
        "../a.png",
        "../b/a.png",
        "../A.jpg",
        "../nul.png",
        "../\u00e9.png",
        "../e\u0301.png",
    ]
    digits = hashlib.sha256(b"../a.png").hexdigest()
    keys.append(f"../a-{digits[:8]}.png")
    named = folders(keys, {}, [NAME])
    assert len({name.casefold() for name in named.values()}) == len(keys)
    assert NAME not in named.values() and "nul" not in named.values()


def test_folders_and_patterns_are_gone_through_and_our_own_plans_are_not(few):
    Path("pictures/deep").mkdir()
    Path("pictures/deep/otter.PNG").write_bytes(figure(5))
    Path("pictures/.hidden.png").write_bytes(figure(6))
    Path("pictures/notes.txt").write_text("not a picture")
    Path("pictures/[1].png").write_bytes(figure(8))
    settings = dataclasses.replace(SETTINGS, files=("preview.png",))
    first = sw.plan_many("pictures", settings, "pictures/plans")
    assert len(first.done) == 6
    again = sw.plan_many(["pictures", "pictures/**/*.png"], settings, "pictures/plans")
    assert len(again.unchanged) == 6 and len(again.outcomes) == 6
    found, _ = find(["pictures/[1].png", "pictures/newt-[12].png"], Path("out").absolute())
    assert [path.name for path in found.values()] == ["[1].png", "newt-1.png", "newt-2.png"]


def test_strange_names_are_planned_and_shown_escaped(few, capsys):
    strange = os.fsdecode(b"fr\xf6g\x1b[31m.png")
    Path(strange).write_bytes(figure(1))
    Path("-lily.png").write_bytes(figure(2))
    Path("bad\n.png").write_bytes(b"")
    arguments = ["bulk", "--out=plans", *PANEL, "--files=plan.json", "--", strange, "-lily.png", "bad\n.png"]
    assert main(arguments) == 1
    told = capsys.readouterr()
    assert "2 done, 1 failed." in told.out and "bad\\n.png" in told.out and "\x1b" not in told.out + told.err
    assert os.fsencode(next(line["path"] for line in journal("plans") if "fr" in line["path"])) == (
        b"../fr\xf6g\x1b[31m.png"
    )
    assert main(["bulk", "--out=plans", *PANEL, "--files=plan.json", "--json", "--", strange]) == 0
    assert json.loads(capsys.readouterr().out)["unchanged"] == 1


@pytest.mark.parametrize(
    ("arguments", "status", "code"),
    [
        (["none/*.png"], 4, "PATH-NONE"),
        (["empty"], 4, "PATH-NONE"),
        (["pictures", "--workers=0"], 2, "VALUE-BAD"),
        (["pictures", "--max-failures=0"], 2, "VALUE-BAD"),
        (["pictures", "--colours=1", "--pixelate", "--columns=8"], 2, "COLOURS-RANGE"),
        (["pictures", "--ruler=foo"], 2, "SIZE-BAD"),
        (["pictures", "--files=x.pdf"], 2, "VALUE-BAD"),
        (["pictures", "--settings=bad.toml"], 3, "CONFIG-KEY"),
        (["pictures", "--settings=none.toml"], 1, "PATH-MISSING"),
        (["pictures", "--stock=bad.csv"], 3, "STOCK-"),
        (["pictures", "--out=none/plans"], 1, "OUT-FOLDER"),
        (["pictures", "--out=bad.csv"], 1, "OUT-FOLDER"),
    ],
)
def test_what_would_fail_with_every_picture_is_told_at_once(arguments, status, code, few, capsys):
    Path("empty").mkdir()
    Path("bad.toml").write_text("colums = 3\n")
    Path("bad.csv").write_text("nothing\n")
    before = tree(".")
    assert main(["bulk", "--out=plans", *PANEL, *arguments]) == status
    told = capsys.readouterr()
    assert told.out == "" and code in told.err and told.err.count("\n") == 1
    assert told.err.endswith("Nothing was written.\n") and tree(".") == before


def test_one_missing_picture_is_a_failure_among_others(few, capsys):
    assert main(["bulk", "pictures", "none.png", "x*.png", "--out=plans", *PANEL, "--files=plan.json"]) == 1
    told = capsys.readouterr()
    assert "PATH-MISSING  1" in told.out and "x*.png has no picture" in told.err


def test_two_runs_do_not_write_into_one_folder(few):
    Path("plans").mkdir()
    with Journal(Path("plans").absolute(), is_kept=True), pytest.raises(sw.OutputError, match="OUT-BUSY"):
        sw.plan_many(few, SETTINGS, "plans")
    assert len(sw.plan_many(few, SETTINGS, "plans").done) == 4


@pytest.mark.parametrize(
    "text",
    [
        "my diary\n",
        '{"path": 3, "folder": "a"}\n',
        '{"path": "a", "folder": "../b"}\n',
        "[" * 9999 + "\n",
        "[]\n",
    ],
)
def test_a_journal_that_is_none_of_ours_is_left_alone(text, few):
    Path("plans").mkdir()
    Path("plans", NAME).write_text(text)
    with pytest.raises(sw.OutputError, match=r"OUT-JOURNAL: journal\.jsonl is no journal of plans in line 1"):
        sw.plan_many(few, SETTINGS, "plans")
    assert Path("plans", NAME).read_text() == text


def test_half_a_line_of_a_journal_is_no_trouble(few):
    sw.plan_many(few, SETTINGS, "plans")
    whole = Path("plans", NAME).read_bytes()
    Path("plans", NAME).write_bytes(whole[:-50])
    assert states(sw.plan_many(few, SETTINGS, "plans")) == ["unchanged"] * 3 + ["done"]
    assert Path("plans", NAME).read_bytes() == whole


def test_progress_is_told_and_can_end_the_run(few):
    told = []
    sw.plan_many(few, SETTINGS, "plans", progress=lambda *told_now: told.append(told_now))
    assert [(done, total) for done, total, _ in told] == [(1, 4), (2, 4), (3, 4), (4, 4)]
    assert {outcome.state for _, _, outcome in told} == {"done"}

    def enough(done, total, outcome):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        sw.plan_many(few, SETTINGS, "others", progress=enough, workers=1)
    assert len(journal("others")) == 1
    assert sorted(states(sw.plan_many(few, SETTINGS, "others"))) == ["done"] * 3 + ["unchanged"]


@pytest.mark.parametrize("hidden", [False, True], ids=["bar", "plain line"])
def test_progress_shows_on_a_screen_alone(few, hidden):
    """NO_COLOR, as no-color.org has it, keeps colours away."""
    code = "import sys\n" + ("sys.modules['rich'] = None\n" if hidden else "")
    code += "from squarewright.command import main\nsys.exit(main(sys.argv[1:]))"
    arguments = ["bulk", "pictures", "--out=plans", *PANEL, "--files=plan.json"]
    reader, writer = pty.openpty()
    settings = {**os.environ, "NO_COLOR": "1", "TERM": "xterm"}
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        stderr=writer,
        stdout=subprocess.PIPE,
        env=settings,
        check=True,
    )
    shown = os.read(reader, 1 << 16).decode()
    os.close(reader)
    os.close(writer)
    assert ("4 of 4" if hidden else "4/4") in shown
    assert not re.search(r"\x1b\[(3|4|9|10)[0-9]", shown) and done.stdout == b"4 done.\n"
    quiet = subprocess.run(
        [sys.executable, "-m", "squarewright", *arguments], capture_output=True, check=True
    )
    assert quiet.stderr == b"" and quiet.stdout == b"0 done, 4 unchanged.\n"


def test_a_summary_says_what_became_of_each(few):
    (few / "newt-1.png").write_bytes(b"")
    told = str(sw.plan_many(few, SETTINGS, "plans"))
    assert told.splitlines()[:2] == ["3 done, 1 failed.", "PIC-EMPTY  1"]
    assert told.splitlines()[2].startswith("  ../pictures/newt-1.png is empty")


def test_a_note_about_many_pictures_is_told_once(few, capsys):
    assert main(["bulk", "pictures", "--out=plans", *PANEL, "--files=plan.json"]) == 0
    told = capsys.readouterr().err
    assert told.count("\n") == 1 and told.startswith(
        "note: ../pictures/newt-0.png and 3 more: the #ffffff cells"
    )


def test_photos_are_pixelated_with_settings_of_a_file(few, capsys):
    photo = Path(__file__).parent.parent / "examples" / "pond" / "kingfisher-over-water.jpg"
    Path("mine.toml").write_text('pixelate = true\ncolumns = 30\ncolours = 8\nfiles = ["plan.json"]\n')
    assert main(["bulk", str(photo), "--out=plans", *PANEL, "--settings=mine.toml", "--colours=6"]) == 0
    plan = sw.Plan.from_json(Path("plans/kingfisher-over-water/plan.json").read_text())
    assert (plan.grid.columns, len(plan.grid.names)) == (30, 6)
