"""What the command says, and to whom: any encoding, a reader that has gone, a full disk, odd words."""

import contextlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from squarewright.command import main
from squarewright.files import PLAN_FILES

HERON = str(Path(__file__).parent.parent / "examples" / "pond" / "heron.png")
PANEL = ["--panel", "12in x 12in"]


@pytest.fixture(autouse=True)
def at_the_bench(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def child(*arguments, settings=None, **options):
    command = [sys.executable, "-m", "squarewright", *arguments]
    # Unbuffered words fail when they are said, buffered ones when the interpreter ends: the harder case.
    settings = {k: v for k, v in os.environ.items() if k != "PYTHONUNBUFFERED"} | (settings or {})
    return subprocess.run(command, stderr=subprocess.PIPE, check=False, env=settings, **options)


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "utf-8", "utf-16"])
def test_an_encoding_that_cannot_print_a_name_is_no_trouble(encoding):
    for name in ("鷺é\udcff.png", "missing鷺"):
        if name.endswith(".png"):
            Path(name).write_bytes(Path(HERON).read_bytes())
        for more in ([], ["--json"]):
            arguments = ["plan", *PANEL, "--dry-run", "--out", "鷺", *more, "--", name]
            done = child(
                *arguments,
                stdout=subprocess.PIPE,
                settings={"PYTHONIOENCODING": encoding},
            )
            assert done.returncode == (0 if name.endswith(".png") else 1)
            assert "Traceback" not in done.stderr.decode(encoding)
            if more and done.returncode == 0:
                assert json.loads(done.stdout.decode(encoding))["files"][0] == "鷺/book.pdf"


@pytest.mark.parametrize("more", [[], ["--json"], ["--dry-run"]])
def test_a_reader_that_has_gone_is_no_trouble(more):
    reader, writer = os.pipe()
    os.close(reader)
    done = child("plan", *PANEL, HERON, "--overwrite", *more, stdout=writer)
    os.close(writer)
    assert (done.returncode, done.stderr) == (1, b"")


@pytest.mark.parametrize("ask", ["--help", "--version"])
def test_help_that_nobody_reads_is_no_trouble(ask):
    with Path("/dev/full").open("wb") as full:
        done = child(ask, stdout=full)
    assert (done.returncode, done.stderr) == (0, b"")


def test_words_that_cannot_be_written_are_a_failure_that_does_not_deny_the_files():
    with Path("/dev/full").open("wb") as full:
        done = child("plan", *PANEL, HERON, "--out", "out", stdout=full)
    error = done.stderr.decode()
    assert done.returncode == 1 and error.count("\n") == 1
    assert error.startswith("squarewright: OUT-FAILED: standard output cannot be written to (")
    assert error.endswith("Each file in out is as it was or complete.\n")
    assert sorted(entry.name for entry in Path("out").iterdir()) == sorted(PLAN_FILES)


def test_closed_streams_are_no_trouble():
    for closed in (">&-", "2>&-", ">&- 2>&-"):
        script = f'"$0" -m squarewright demo --overwrite --out out {closed}'
        done = subprocess.run(["sh", "-c", script, sys.executable], capture_output=True, check=False)
        assert (done.returncode, done.stderr) == (0, b"")


HOSTILE = ["", "\udcff", "\x1b[2J\n", "9" * 5000, "-1", "NaN", "1e999", "%s{0}", "0x10", "1/0 in", "\u202e"]
OPTIONS = ["panel", "thickness", "ruler", "pitch", "across", "margin", "raw", "ground", "background", "name"]


# Source: `common practice`: whatever is typed, an answer in one line and no trace of the program's inside.
@pytest.mark.parametrize("option", OPTIONS)
@pytest.mark.parametrize("text", HOSTILE)
def test_whatever_is_typed_is_answered_in_one_line(option, text, capsys):
    status = None
    with contextlib.suppress(SystemExit):
        status = main(["plan", HERON, "--dry-run", *PANEL, f"--{option}={text}"])
    error = capsys.readouterr().err
    assert status in {None, 0, 1, 2}
    if status != 0:
        assert error.count("\n") == 1 and error[:-1].isprintable()
        assert error.endswith("Nothing was written.\n")
