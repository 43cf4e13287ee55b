"""Strange names of pictures: each works, is shown escaped, and does no harm in what is written."""

import contextlib
import csv
import json
import os
import pickle
import unicodedata
from pathlib import Path
from xml.etree import ElementTree

import pytest

import squarewright as sw
from heron import HERON, PANEL, picture
from squarewright import names
from squarewright.command import main
from squarewright.files import PLAN_FILES


@pytest.fixture(autouse=True)
def at_the_bench(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


# Sources: ECMA-48 for control sequences; Unicode UAX #9 for what turns lines; PEP 383 for bytes that are not
# UTF-8; "Naming Files, Paths, and Namespaces" (Microsoft); Unicode UAX #15; NAME_MAX of POSIX.1-2017.
NAMES = [
    ("control codes", "her\non.png"),
    ("control codes", "her\ton\r.png"),
    ("control codes", "\x1b]0;owned\x07\x1b[31mheron.png"),
    ("control codes", "heron\u202egnp.exe.png"),
    ("control codes", "heron\u2028\ufffe.png"),
    ("not Unicode", b"fig\xff.png"),
    ("not Unicode", b"\xff\xfe.png"),
    ("markup", "<img src=x onerror=alert(1)>.png"),
    ("quotes and entities", "a'b\"c&d.png"),
    ("quotes and entities", "]]><script>&amp;.png"),
    ("a formula", "=cmd|calc.png"),
    ("a formula", "@SUM(1+1).png"),
    ("a dash in front", "-heron.png"),
    ("a dash in front", "--overwrite"),
    ("very long", "h" * 247 + ".png"),
    ("very long", "é" * 123 + "h.png"),
    ("kept back by a system", "CON.png"),
    ("kept back by a system", "lpt1.pond.png"),
    ("kept back by a system", "heron .png"),
    ("kept back by a system", "heron..png"),
    ("kept back by a system", "heron.png."),
    ("kept back by a system", ".png"),
    ("kept back by a system", ".heron.png"),
    ("twins in Unicode", unicodedata.normalize("NFC", "hérön.png")),
    ("twins in Unicode", unicodedata.normalize("NFD", "hérön.png")),
]


@pytest.mark.parametrize(("case", "name"), NAMES)
def test_a_strange_name_works_and_does_no_harm(case, name, run):
    name = picture(name)
    status, told, error = run("plan", *PANEL, "--json", "--", name)
    assert (status, error) == (0, "")
    [made] = [entry for entry in Path().iterdir() if entry.is_dir()]
    assert is_safe(made.name), made
    assert sorted(path.name for path in made.iterdir()) == sorted(PLAN_FILES)
    report = json.loads(told)
    assert report["files"] == [str(made / file) for file in PLAN_FILES]
    assert report["name"].isprintable()
    stored = json.loads((made / "plan.json").read_text("utf-8"))
    assert stored["name"] == report["name"]
    check_svg((made / "template.svg").read_bytes(), report["name"])
    check_csv(made)
    status, told, error = run("plan", *PANEL, "--dry-run", "--overwrite", "--", name)
    assert status == 0 and all(line.isprintable() for line in told.splitlines())


def is_safe(name: str) -> bool:
    """Tell whether every common system takes a name, by Microsoft's rules and UAX #15."""
    stem = name.split(".")[0].upper()
    devices = {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(1, 10))}
    return (
        name.isprintable()
        and not set(name) & set('<>:"/\\|?*')
        and not name.startswith((".", "-"))
        and not name.endswith((".", " "))
        and stem not in devices
        and unicodedata.is_normalized("NFC", name)
        and 0 < len(name.encode("utf-8")) <= 120
    )


def check_svg(data: bytes, name: str) -> None:
    """Check that a drawing is well-formed and that a name in it is nothing but text (XML 1.0)."""
    root = ElementTree.fromstring(data)
    tags = {element.tag.removeprefix("{http://www.w3.org/2000/svg}") for element in root.iter()}
    assert tags <= {"svg", "title", "desc", "g", "path", "text"}
    assert not any(key.startswith("on") for element in root.iter() for key in element.attrib)
    title = root.find("{http://www.w3.org/2000/svg}title")
    assert title is not None and name in title.text


def check_csv(made: Path) -> None:
    """Check that no cell is a formula (OWASP, "CSV Injection")."""
    for file in ("colours.csv", "marks.csv"):
        for row in csv.reader((made / file).read_text("utf-8").splitlines()):
            for cell in row:
                with contextlib.suppress(ValueError):
                    float(cell)
                    continue
                assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell


@pytest.mark.parametrize("text", ["a'b\"c&d", "<img src=x onerror=alert(1)>", "]]>", "\ufffe\uffff\x00\x1b"])
def test_a_name_that_is_given_is_text_in_the_drawing(text):
    plan = sw.plan(HERON, panel=sw.Panel("12 in", "12 in"), name=text)
    assert plan.name.isprintable()
    check_svg(plan.to_svg().encode(), plan.name)


def test_a_name_that_is_not_unicode_can_be_given():
    plan = sw.plan(HERON, panel=sw.Panel("12 in", "12 in"), name="fig\udcff\n\u202e")
    assert plan.name.isprintable() and plan.name.startswith("fig")
    assert "fig" in json.loads(plan.to_json())["name"]


@pytest.mark.parametrize(
    "twins",
    [
        ("h\u00e9ron.png", "he\u0301ron.png"),
        ("A.png", "a.png"),
        (b"fig\xff.png", b"fig\xfe.png"),
        ("a:b.png", "a?b.png"),
        ("-heron.png", "--heron.png"),
        ("CON.png", "PRN.png"),
        ("h" * 240 + "1.png", "h" * 240 + "2.png"),
    ],
)
def test_twins_do_not_meet_in_one_folder(twins):
    for name in twins:
        assert main(["plan", *PANEL, "--", picture(name)]) == 0
    made = [entry.name for entry in Path().iterdir() if entry.is_dir()]
    assert len(made) == 2 and all(map(is_safe, made))


def test_a_name_that_is_fine_stays_as_it_is():
    for name in ("heron", "Grey heron 2", "hér'ön & ölf", "鷺", "a.b-c_(1)", "console", "h" * 100):
        assert names.slug(f"{name}.png") == name
    assert len(names.slug("é" * 200).encode()) <= names.SLUG_BYTES


def test_what_is_shown_is_one_printable_line_and_stays_the_same():
    for case, name in NAMES:
        shown = names.shown(os.fsdecode(name))
        assert case and shown.isprintable() and shown.encode("utf-8")
        assert names.shown(shown) == shown
    assert len(names.shown("x" * 5000)) <= names.SHOWN
    error = sw.PlaceError("PATH-MISSING", "is\nnot there\x1b[2J", "Look\tagain.", "\udcff\u202e.png")
    assert str(error).isprintable() and r"\xff\u202e.png is\nnot there\x1b[2J" in str(error)
    assert str(pickle.loads(pickle.dumps(error))) == str(error)
