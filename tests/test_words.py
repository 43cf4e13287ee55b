"""The words of the book: as another reader reads them, as the sources use them, as books print them."""

import gettext
import hashlib
import io
import itertools
import os
import re
import subprocess
import sys
from pathlib import Path

import pdfplumber
import pikepdf
import polib
import pypdfium2
import pytest

import squarewright as sw
from squarewright._core import _words

ROOT = Path(__file__).parent.parent
CORE = ROOT / "rust" / "squarewright"
SOURCE = CORE / "assets" / "words" / "squarewright.pot"
TRANSLATED = {path.stem: path for path in sorted(SOURCE.parent.glob("*.po"))}
POND = ROOT / "examples" / "pond"
FIGURES = {
    "frog": {},
    "heron": {"backing": False},
    "lily": {"ending": "whole square", "ground": "#203050"},
    "newt": {"panel": sw.Panel("300 mm", "300 mm", thickness="6 mm"), "ruler": "1 mm"},
    "otter": {"across": 2, "ruler": "scale ruler", "pitch": "3/16 in"},
}
NAME = re.compile(r"\{(\w+)\}")


def messages(path: Path) -> dict[str, polib.POEntry]:
    return {entry.msgctxt: entry for entry in polib.pofile(str(path))}


def forms(entry: polib.POEntry, *, source: bool) -> list[str]:
    if source:
        return [entry.msgid, entry.msgid_plural] if entry.msgid_plural else [entry.msgid]
    return list(entry.msgstr_plural.values()) if entry.msgid_plural else [entry.msgstr]


def plan_of(name: str) -> sw.Plan:
    settings = {"panel": sw.Panel("12 in", "12 in"), "stock": sw.Stock.basic()} | FIGURES[name]
    return sw.plan(POND / f"{name}.png", **settings)


def test_german_is_there() -> None:
    assert list(TRANSLATED) == ["de"]


@pytest.mark.parametrize("tag", ["en", *TRANSLATED])
def test_the_core_reads_the_catalogues_as_another_reader_does(tag: str) -> None:
    path = TRANSLATED.get(tag, SOURCE)
    catalogue = polib.pofile(str(path))
    assert catalogue.metadata["Language"] == tag
    assert catalogue.metadata["Content-Type"] == "text/plain; charset=UTF-8"
    plural = re.fullmatch(r"nplurals=2; plural=(.*);", catalogue.metadata["Plural-Forms"])
    form = gettext.c2py(plural.group(1))
    for count in [*range(120), 1000, 1001]:
        wanted = {}
        for entry in catalogue:
            words = forms(entry, source=tag == "en")
            wanted[entry.msgctxt] = words[form(count) if len(words) == 2 else 0]
        assert _words(tag, count) == wanted


@pytest.mark.parametrize("path", TRANSLATED.values(), ids=list(TRANSLATED))
def test_no_message_is_missing_left_over_empty_or_doubtful(path: Path) -> None:
    english, translated = messages(SOURCE), messages(path)
    assert list(translated) == list(english), "the same keys in the same order"
    for key, entry in translated.items():
        assert not entry.fuzzy and not entry.obsolete, key
        assert (entry.msgid, entry.msgid_plural) == (english[key].msgid, english[key].msgid_plural), key
        assert all(forms(entry, source=False)), f"{key} is still to be translated"
        for before, after in itertools.zip_longest(
            forms(entry, source=True), forms(entry, source=False), fillvalue=""
        ):
            assert set(NAME.findall(before)) == set(NAME.findall(after)), key
            assert before[:1].isspace() == after[:1].isspace(), key


def test_every_key_stands_once() -> None:
    for path in [SOURCE, *TRANSLATED.values()]:
        keys = [entry.msgctxt for entry in polib.pofile(str(path))]
        assert len(set(keys)) == len(keys) and None not in keys


def words_of(path: str, start: str, pattern: str) -> set[str]:
    """Find words that the core coins: those that a pattern finds between a line and the end of its block."""
    text = (CORE / "src" / path).read_text(encoding="utf-8")
    block = text[text.index(start) :]
    return set(re.findall(pattern, block[: re.search(r"\n\s*[}\]];?\n", block).start()]))


# Keys that are put together: how each begins, and where the words stand that follow.
FAMILIES = {
    "stage": words_of("plan/step.rs", "impl Stage {", r'=> "([^"]+)"'),
    "steps.stage": words_of("plan/step.rs", "impl Stage {", r'=> "([^"]+)"'),
    "step": words_of("plan/step.rs", "Self::CheckPrint =>", r'=> "([^"]+)"') | {"gather"},
    "amount": words_of("paint/amount.rs", "let set = |", r'set\("([^"]+)"'),
    "pull": words_of("cut/cut.rs", "pub fn words(self)", r'=> "([^"]+)"'),
    "family": words_of("colour/name/mod.rs", "pub fn word(self)", r'=> "([^"]+)"'),
    "shade": words_of("palette/ramp.rs", "const WORDS", r'"([a-z -]+)"') | {"numbered"},
    "paint": words_of("paint/stock.rs", "const BASIC", r'\("([^"]+)", "#'),
    "unit": {"in", "mm", "ml"},
    "symbol": words_of("sheet/symbol.rs", "const MARKS", r'\(\s*"([^"]+)",'),
    "wall-days.do": {"clean up", "cut", "cut card", "glue", "trim", "edges"},
    "layer": words_of("sheet/drawing.rs", "let strokes = [", r'\("([^"]+)"') | {"codes"},
}


def test_the_sources_use_every_key_and_no_other() -> None:
    # Those of the plug-ins are for Python: ``test_editors_bridge`` looks after them.
    keys = {key for key in messages(SOURCE) if not key.startswith("editor.")}
    put_together = {
        f"{family}.{word.replace(' ', '-')}" for family, words in FAMILIES.items() for word in words
    }
    assert min(len(words) for words in FAMILIES.values()) >= 3
    literals, asked = set(), set()
    sources = [path for room in ("sheet", "output") for path in (CORE / "src" / room).rglob("*.rs")]
    for path in sources:
        text = path.read_text(encoding="utf-8")
        literals |= set(re.findall(r'"([^"\\\n]+)"', text))
        asked |= set(re.findall(r'\b(?:say|fill|tell|counted)\(\s*"([^"]+)"', text))
    first = {key.split(".")[0] for key in keys if "." in key}
    keylike = {word for word in literals if re.fullmatch(r"[a-z]+(\.[a-z_-]+)+", word)}
    wanted = asked | {word for word in keylike if word.split(".")[0] in first} | put_together
    assert wanted - keys == set(), "keys that no catalogue has"
    assert keys - literals - asked - put_together == set(), "keys that nothing uses"


def text_of(pdf: bytes) -> str:
    """Read the whole text on one line."""
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)


@pytest.fixture(scope="module", params=sorted(FIGURES))
def book(request: pytest.FixtureRequest) -> tuple[str, sw.Plan]:
    return request.param, plan_of(request.param)


def test_a_german_book_is_german_all_through(book: tuple[str, sw.Plan]) -> None:
    _, plan = book
    pdf = plan.to_pdf(language="de")
    text = text_of(pdf)
    for word in ("Kästchen", "Größe", "für", "Übertrag"):
        assert word in text
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.Root.Lang) == "de"
    english = {entry.msgctxt: entry.msgid for entry in polib.pofile(str(SOURCE))}
    german = {key: entry.msgstr for key, entry in messages(TRANSLATED["de"]).items()}
    for key, words in english.items():
        for part in NAME.split(words)[::2]:
            if len(part) > 12 and part not in german[key] and part in text:
                pytest.fail(f"English words of {key}: {part}")
    assert not re.search(r"\d\.\d", text), "a decimal point"
    assert not re.search(r"\d (in|cells?|of|from|to|and)\b", text)
    coloured = "red|brown|yellow|green|teal|blue|purple|pink|grey|white|black|umber|ochre|light|dark|mid"
    assert not re.search(rf"\b({coloured})\b", text)
    assert "{" not in text and "}" not in text


def test_numbers_have_the_sign_of_the_language_and_files_stay_english(tmp_path: Path) -> None:
    plan = plan_of("newt")
    english, german = text_of(plan.to_pdf()), text_of(plan.to_pdf(language="de"))
    pointed = set(re.findall(r"\d+\.\d+", english))
    assert len(pointed) > 20 and not re.search(r"\d,\d", english)
    assert {number.replace(".", ",") for number in pointed} == set(re.findall(r"\d+,\d+", german))
    for tag in ("en", "de"):
        plan.write(tmp_path / tag, language=tag, mkdir=True)
    files = sorted(path.name for path in (tmp_path / "en").iterdir())
    assert files == sorted(path.name for path in (tmp_path / "de").iterdir())
    same = [
        name
        for name in files
        if (tmp_path / "en" / name).read_bytes() == (tmp_path / "de" / name).read_bytes()
    ]
    assert same == [name for name in files if name not in {"book.pdf", "report.html"}]


CHILD = """
import hashlib, locale, sys
try:
    locale.setlocale(locale.LC_ALL, "")
except locale.Error:
    pass
import squarewright as sw
plan = sw.plan(sys.argv[1], panel=sw.Panel("12 in", "12 in"), stock=sw.Stock.basic())
print(*[hashlib.sha256(plan.to_pdf(language=tag)).hexdigest() for tag in ("en", "de")])
"""


def test_locale_and_time_zone_of_the_process_change_nothing() -> None:
    plan = plan_of("frog")
    here = [hashlib.sha256(plan.to_pdf(language=tag)).hexdigest() for tag in ("en", "de")]
    assert here[0] != here[1]
    assert here == [hashlib.sha256(plan.to_pdf(language=tag)).hexdigest() for tag in ("en", "de")]
    for locale, zone in (("de_DE.UTF-8", "Europe/Berlin"), ("C", "Pacific/Kiritimati"), ("C.UTF-8", "UTC")):
        places = {"LC_ALL": locale, "LANG": locale, "LANGUAGE": locale[:2], "TZ": zone}
        done = subprocess.run(
            [sys.executable, "-c", CHILD, str(POND / "frog.png")],
            env=os.environ | places,
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stdout.split() == here


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_german_word_is_cut_off_or_lies_on_another(book: tuple[str, sw.Plan], paper: str) -> None:
    assert faults(book[1].to_pdf(paper, language="de")) == []


# Kinds of pages that words which are longer by 40 % do not fit on yet; heads of tables in the first place.
NARROW = {"record", "swatch"}


def test_longer_words_fit_on_all_pages_but_the_narrow_ones() -> None:
    words = _words("x-long", 1).items()
    titles = {title: key.removesuffix(".title") for key, title in words if key.endswith(".title")}
    wrong = {fault[0]: fault for name in FIGURES for fault in faults(plan_of(name).to_pdf(language="x-long"))}
    assert {titles[title] for title in wrong} == NARROW, wrong


def faults(pdf: bytes) -> list[tuple[str, str, str]]:
    """List text that is cut off, leaves its page or lies on other text, with the title of its page."""
    found = []
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        for page in opened.pages:
            words = page.extract_words()
            title = page.extract_text().splitlines()[0].rsplit(" ", 1)[0]
            text = " ".join(word["text"] for word in words)
            found += [(title, "cut off", word) for word in re.findall(r"\S*…", text)]
            if text.count("[") != text.count("]"):
                found.append((title, "brackets", f"{text.count('[')} and {text.count(']')}"))
            for word in words:
                level = word["x0"] >= 18 and word["x1"] <= page.width - 18
                if not level or word["top"] < 18 or word["bottom"] > page.height - 18:
                    found.append((title, "off the page", word["text"]))
            found += [(title, "clash", f"{a['text']} | {b['text']}") for a, b in clashes(words)]
    return found


def clashes(words: list[dict]) -> list[tuple[dict, dict]]:
    """Find words that lie on each other; a third of a small letter's height may be empty leading."""
    words = sorted(words, key=lambda word: word["top"])
    found = []
    for place, first in enumerate(words):
        for second in words[place + 1 :]:
            down = min(first["bottom"], second["bottom"]) - second["top"]
            if second["top"] > first["bottom"] - 2.7:
                break
            across = min(first["x1"], second["x1"]) - max(first["x0"], second["x0"])
            if across > 0.2 and down > 2.7:
                found.append((first, second))
    return found


def test_other_languages_are_refused_with_what_there_is() -> None:
    with pytest.raises(sw.ArgumentError, match=r'language must be "en" or "de"') as refused:
        plan_of("frog").to_pdf(language="fr")
    assert refused.value.code == "VALUE-BAD"


def test_the_command_prints_in_german(run, tmp_path: Path) -> None:
    figure, out = str(POND / "frog.png"), str(tmp_path / "out")
    status, _, errors = run("plan", figure, "--panel", "12in x 12in", "--out", out, "--language", "de")
    assert status == 0, errors
    assert "Lies das ganze Heft" in text_of((tmp_path / "out" / "book.pdf").read_bytes())
