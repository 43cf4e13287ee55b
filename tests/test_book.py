"""The printed book, read back from its bytes with pdfplumber."""

import io
import itertools
import re
from pathlib import Path

import pdfplumber
import pikepdf
import pytest

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = sorted(path for path in POND.glob("*.png") if "-" not in path.stem)
INCH = 72.0


def plan_of(name: str, **settings: object) -> sw.Plan:
    return sw.plan(POND / f"{name}.png", panel=sw.Panel("12 in", "12 in"), **settings)


def pages(plan: sw.Plan, title: str, paper: str = "letter") -> list:
    book = pdfplumber.open(io.BytesIO(plan.to_pdf(paper)))
    return [page for page in book.pages if (page.extract_text() or "").startswith(title)]


def test_there_are_enough_figures_to_mean_something() -> None:
    assert len(FIGURES) >= 6


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("path", FIGURES, ids=lambda path: path.stem)
def test_no_text_leaves_the_page(path: Path, paper: str) -> None:
    grid = sw.recover(path).grid
    across = 2 if grid.columns > 64 else None
    plan = sw.plan(path, panel=sw.Panel("12 in", "12 in"), across=across)
    with pdfplumber.open(io.BytesIO(plan.to_pdf(paper))) as book:
        for page in book.pages:
            for letter in page.chars:
                assert letter["x0"] >= 18 and letter["x1"] <= page.width - 18, (
                    page.page_number,
                    letter["text"],
                )
                assert letter["top"] >= 18 and letter["bottom"] <= page.height - 18, page.page_number
                assert letter["size"] >= 8 - 1e-3


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_check_bars_are_six_inches_and_150_mm(paper: str) -> None:
    for page in pages(plan_of("heron"), "Template", paper):
        level = [line["x1"] - line["x0"] for line in page.lines if line["top"] == line["bottom"]]
        upright = [line["bottom"] - line["top"] for line in page.lines if line["x0"] == line["x1"]]
        for lengths in (level, upright):
            assert min(abs(length - 6 * INCH) for length in lengths) < 0.001
            assert min(abs(length - 150 / 25.4 * INCH) for length in lengths) < 0.001


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize(
    ("name", "settings"),
    [("heron", {}), ("lily", {"pitch": "3/4 in"}), ("frog", {"width": "11 in"}), ("otter", {"across": 2})],
)
def test_every_tick_of_every_edge_strip_lies_where_its_mark_says(
    name: str, settings: dict, paper: str
) -> None:
    plan = plan_of(name, **settings)
    tolerance = 0.05 / 25.4 * INCH
    sheets = pages(plan, "Edge strips", paper)
    assert len(sheets) == len(plan.fit.panels)
    for page, panel in zip(sheets, plan.fit.panels, strict=True):
        strips = strips_of(page)
        assert [len(parts) for parts in strips.values()] == [2, 2, 2, 2]
        for edge, parts in strips.items():
            marks = panel.column_marks if edge in {"TOP", "BOTTOM"} else panel.row_marks
            wanted = [float(mark.position.inches) * INCH for mark in marks]
            # START, END and the join are ticks too.
            ends = [0.0, 6 * INCH, 12 * INCH]
            found = [x + 6 * INCH * part for part, xs in enumerate(parts) for x in xs]
            for x in wanted + ends:
                assert min(abs(x - other) for other in found) < tolerance, (edge, x)
            for x in found:
                assert min(abs(x - other) for other in wanted + ends) < tolerance, (edge, x)


def strips_of(page: pdfplumber.page.Page) -> dict[str, list[list[float]]]:
    """Give the ticks of each strip of each edge, in points from the strip's left end."""
    labels = [w for w in page.extract_words() if w["text"] in {"TOP", "BOTTOM", "LEFT", "RIGHT"}]
    uprights = [line for line in page.lines if abs(line["x0"] - line["x1"]) < 1e-6]
    found: dict[str, list[list[float]]] = {}
    for label in labels:
        # The name stands 44 pt from the marked edge, which all ticks of the strip start from.
        middle = (label["top"] + label["bottom"]) / 2
        end, edge = ("bottom", middle + 44) if label["text"] in {"TOP", "RIGHT"} else ("top", middle - 44)
        ticks = [line["x0"] - 36 for line in uprights if abs(line[end] - edge) < 5]
        found.setdefault(label["text"], []).append(sorted(ticks))
    return found


@pytest.mark.parametrize("path", FIGURES, ids=lambda path: path.stem)
def test_no_words_lie_on_other_words_and_the_cover_is_one_page(path: Path) -> None:
    columns = sw.recover(path).grid.columns
    plan = sw.plan(path, panel=sw.Panel("12 in", "12 in"), across=2 if columns > 64 else None)
    assert len(pages(plan, "Cover")) == 1
    with pdfplumber.open(io.BytesIO(plan.to_pdf())) as book:
        for page in book.pages:
            words = page.extract_words(keep_blank_chars=False)
            for first, second in itertools.combinations(words, 2):
                across = min(first["x1"], second["x1"]) - max(first["x0"], second["x0"])
                down = min(first["bottom"], second["bottom"]) - max(first["top"], second["top"])
                # A third of a small letter's height may be empty leading.
                clash = across > 0.2 and down > 2.7
                assert not clash, (page.page_number, first["text"], second["text"], across, down)


@pytest.mark.parametrize("pitch", ["3/32 in", "3/16 in", "1/2 in", "8 mm"])
def test_the_template_has_the_pitch_of_the_plan_and_pages_share_their_marks(pitch: str) -> None:
    plan = plan_of("heron", pitch=pitch)
    step = float(plan.fit.pitch.inches) * INCH
    figure = {}
    sheets = pages(plan, "Template")
    for page in sheets:
        words = [w for w in page.extract_words() if re.fullmatch(r"[A-Z]\d+", w["text"]) and w["top"] > 90]
        assert words
        panel = re.search(r"Panel (\d+) of", page.extract_text())
        places = {w["text"]: (w["x0"], w["top"]) for w in words}
        for first, (x, y) in places.items():
            for second, (other_x, other_y) in places.items():
                key = (panel and panel.group(1), first, second)
                gap = (other_x - x, other_y - y)
                known = figure.setdefault(key, gap)
                assert known == pytest.approx(gap, abs=0.001), key
        grid = [r["x0"] for r in page.lines if r["x0"] == r["x1"] and r["linewidth"] == pytest.approx(0.3)]
        grid = sorted({round(x, 4) for x in grid})
        assert [b - a for a, b in itertools.pairwise(grid)] == pytest.approx(
            [step] * (len(grid) - 1), abs=0.001
        )


def test_the_svg_has_the_real_size_of_the_board() -> None:
    plan = plan_of("heron")
    svg = plan.to_svg()
    width, height = (
        float(value) for value in re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', svg).groups()
    )
    assert (width, height) == pytest.approx((12 * 25.4, 12 * 25.4), abs=1e-9)
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    assert (float(box.group(1)), float(box.group(2))) == (width, height)


def test_the_same_plan_gives_the_same_bytes_without_scaling_or_dates() -> None:
    first, second = plan_of("heron"), plan_of("heron")
    assert first.to_pdf() == second.to_pdf()
    assert first.to_json() == second.to_json() and first.to_png() == second.to_png()
    assert b"/PrintScaling /None" in first.to_pdf()
    assert b"CreationDate" not in first.to_pdf()


def test_counts_sum_to_the_cells_and_the_book_says_so() -> None:
    for path in FIGURES:
        grid = sw.recover(path).grid
        assert sum(grid.counts) == sum(cell >= 0 for cell in grid.cells.ravel())


def test_the_book_carries_its_cautions() -> None:
    text = "\n".join(page.extract_text() for page in pages(plan_of("heron"), "Before you start"))
    for word in ("Ask for help with the knife", "label", "Not for children", "four times"):
        assert word in text
    square = plan_of("lily", ending="whole square")
    assert "Knife" not in "\n".join(page.extract_text() for page in pages(square, "Before you start"))


@pytest.mark.parametrize("pitch", ["3 in", "7 in", "12 in"])
def test_a_cell_larger_than_a_page_is_cut_and_joined_on_shared_marks(pitch: str) -> None:
    grid = sw.Grid([[0, 1], [1, -1]], ["#204060", "#f0e0b0"])
    plan = sw.plan(grid, panel=sw.Panel("2 ft", "2 ft"), pitch=pitch)
    known: dict[tuple[str, str], tuple[float, float]] = {}
    sheets = pages(plan, "Template")
    for page in sheets:
        words = [w for w in page.extract_words() if re.fullmatch(r"[A-Z]\d+", w["text"]) and w["top"] > 90]
        for a in words:
            for b in words:
                gap = (b["x0"] - a["x0"], b["top"] - a["top"])
                assert known.setdefault((a["text"], b["text"]), gap) == pytest.approx(gap, abs=0.001)
    # From the first mark to the last along the top lies the whole figure, even across pages.
    columns = sorted({first[0] for first, _ in known})
    along = sum(known[(f"{a}1", f"{b}1")][0] for a, b in itertools.pairwise(columns))
    assert along == pytest.approx(2 * float(plan.fit.pitch.inches) * INCH, abs=0.001)


def test_the_book_is_a_valid_pdf() -> None:
    for paper in ("letter", "a4"):
        with pikepdf.open(io.BytesIO(plan_of("frog").to_pdf(paper))) as book:
            assert book.check_pdf_syntax() == []


def test_each_map_shows_the_cells_of_its_jar_and_the_first_those_of_the_undercoat() -> None:
    plan = sw.plan("examples/pond/heron.png", panel=sw.Panel("12 in", "12 in"))
    first = pages(plan, "Tonight's jar")[0]
    assert "White undercoat" in first.extract_text()
    ink = (0x1C / 255, 0x1F / 255, 0x24 / 255)
    dark = [
        rect
        for rect in first.rects
        if rect["fill"]
        and rect["non_stroking_color"] == pytest.approx(ink, abs=0.004)
        and rect["height"] < 20
    ]
    # Two maps side by side, three one below the other.
    areas: dict[tuple[int, int], float] = {}
    for rect in dark:
        place = (int((rect["top"] - 72) // ((first.height - 130) / 3)), int(rect["x0"] >= first.width / 2))
        areas[place] = areas.get(place, 0.0) + rect["width"] * rect["height"]
    steps = [step for step in plan.passes if step["coat"] == 1]
    under = sum(cells for _, cells in steps[0]["colours"])
    shown: list[str] = []
    for code, _ in (pair for step in steps[1:] for pair in step["colours"]):
        shown += [code] * (code not in shown)
    counts = {colour["hex"]: colour["cells"] for colour in plan.colours}
    wanted = [under, *(counts[code] for code in shown)][:6]
    cell = areas[0, 0] / under
    assert [areas[key] / cell for key in sorted(areas)] == pytest.approx(wanted, rel=0.01)
