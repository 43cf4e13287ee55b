"""Symbols, counting rows, record and wall template, read back from the printed pages."""

import io
import itertools
import re
from pathlib import Path

import numpy as np
import pdfplumber
import pypdfium2
import pytest

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = sorted(path for path in POND.glob("*.png") if "-" not in path.stem)
PANEL = sw.Panel("12 in", "12 in")


def noise(rows: int, columns: int, colours: int) -> sw.Grid:
    chance = np.random.default_rng(11)
    palette = chance.choice(2**24, colours, replace=False)
    cells = chance.integers(-1, colours, (rows, columns))
    return sw.Grid(cells, [f"#{colour:06x}" for colour in palette])


def pages_of(plan: sw.Plan, kind: str, paper: str = "letter", **printing: object) -> list:
    return pdfplumber.open(io.BytesIO(plan.to_pdf(paper, pages=[kind], **printing))).pages


def columns_of(page: pdfplumber.page.Page) -> list[str]:
    """Give the text of the left half and of the right half of a page."""
    middle = page.width / 2
    halves = ((0, middle), (middle, page.width))
    return [page.crop((left, 0, right, page.height)).extract_text() or "" for left, right in halves]


@pytest.mark.parametrize("grid", [sw.recover(path).grid for path in FIGURES] + [noise(96, 96, 64)], ids=repr)
def test_runs_rebuild_the_grid_and_every_row_is_whole(grid: sw.Grid) -> None:
    place = {code: index for index, code in enumerate(grid.codes)} | {None: -1}
    for row in range(grid.rows):
        runs = grid.runs(row)
        assert sum(cells for _, cells in runs) == grid.columns
        assert all(one[0] != other[0] for one, other in itertools.pairwise(runs))
        line = [place[code] for code, cells in runs for _ in range(cells)]
        assert line == grid.cells[row].tolist()


@pytest.mark.parametrize("row", [-1, 60, 2**40])
def test_a_row_that_is_not_there_is_refused(row: int) -> None:
    with pytest.raises(sw.ArgumentError, match="row must be 0 to 59") as caught:
        sw.recover(POND / "heron.png").grid.runs(row)
    assert caught.value.code == "VALUE-BAD"


ROW = re.compile(r"(\d+) ((?:\d+ (?:bare|[A-Z]\d)(?:, )?)+) = (\d+)")


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("grid", [sw.recover(POND / "heron.png").grid, noise(96, 96, 64)], ids=repr)
def test_the_printed_rows_rebuild_the_grid(grid: sw.Grid, paper: str, large: bool) -> None:
    plan = sw.plan(grid, panel=PANEL, across=2)
    text, totals = "", {}
    for page in pages_of(plan, "counting", paper, large_print=large):
        columns = columns_of(page)
        text += " " + " ".join(columns).replace("\n", " ")
        # In large print the totals take the whole width.
        for column in [page.extract_text()] if large else columns:
            lines = re.findall(r"^([A-Z]\d) .* (\d+)$", column, flags=re.MULTILINE)
            totals |= {code: int(cells) for code, cells in lines}
    place = {code: index for index, code in enumerate(grid.codes)} | {"bare": -1}
    rows = ROW.findall(text)
    assert [int(number) for number, _, _ in rows] == list(range(1, grid.rows + 1))
    cells = []
    for _, runs, total in rows:
        line = []
        for run in runs.split(", "):
            count, what = run.split()
            line += [place[what]] * int(count)
        assert len(line) == int(total) == grid.columns
        cells.append(line)
    assert np.array_equal(cells, grid.cells)
    assert totals == {colour["code"]: colour["cells"] for colour in plan.colours}


def inked(bitmap: np.ndarray, box: tuple[float, float, float, float]) -> np.ndarray:
    """Give a cell of a page at 600 dpi as 24 × 24 dots, black where its ink is, without its borders."""
    left, top, right, bottom = (value * 600 / 72 for value in box)
    dots = (np.arange(24) + 0.5) / 24 * 0.66 + 0.17
    across = (left + dots * (right - left)).astype(int)
    down = (top + dots * (bottom - top)).astype(int)
    # Black ink on pale cells.
    return bitmap[np.ix_(down, across)] < 64


def lattice(page: pdfplumber.page.Page) -> tuple[list[float], list[float]]:
    thin = [line for line in page.lines if line["linewidth"] == pytest.approx(0.3)]
    across = sorted({round(line["x0"], 3) for line in thin if line["x0"] == line["x1"]})
    down = sorted({round(line["top"], 3) for line in thin if line["top"] == line["bottom"]})
    return across, down


def key_of(page: pdfplumber.page.Page, bitmap: np.ndarray) -> dict[str, np.ndarray]:
    found = {}
    for sign in page.rects:
        if sign["fill"] and sign["width"] == pytest.approx(11) == pytest.approx(sign["height"]):
            beside = page.crop((sign["x1"], sign["top"] - 2, sign["x1"] + 215, sign["bottom"] + 2))
            code = re.search(r" ([A-Z]\d) ", beside.extract_text()).group(1)
            box = (sign["x0"], sign["top"], sign["x1"], sign["bottom"])
            found[code] = inked(bitmap, box)
    return found


@pytest.mark.parametrize(
    ("grid", "sheets"),
    [(sw.recover(POND / "heron.png").grid, 1), (noise(60, 40, 30), 2), (noise(64, 64, 64), 2)],
    ids=["heron", "key beside", "64 colours"],
)
def test_the_printed_symbols_rebuild_the_grid(grid: sw.Grid, sheets: int) -> None:
    plan = sw.plan(grid, panel=PANEL, pitch="3/32 in")
    data = plan.to_pdf(pages=["symbols"])
    printed = pdfplumber.open(io.BytesIO(data)).pages
    assert len(printed) == sheets
    drawn = pypdfium2.PdfDocument(data)
    bitmaps = [page.render(scale=600 / 72, grayscale=True).to_numpy().squeeze() for page in drawn]
    key: dict[str, np.ndarray] = {}
    for page, bitmap in zip(printed, bitmaps, strict=True):
        key |= key_of(page, bitmap)
    assert sorted(key) == [colour["code"] for colour in plan.colours]
    codes = list(key)
    place = {code: index for index, code in enumerate(grid.codes)}
    cells = np.full(grid.cells.shape, -2)
    for page, bitmap in zip(printed, bitmaps, strict=True):
        across, down = lattice(page)
        if not across:
            continue
        part = re.search(r"columns (\d+) to \d+, rows (\d+) to", page.extract_text())
        column, row = (int(part.group(1)) - 1, int(part.group(2)) - 1) if part else (0, 0)
        assert min(across[1] - across[0], down[1] - down[0]) >= 72 * 3 / 32 - 1e-3
        for y, (top, bottom) in enumerate(itertools.pairwise(down)):
            for x, (left, right) in enumerate(itertools.pairwise(across)):
                seen = inked(bitmap, (left, top, right, bottom))
                if not seen.any():
                    cells[row + y, column + x] = -1
                    continue
                apart = [np.count_nonzero(seen != key[code]) for code in codes]
                cells[row + y, column + x] = place[codes[int(np.argmin(apart))]]
    assert np.array_equal(cells, grid.cells)


def test_a_figure_whose_codes_fit_one_page_needs_no_symbols() -> None:
    plan = sw.plan(noise(12, 12, 6), panel=PANEL)
    with pytest.raises(sw.ArgumentError):
        plan.to_pdf(pages=["symbols"])


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize(("colours", "most"), [(3, 1), (24, 1), (64, 2)])
def test_the_record_holds_every_mix_on_one_page(colours: int, most: int, paper: str) -> None:
    plan = sw.plan(noise(60, 40, colours), panel=PANEL, stock=sw.Stock.basic())
    pages = pages_of(plan, "record", paper)
    assert len(pages) <= most
    halves = [column for page in pages for column in columns_of(page)]
    wholes = [page.extract_text() for page in pages]
    # More colours than that stand in two columns.
    text = " ".join(" ".join(part.split()) for part in (halves if colours > 24 else wholes))
    for recipe, colour in zip(plan.recipes, plan.colours, strict=True):
        mix = " + ".join(f"{parts} {paint}" for paint, parts in recipe.parts.items())
        mix = mix if len(recipe.parts) > 1 else f"{next(iter(recipe.parts))} from the bottle"
        name = f"{colour['name']} " if colours <= 24 else ""
        assert f"{colour['code']} {name}{mix}" in text
    for words in ("Made in", "Varnish", "Fixings", "Notes"):
        assert words in text


def joined(pages: list, width: float) -> tuple[list[tuple[float, float]], list[tuple[float, ...]]]:
    """Give the fixings and the upright lines of a width on pages that are joined at their marks."""
    marks: dict[str, tuple[float, float]] = {}
    crosses, lines = [], []
    for page in pages:
        words = [w for w in page.extract_words() if re.fullmatch(r"[A-Z]\d+", w["text"]) and w["top"] > 70]
        here = {word["text"]: (word["x0"], word["top"]) for word in words}
        if not here:
            continue
        shared = next((name for name in here if name in marks), None)
        x, y = (marks[shared][axis] - here[shared][axis] for axis in (0, 1)) if shared else (0.0, 0.0)
        for name, place in here.items():
            moved = (place[0] + x, place[1] + y)
            assert marks.setdefault(name, moved) == pytest.approx(moved, abs=0.001)
        arms = [line for line in page.lines if line["linewidth"] == pytest.approx(1)]
        level = [
            arm
            for arm in arms
            if arm["top"] == arm["bottom"] and arm["width"] == pytest.approx(14, abs=0.001)
        ]
        for one in level:
            middle = (one["x0"] + one["x1"]) / 2
            upright = [arm for arm in arms if arm["x0"] == arm["x1"] == pytest.approx(middle, abs=0.001)]
            assert any(arm["top"] < one["top"] < arm["bottom"] for arm in upright)
            crosses.append((middle + x, one["top"] + y))
        for line in page.lines:
            if line["linewidth"] == pytest.approx(width) and line["x0"] == line["x1"]:
                lines.append((line["x0"] + x, line["top"] + y, line["bottom"] + y))
    # The same cross may stand on two pages that overlap.
    each: list[tuple[float, float]] = []
    for cross in sorted(crosses):
        if not any(cross == pytest.approx(other, abs=0.01) for other in each):
            each.append(cross)
    return each, lines


@pytest.mark.parametrize("path", FIGURES, ids=lambda path: path.stem)
def test_the_wall_template_is_the_mirror_of_the_card(path: Path) -> None:
    grid = sw.recover(path).grid
    plan = sw.plan(grid, panel=PANEL, across=2 if grid.columns > 64 else None)
    hanging = plan.hanging
    wanted = (hanging["hook_mm"] is not None) + 2 * (hanging["pair_mm"] is not None)
    assert wanted
    wall, outline = joined(pages_of(plan, "wall"), 1.4)
    card, behind = joined(pages_of(plan, "card"), 0.6)
    assert len(wall) == len(card) == wanted
    near = 0.2 / 25.4 * 72
    card = sorted(((-x, y) for x, y in card), key=lambda cross: cross[0])
    x, y = wall[0][0] - card[0][0], wall[0][1] - card[0][1]
    for (one_x, one_y), (other_x, other_y) in zip(wall, card, strict=True):
        assert (other_x + x, other_y + y) == pytest.approx((one_x, one_y), abs=near)
    # Seen from the fixings, the outline of the wall is that of the card in a mirror.
    mirrored = [(x - other, top + y, bottom + y) for other, top, bottom in behind]
    assert outline
    for at, top, bottom in outline:
        assert any(abs(at - other) < near and low < bottom and high > top for other, low, high in mirrored), (
            at,
            top,
            bottom,
        )


def test_a_framed_square_has_no_wall_template_as_it_hangs_by_its_frame() -> None:
    plan = sw.plan(POND / "heron.png", panel=PANEL, ending="whole square")
    with pytest.raises(sw.ArgumentError):
        plan.to_pdf(pages=["wall"])


def test_a_thick_line_parts_colours_that_look_alike_to_some() -> None:
    # A green and a red that are 1.5 apart to those without the cones for middle waves, and a yellow.
    grid = sw.Grid([[0, 1, 2, 0]], ["#315c38", "#7f2f3f", "#f6c915"])
    (page,) = pages_of(sw.plan(grid, panel=PANEL), "chart")
    thick = [line for line in page.lines if line["linewidth"] == pytest.approx(2.6)]
    (line,) = thick
    across, _ = lattice(page)
    assert line["x0"] == line["x1"] == pytest.approx(across[1], abs=0.001)
    assert "Thickest" in page.extract_text()
    plain = sw.plan(sw.Grid([[0, 1]], ["#204060", "#f0e0b0"]), panel=PANEL)
    assert "Thickest" not in pages_of(plain, "chart")[0].extract_text()
