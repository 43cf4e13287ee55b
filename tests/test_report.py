"""The report in a real browser: quiet, accessible, closed to what comes from outside, whole on paper."""

import base64
import hashlib
import io
import itertools
import re
import shutil
import unicodedata
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pdfplumber
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

import squarewright as sw
from hostile import HOSTILE

POND = Path(__file__).parent.parent / "examples" / "pond"
STOCK = sw.read_stock(POND.parent / "paints.csv")
FOOT = sw.Panel("12 in", "12 in", thickness="1/4 in")
COUNTS = "() => [...document.querySelectorAll('*')].map(each => each.localName)"


def plan_of(figure, **settings):
    return sw.plan(POND / f"{figure}.png", **({"panel": FOOT, "stock": STOCK} | settings))


PLANS = {
    "cut out": lambda: plan_of("heron"),
    "whole square": lambda: plan_of("lily", ending="whole square"),
    "two boards": lambda: plan_of("otter", across=2),
    "without paints": lambda: plan_of("newt", stock=None, ruler="1 mm", name="W" * 80),
}


@pytest.fixture(scope="module")
def reports():
    return {name: make().to_html() for name, make in PLANS.items()}


@pytest.fixture(scope="module")
def browser():
    # Without Debian's browser its own is looked for; where there is none, the tests fail.
    place = shutil.which("chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=place, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def visit(browser, tmp_path):
    """Open a page and note all that it does unasked."""
    contexts = []

    def open_page(html, **options):
        path = tmp_path / "report.html"
        path.write_text(html, encoding="utf-8")
        context = browser.new_context(**options)
        contexts.append(context)
        page = context.new_page()
        page.noted = []
        page.on("console", lambda message: page.noted.append(message.text))
        page.on("pageerror", lambda error: page.noted.append(str(error)))
        page.on("dialog", lambda dialog: (page.noted.append(dialog.message), dialog.dismiss()))
        page.on("request", lambda request: page.noted.append(request.url))
        page.goto(path.as_uri())
        assert page.noted.pop(0) == path.as_uri()
        return page

    yield open_page
    for context in contexts:
        context.close()


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_opens_quietly_and_axe_finds_nothing(visit, reports, name, scheme):
    page = visit(reports[name], color_scheme=scheme)
    assert page.noted == []
    found = Axe().run(page).response["violations"]
    assert [(fault["impact"], fault["id"], fault["nodes"][0]["html"]) for fault in found] == []


def test_axe_and_the_notes_would_see_a_fault(visit, reports):
    """The tests above can fail: no alternative text, and a script, a request, a style that is not its own."""
    page = visit(
        re.sub(' alt="[^"]*"', "", reports["cut out"]).replace(
            "</main>",
            "<script>alert(1)</script><img alt='' src='https://elsewhere.invalid/x.png'>"
            "<p style='color:red'>red</p></main>",
        )
    )
    assert "image-alt" in {fault["id"] for fault in Axe().run(page).response["violations"]}
    refused = " ".join(page.noted)
    assert "script-src" in refused and "img-src" in refused and "style-src" in refused
    assert "1" not in page.noted


def test_the_policy_allows_its_own_style_by_its_hash_and_no_more(reports):
    html = reports["cut out"]
    style = re.search("<style>(.*)</style>", html, re.DOTALL).group(1)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = re.search('Content-Security-Policy" content="([^"]*)"', html).group(1).replace("&#39;", "'")
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules.pop("style-src") == f"'sha256-{digest}'"
    assert rules == {
        "default-src": "'none'",
        "img-src": "data:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    assert "animation" not in style and "transition" not in style and "url(" not in style


class Reader(HTMLParser):
    """A second reader beside the browser: the standard library's."""

    def __init__(self):
        super().__init__()
        self.tags, self.attributes = Counter(), []

    def handle_starttag(self, tag, attributes):
        self.tags[tag] += 1
        self.attributes.extend((tag, name, value) for name, value in attributes)


@pytest.mark.parametrize("name", PLANS)
def test_it_is_in_order(visit, reports, name):
    reader = Reader()
    reader.feed(reports[name])
    tags = reader.tags
    assert tags["script"] == tags["link"] == tags["iframe"] == tags["form"] == 0
    assert tags["h1"] == tags["main"] == tags["nav"] == tags["header"] == tags["footer"] == 1
    assert tags["caption"] == tags["table"] > 3
    assert all(
        not attribute.startswith("on") and attribute != "style" for _, attribute, _ in reader.attributes
    )
    scopes = [value for tag, attribute, value in reader.attributes if (tag, attribute) == ("th", "scope")]
    assert len(scopes) == tags["th"] and set(scopes) == {"col", "row"}
    page = visit(reports[name])
    assert page.evaluate("document.documentElement.lang") == "en"
    levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3')].map(head => +head.localName[1])")
    assert levels[0] == 1 and all(later - one <= 1 for one, later in itertools.pairwise(levels))
    # Whatever the browser mends would be a fault of ours.
    assert Counter(page.evaluate(COUNTS)) == tags


def test_its_picture_says_title_size_and_colours(visit):
    plan = plan_of("heron")
    alt = visit(plan.to_html()).get_attribute("img", "alt")
    assert "heron" in alt and "40 columns by 60 rows" in alt and "7 1/2 in wide and 11 1/4 in high" in alt
    for colour in plan.colours:
        assert f"{colour['code']} {colour['name']}" in alt


def test_it_says_what_the_plan_says(visit):
    plan = plan_of("heron")
    text = visit(plan.to_html()).inner_text("main")
    for colour in plan.colours:
        assert re.search(
            rf"{colour['code']}\s+{colour['name']}\s+{colour['hex']}\s+{colour['cells']}\s", text
        )
    for need in plan.bottles:
        assert need["paint"] in text
    for spot in plan.weak_spots.worst_first:
        assert spot.sentence.replace("\u00a0", " ") in text.replace("\u00a0", " ")
    for words in ("6 in is not 6 in", "Ask for help with the knife", "Jar labels", "Hands at work", "label"):
        assert words in text
    marks = [plan.fit.text(mark.rounded) for mark in plan.fit.column_marks]
    assert all(re.search(rf"\b{index}\s+{mark}\s", text) for index, mark in enumerate(marks))


def test_everything_is_reached_by_keyboard(visit, reports):
    page = visit(reports["cut out"])
    wanted = page.evaluate("document.querySelectorAll('a, .scroll').length")
    reached = []
    for _ in range(wanted):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.className || document.activeElement.hash"))
    assert reached[0] == "skip" and len(reached) == wanted > 15
    assert page.evaluate("[...document.querySelectorAll('a, .scroll')].pop() === document.activeElement")


@pytest.mark.parametrize("name", PLANS)
def test_a_narrow_window_shows_it_without_scrolling_sideways(visit, reports, name):
    """Source: WCAG 2.2, success criterion 1.4.10: 320 CSS pixels."""
    page = visit(reports[name], viewport={"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


@pytest.mark.parametrize("name", HOSTILE, ids=range(len(HOSTILE)))
def test_no_name_changes_the_page(visit, name):
    paints = [sw.Paint("white", "#f4f3ee"), sw.Paint(name, "#1f5637"), sw.Paint(f"{name} 2", "#c83a2e")]
    plain = [paints[0], sw.Paint("green", "#1f5637"), sw.Paint("green 2", "#c83a2e")]
    plan = plan_of("frog", name=name, stock=sw.Stock(paints))
    page = visit(plan.to_html())
    assert page.noted == []
    wanted = Reader()
    wanted.feed(plan_of("frog", name="frog", stock=sw.Stock(plain)).to_html())
    assert Counter(page.evaluate(COUNTS)) == wanted.tags
    assert page.inner_text("h1") == " ".join(plan.name.split())


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("name", PLANS)
def test_printed_no_text_is_cut_off(visit, reports, name, paper):
    page = visit(reports[name], color_scheme="dark")
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    words = set(page.inner_text("body").split())
    margin = 14 / 25.4 * 72
    with pdfplumber.open(io.BytesIO(page.pdf(format=paper, print_background=True))) as printed:
        letters = ""
        for sheet in printed.pages:
            chars = [char for char in sheet.chars if char["text"].strip()]
            for char in chars:
                assert char["x0"] > margin - 1 and char["x1"] < sheet.width - margin + 1, char["text"]
                assert char["top"] > margin - 2 and char["bottom"] < sheet.height - margin + 2, char["text"]
            letters += "".join(char["text"] for char in chars)
    # A word that is broken over lines of a table stands in parts.
    letters = unicodedata.normalize("NFKC", letters)
    lost = {word for word in words if len(word) < 12 and word not in letters}
    assert lost == set()


def test_a_large_report_is_small():
    grid = sw.pixelate(POND / "water-lily.jpg", columns=64, rows=64, colours=16)
    html = sw.plan(grid, panel=FOOT, stock=STOCK).to_html()
    assert len(html.encode()) < 200_000
