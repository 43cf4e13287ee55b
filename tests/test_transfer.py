"""The sheets for transferring the outline, read back from the bytes of the book with pdfplumber."""

import io
import re
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
import shapely
from skimage.color import rgb2lab

import squarewright as sw
from squarewright.command import main

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = [
    POND / f"{name}.png" for name in ("bulrush", "dragonfly", "frog", "heron", "lily", "moorhen", "newt")
]
PANEL = sw.Panel("12 in", "12 in")
PITCH = 9.0  # an eighth of an inch, in points
MM = 72 / 25.4


def plan_of(path: Path, **settings: object) -> sw.Plan:
    return sw.plan(path, panel=PANEL, **{"pitch": "1/8 in", "transfer": "outline", **settings})


def sheets(plan: sw.Plan, **settings: object) -> list:
    book = pdfplumber.open(io.BytesIO(plan.to_pdf(**settings)))
    return [page for page in book.pages if (page.extract_text() or "").startswith(("Transfer", "Card "))]


def stamp(page: object) -> str:
    return "".join(letter["text"] for letter in page.chars if letter["size"] > 20)


def sized(plan: sw.Plan, title: str = "Transfer", **settings: object) -> dict[str, list]:
    found: dict[str, list] = {"FRONT": [], "BACK": []}
    for page in sheets(plan, **settings):
        if stamp(page) and page.extract_text().startswith(title):
            found[stamp(page)].append(page)
    return found


def segments(page: object, width: float = 1.4) -> np.ndarray:
    lines = [line for line in page.lines if abs(line["linewidth"] - width) < 1e-6]
    return np.array([(line["x0"], line["top"], line["x1"], line["bottom"]) for line in lines])


def corner(page: object) -> tuple[float, float]:
    """Find where the drawing begins: at the first of the registration marks."""
    level = [line for line in page.lines if line["top"] == line["bottom"] and abs(line["width"] - 18) < 1e-3]
    return min(line["x0"] + 9 for line in level), min(line["top"] for line in level)


def edges(mask: np.ndarray) -> set[tuple[int, int, bool]]:
    """List the sides of cells between figure and bare: column, row, and whether it is upright."""
    wide = np.pad(mask, 1)
    upright = np.argwhere(wide[1:-1, 1:] != wide[1:-1, :-1])
    level = np.argwhere(wide[1:, 1:-1] != wide[:-1, 1:-1])
    return {(c, r, True) for r, c in upright.tolist()} | {(c, r, False) for r, c in level.tolist()}


def drawn(page: object) -> set[tuple[int, int, bool]]:
    """Read the sides of cells off a page whose cells are an eighth of an inch."""
    left, top = corner(page)
    found = set()
    for x0, y0, x1, y1 in segments(page):
        ends = (np.array((x0 - left, y0 - top, x1 - left, y1 - top))) / PITCH
        assert np.abs(ends - ends.round()).max() * PITCH < 1e-3, "every end lies on the grid at true size"
        a, b, c, d = (int(end) for end in ends.round())
        found |= {(a, row, True) for row in range(b, d)} | {(column, b, False) for column in range(a, c)}
    return found


@pytest.mark.parametrize("path", FIGURES, ids=lambda path: path.stem)
def test_front_is_the_outline_at_true_size_and_back_its_mirror_picture(path: Path) -> None:
    plan = plan_of(path)
    pages = sized(plan)
    (front,), (back,) = pages["FRONT"], pages["BACK"]
    mask = plan.grid.cells >= 0
    assert drawn(front) == edges(mask)
    assert drawn(back) == edges(mask[:, ::-1])
    # x' = W - x, measured from where the drawing begins.
    one, other, width = segments(front), segments(back), plan.grid.columns * PITCH
    turned = np.stack(
        [
            2 * corner(front)[0] + width - one[:, 2],
            one[:, 1],
            2 * corner(front)[0] + width - one[:, 0],
            one[:, 3],
        ],
        axis=1,
    )
    assert len(one) == len(other)
    for line in turned:
        assert np.abs(other - line).max(axis=1).min() < 1e-3


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_page_at_true_size_bears_its_stamp_and_its_sign(paper: str) -> None:
    plan = sw.plan(POND / "heron.png", panel=PANEL, transfer="outline")
    for title in ("Transfer", "Card"):
        pages = sized(plan, title, paper=paper)
        assert len(pages["FRONT"]) == len(pages["BACK"]) > 1
        for face, own in pages.items():
            for page in own:
                sign = [line for line in page.lines if line["linewidth"] == 2 and line["bottom"] < 110]
                assert len(sign) == 3
                stem = next(line["x0"] for line in sign if line["x0"] == line["x1"])
                arms = [line for line in sign if line["x0"] != line["x1"]]
                side = "x0" if face == "FRONT" else "x1"
                assert all(abs(arm[side] - stem) < 1e-3 and arm["width"] > 6 for arm in arms)


def test_the_card_is_mirrored_on_its_back() -> None:
    plan = plan_of(POND / "frog.png")
    pages = sized(plan, "Card")
    (front,), (back,) = pages["FRONT"], pages["BACK"]
    one, other = segments(front), segments(back)
    both = one[:, [0, 2]].min() + other[:, [0, 2]].max()
    for x0, y0, x1, y1 in one:
        assert np.abs(other - (both - x1, y0, both - x0, y1)).max(axis=1).min() < 1e-3


def rings(plan: sw.Plan, pitch: float) -> list[shapely.LinearRing]:
    steps = {"right": (1, 0), "down": (0, 1), "left": (-1, 0), "up": (0, -1)}
    found = []
    for walk in sw.walk(plan.grid):
        row, column = walk["start"]
        places = [(column * pitch, row * pitch)]
        for count, way in walk["runs"]:
            column, row = column + count * steps[way][0], row + count * steps[way][1]
            places.append((column * pitch, row * pitch))
        found.append(shapely.LinearRing(places))
    return found


@pytest.mark.parametrize("pitch", ["1/8 in", "5/32 in", "1/4 in", "1 mm"])
@pytest.mark.parametrize("name", ["frog", "lily"])
def test_dots_lie_on_the_outline_two_to_four_millimetres_apart(name: str, pitch: str) -> None:
    plan = plan_of(POND / f"{name}.png", transfer="dots", pitch=pitch)
    (page,) = sized(plan)["FRONT"]
    left, top = corner(page)
    dots = [
        shapely.Point((rect["x0"] + rect["x1"]) / 2 - left, (rect["top"] + rect["bottom"]) / 2 - top)
        for rect in page.rects
        if abs(rect["width"] - 2) < 1e-3 and abs(rect["height"] - 2) < 1e-3
    ]
    lines = rings(plan, float(plan.fit.pitch.mm) * MM)
    assert dots and all(min(line.distance(dot) for line in lines) < 2e-3 for dot in dots)
    for line in lines:
        along = sorted(line.project(dot) for dot in dots if line.distance(dot) < 2e-3)
        gaps = np.diff([*along, along[0] + line.length])
        assert gaps.min() >= 2 * MM - 4e-3 and gaps.max() <= 4 * MM + 4e-3
        if pitch != "1 mm":
            corners = [shapely.Point(place) for place in line.coords]
            assert all(min(dot.distance(place) for dot in dots) < 2e-3 for place in corners)


def test_pale_colours_are_named_by_their_lightness() -> None:
    for path in FIGURES[:4]:
        plan = plan_of(path)
        words = " ".join(sheets(plan)[0].extract_text().split())
        named = re.search(r"Use chalk or a coloured pencil there: (.*?)\. Graphite", words)
        pale = []
        for colour in plan.colours:
            rgb = [int(colour["hex"][place : place + 2], 16) for place in (1, 3, 5)]
            if rgb2lab(np.array(rgb)[None, None] / 255)[0, 0, 0] >= 75:
                pale.append(f"{colour['code']} {colour['name']}")
        assert (named.group(1).split(", ") if named else []) == pale
    raw = plan.colours[0]["hex"]
    assert f"there: {plan.colours[0]['code']} " in " ".join(
        sheets(plan_of(FIGURES[3], raw=raw))[0].extract_text().split()
    )


def test_the_walk_in_words_gives_the_figure_back() -> None:
    plan = plan_of(POND / "heron.png")
    words = " ".join(" ".join(page.extract_text().split()) for page in sheets(plan) if not stamp(page))
    mask = np.zeros(plan.grid.cells.shape, dtype=bool)
    parts = re.split(r"Line \d+, (?:outer|round a hole): from ", words)[1:]
    assert len(parts) == len(sw.walk(plan.grid))
    for part in parts:
        found = re.match(r"column mark (\d+), row mark (\d+)", part)
        column, row = start = int(found.group(1)), int(found.group(2))
        for token in re.finditer(
            r"(\d+) (right|down|left|up)|Now at column mark (\d+), row mark (\d+)", part
        ):
            count, way, *at = token.groups()
            if way is None:
                assert (column, row) == (int(at[0]), int(at[1]))
            elif way in {"down", "up"}:
                after = row + int(count) * (1 if way == "down" else -1)
                mask[min(row, after) : max(row, after), column:] ^= True
                row = after
            else:
                column += int(count) * (1 if way == "right" else -1)
        assert (column, row) == start
    assert (mask == (plan.grid.cells >= 0)).all()


def test_a_book_has_these_sheets_only_when_asked(tmp_path: Path) -> None:
    plain = sw.plan(POND / "frog.png", panel=PANEL)
    titles = [page.extract_text().split("\n")[0] for page in sheets(plain)]
    assert not any(title.startswith("Transfer") for title in titles)
    assert not sized(plain, "Card")["FRONT"] and sized(plain, "Card")["BACK"]
    with pytest.raises(sw.ArgumentError, match="transfer"):
        sw.plan(POND / "frog.png", panel=PANEL, transfer="tape")
    dotted = plan_of(POND / "frog.png", transfer="dots")
    assert sw.Plan.from_json(dotted.to_json()).to_pdf() == dotted.to_pdf()
    out = tmp_path / "out"
    options = ["--transfer", "dots", "--marking", "sparse", "--card", "few"]
    assert main(["plan", str(POND / "frog.png"), "--panel", "12in x 12in", *options, "--out", str(out)]) == 0
    written = sw.Plan.from_json((out / "plan.json").read_text())
    assert written.marking["lines_saved"] > 0 and written.backing["extra_cm2"] > 0
    with pdfplumber.open(out / "book.pdf") as book:
        assert any((page.extract_text() or "").startswith("Transfer") for page in book.pages)


def test_large_print_keeps_the_stamps_on_the_page() -> None:
    for page in sheets(plan_of(POND / "heron.png", marking="sparse"), large_print=True):
        assert all(letter["x0"] >= 18 and letter["x1"] <= page.width - 18 for letter in page.chars)
