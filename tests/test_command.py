import json
import subprocess
import sys
from pathlib import Path

import pytest

import squarewright as sw
from squarewright import files
from squarewright.command import main
from squarewright.files import PLAN_FILES

POND = Path(__file__).parent.parent / "examples" / "pond"
HERON = str(POND / "heron.png")
PANEL = ["--panel", "12in x 12in"]


@pytest.fixture(autouse=True)
def at_the_bench(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def names(folder):
    return sorted(path.name for path in Path(folder).iterdir())


@pytest.mark.parametrize("panel", ["12in x 12in", "12inX12in", "12 in × 1 ft"])
def test_a_plan_is_written_beside_the_current_folder(panel, capsys):
    assert main(["plan", HERON, "--panel", panel]) == 0
    assert names("heron-plan") == sorted(PLAN_FILES)
    told = capsys.readouterr().out
    assert "Recovered 60 rows × 40 columns, 1 px a cell, confidence" in told
    assert "heron-plan/book.pdf" in told


def test_json_prints_one_object_and_nothing_else(capsys):
    assert main(["plan", HERON, *PANEL, "--json", "--out", "there"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert (report["door"], report["rows"], report["pitch"]) == ("recovered", 60, "3/16 in")
    assert [Path(file).name for file in report["files"]] == list(PLAN_FILES)


def test_a_dry_run_writes_nothing(tmp_path, capsys):
    assert main(["plan", HERON, *PANEL, "--dry-run"]) == 0
    assert "book.pdf" in capsys.readouterr().out
    assert names(tmp_path) == []


def test_a_photo_is_pixelated_and_that_is_said(capsys):
    photo = [str(POND / "kingfisher-over-water.jpg"), "--pixelate", "--columns", "40", "--colours", "9"]
    assert main(["plan", *photo, *PANEL, "--dry-run"]) == 0
    assert "Pixelated to 27 rows × 40 columns, 9 colours." in capsys.readouterr().out
    assert main(["plan", *photo, *PANEL, "--dry-run", "--json", "--find", "--brushwork", "broad"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert (report["door"], report["columns"], report["name"]) == ("pixelated", 40, "kingfisher-over-water")


def test_the_demo_writes_a_book():
    assert main(["demo", "--out", "demo", "--paper", "a4"]) == 0
    assert names("demo") == sorted(PLAN_FILES)


def test_nothing_is_overwritten_unless_that_is_asked_for(capsys):
    arguments = ["plan", HERON, *PANEL]
    assert main(arguments) == 0
    Path("heron-plan/book.pdf").write_bytes(b"mine")
    assert main(arguments) == 5
    assert main([*arguments, "--dry-run"]) == 5
    error = capsys.readouterr().err
    assert "OUT-EXISTS" in error and "Nothing was written." in error
    assert Path("heron-plan/book.pdf").read_bytes() == b"mine"
    assert main([*arguments, "--overwrite"]) == 0
    assert Path("heron-plan/book.pdf").read_bytes() != b"mine"


def test_the_picture_itself_is_never_replaced(tmp_path, capsys):
    picture = tmp_path / "preview.png"
    picture.write_bytes(Path(HERON).read_bytes())
    assert main(["plan", "preview.png", *PANEL, "--out", ".", "--overwrite"]) == 5
    assert "OUT-SAME" in capsys.readouterr().err
    assert picture.read_bytes() == Path(HERON).read_bytes()
    assert names(tmp_path) == ["preview.png"]


@pytest.mark.parametrize(
    ("arguments", "status", "code"),
    [
        (["plan", "none.png", *PANEL], 1, "PATH-MISSING"),
        (["plan", str(POND), *PANEL], 1, "PATH-FOLDER"),
        (["plan", str(POND / "draw.py"), *PANEL], 1, "PIC-NOT-PICTURE"),
        (["plan", HERON, "--panel", "12 x 12"], 2, "SIZE-BAD"),
        (["plan", HERON, "--panel", "12in"], 2, "SIZE-BAD"),
        (["plan", HERON, *PANEL, "--pitch", "1 in", "--across", "1", "--down", "1"], 2, "SIZE-FIT"),
        (["plan", HERON, *PANEL, "--raw", "cork"], 2, "COLOUR-BAD"),
        (["plan", HERON, *PANEL, "--across", "0"], 2, "VALUE-BAD"),
        (["plan", HERON, *PANEL, "--pixelate"], 2, "VALUE-BAD"),
        (["plan", HERON, *PANEL, "--pixelate", "--columns", "500"], 1, "PIC-TOO-SMALL"),
        (["plan", HERON, *PANEL, "--pixelate", "--columns", "9", "--colours", "1"], 2, "COLOURS-RANGE"),
        (["plan", HERON, *PANEL, "--out", HERON], 1, "OUT-FOLDER"),
    ],
)
def test_a_failure_has_its_status_and_writes_nothing(arguments, status, code, tmp_path, capsys):
    assert main(arguments) == status
    told = capsys.readouterr()
    assert told.out == ""
    assert code in told.err and told.err.endswith("Nothing was written.\n") and told.err.count("\n") == 1
    assert names(tmp_path) == []


@pytest.mark.parametrize(
    "arguments",
    [[], ["paint"], ["plan", HERON], ["plan", HERON, *PANEL, "--pitch", "1 in", "--width", "2 in"]],
)
def test_bad_usage_has_status_two(arguments, capsys):
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_the_module_runs_as_a_program():
    done = subprocess.run([sys.executable, "-m", "squarewright", "--version"], capture_output=True, text=True)
    assert done.returncode == 0 and done.stdout.startswith("squarewright ")


@pytest.mark.parametrize(
    ("raised", "status"), [(KeyboardInterrupt(), 130), (ZeroDivisionError("oh"), 70), (MemoryError(), 70)]
)
def test_what_was_not_foreseen_ends_in_one_line(raised, status, monkeypatch, tmp_path, capsys):
    def fail(source, **settings):
        raise raised

    monkeypatch.setattr("squarewright.pictures.load", fail)
    assert main(["plan", HERON, *PANEL]) == status
    error = capsys.readouterr().err
    assert error.count("\n") == 1 and error.endswith("Nothing was written.\n")
    assert names(tmp_path) == []


def test_a_stop_while_writing_does_not_claim_that_nothing_was_written(monkeypatch, tmp_path, capsys):
    def fail(*arguments):
        raise KeyboardInterrupt

    monkeypatch.setattr("squarewright.files.write_plan", fail)
    assert main(["plan", HERON, *PANEL]) == 130
    error = capsys.readouterr().err
    assert "Nothing was written" not in error and "as it was or complete" in error


def test_a_failure_between_two_files_says_which_are_new(monkeypatch, tmp_path):
    whole = Path.replace

    def stuck(self, target):
        if Path(target).name == "b.txt":
            raise OSError(26, "Text file busy")
        return whole(self, target)

    (tmp_path / "b.txt").write_bytes(b"old")
    monkeypatch.setattr(Path, "replace", stuck)
    with pytest.raises(sw.OutputError, match=r"OUT-PARTIAL: .* took a\.txt and then no more"):
        files.write_all(tmp_path, {"a.txt": b"new", "b.txt": b"new"}, overwrite=True)
    assert names(tmp_path) == ["a.txt", "b.txt"]
    assert (tmp_path / "b.txt").read_bytes() == b"old"
