"""The book, the page and the picture of a wall: what they say is what was planned, and words keep apart."""

import io
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from apart import check_words, headings_of
from PIL import Image
from test_pages import PRESSES

import squarewright as sw
from squarewright import Settings, Taken, Wall, WallFigure

POND = Path("examples/pond")
INCH = 25.4


def figure(name: str, **given) -> WallFigure:
    return WallFigure(POND / f"{name}.png", **given)


@pytest.fixture(scope="module")
def pond() -> sw.WallPlan:
    """A wall with copies, a place set by hand, a whole square, seams, and a picture that is none."""
    whole = {"ending": "whole square", "ground": "#203050", "pitch": "3/8 in"}
    figures = [
        figure("heron", place=("24 in", "36 3/4 in")),
        figure("frog", copies=2, settings={"pitch": "3/8 in"}),
        figure("lily", settings=whole),
        figure("newt", mirror=True),
        figure("otter", settings={"across": 2, "pitch": "3/16 in"}),
        figure("snail", copies=3, settings={"pitch": "1/8 in"}),
        WallFigure(b"no picture", name="lost"),
    ]
    taken = [
        Taken("bookshelf", "0 in", "4 ft", "40 in", "36 in"),
        Taken("switch", "88 in", "36 in", "3 in", "4 in"),
    ]
    return Wall(
        figures=figures,
        settings=Settings(panel="12in x 12in", thickness="1/4 in", stock="examples/paints.csv"),
        name="The pond wall",
        width="8 ft",
        height="7 ft",
        taken=taken,
    ).plan()


def pages(book: bytes) -> list[str]:
    with pdfplumber.open(io.BytesIO(book)) as pdf:
        return [page.extract_text() for page in pdf.pages]


@pytest.mark.parametrize("press", PRESSES)
def test_words_keep_inside_and_apart_and_whole(pond: sw.WallPlan, press: str) -> None:
    with pdfplumber.open(io.BytesIO(pond.to_pdf(**PRESSES[press]))) as pdf:
        for page in pdf.pages:
            check_words(page)
        large = "large_print" in PRESSES[press]
        assert sum(bool(headings_of(page, large)) for page in pdf.pages) > 5
        # A word that has no room in its column is broken by a hyphen.
        assert not [
            word["text"] for page in pdf.pages for word in page.extract_words() if word["text"][-1] == "-"
        ]


def test_longer_words_are_nowhere_cut_short(pond: sw.WallPlan) -> None:
    text = "\n".join(pages(pond.to_pdf(language="x-long")))
    assert text.count("[") == text.count("]") > 100


def test_the_map_says_where_figures_and_their_fixings_are(pond: sw.WallPlan) -> None:
    text = "\n".join(page for page in pages(pond.to_pdf()) if page.startswith("Wall map"))
    assert len(pond.placing) == 9
    for number, placed in enumerate(pond.placing, 1):
        plan = pond.figures[placed["figure"]]
        several = pond.copies[placed["figure"]] > 1
        name = f"{placed['figure']} {placed['copy']}" if several else placed["figure"]
        said = next(line for line in text.splitlines() if line.startswith(f"{number} {name} "))
        said = said.removeprefix(f"{number} {name} ")
        assert said.startswith(f"{near(placed['x'])} {near(placed['y'])}"), said
        if plan.hanging["frame_mm"] is not None:
            continue
        rows, columns = np.nonzero(plan.grid.cells >= 0)
        pitch = plan.fit.pitch.inches
        (left, top), (right, _) = ((x / INCH, y / INCH) for x, y in plan.hanging["pair_mm"])
        x = float(placed["x"].inches) - columns.min() * float(pitch)
        y = float(placed["y"].inches) - rows.min() * float(pitch)
        wanted = f"{sixteenths(x + left)} and {sixteenths(x + right)} {sixteenths(y + top)}"
        assert said.endswith(wanted), (said, wanted)
    assert "A bookshelf 0 in 48 in 40 in 36 in" in text and "B switch 88 in 36 in 3 in 4 in" in text


def sixteenths(inches: float) -> str:
    return near(sw.inches(f"{int(np.floor(inches * 16 + 0.5))}/16"))


def near(length: sw.Length) -> str:
    return str(length)


def test_the_book_has_everything_once(pond: sw.WallPlan) -> None:
    book = pages(pond.to_pdf())
    titles = [page.splitlines()[0].removesuffix(" The pond wall") for page in book]
    order = list(dict.fromkeys(titles))
    assert order == [
        *("The wall", "Buying list", "Colours of the wall", "Painting days", "Nesting", "Wall map"),
        "Hanging the wall",
    ]
    assert sorted(titles, key=order.index) == titles
    cover = book[0] + book[1]
    assert f"{len(pond.jars)}, each mixed once" in cover
    assert "lost: is" in cover and "(" in cover
    colours = "\n".join(page for page in book if page.startswith("Colours of the wall"))
    for jar in pond.jars:
        assert re.search(rf"^{jar['number']} ", colours, re.MULTILINE), jar
    for merge in pond.merges:
        assert f"{merge['from']} {merge['into']}" in colours
    days = "\n".join(page for page in book if page.startswith("Painting days"))
    assert len(re.findall(r"^Day \d+ · ", days, re.MULTILINE)) == len(pond.days)
    said = re.sub(r"\s+", " ", book[-1] + book[-2])
    for words in (
        "cables and pipes",
        "Adhesive strips only",
        "Not above a bed",
        "damp rooms",
        "never on a chair",
    ):
        assert words in said


def test_nothing_on_the_wall_is_nearer_than_the_gap(pond: sw.WallPlan) -> None:
    check_apart(pond.placing, (96, 84), 2, [(0, 48, 40, 36), (88, 36, 3, 4)])


def check_apart(placing, size, gap, taken) -> None:
    """Paint all boxes on a map of sixteenths, each found free with the gap round it."""
    painted = np.zeros((size[1] * 16, size[0] * 16), bool)

    def sixteenth(length, up):
        exact = float(length) * 16
        return int(np.ceil(exact - 1e-9)) if up else int(np.floor(exact + 1e-9))

    for left, top, width, height in taken:
        painted[top * 16 : (top + height) * 16, left * 16 : (left + width) * 16] = True
    for placed in sorted(placing, key=lambda placed: not placed["by_hand"]):
        x, y = placed["x"].inches, placed["y"].inches
        own = 0 if placed["by_hand"] else gap
        across = slice(sixteenth(x - own, up=False), sixteenth(x + placed["width"].inches + own, up=True))
        down = slice(sixteenth(y - own, up=False), sixteenth(y + placed["height"].inches + own, up=True))
        assert across.start >= 0 and across.stop <= painted.shape[1], placed
        assert down.start >= 0 and down.stop <= painted.shape[0], placed
        assert not painted[down, across].any(), placed
        painted[
            down.start + own * 16 : down.stop - own * 16, across.start + own * 16 : across.stop - own * 16
        ] = True


def test_the_picture_is_the_wall_to_scale_at_whole_minutes_of_arc(pond: sw.WallPlan) -> None:
    picture = np.asarray(Image.open(io.BytesIO(pond.to_png())).convert("RGB")).astype(int)
    height, width = picture.shape[:2]
    # From 6 ft a minute of arc is 0.532 mm: 96 in are 4584 of them, and 3 to a pixel make it at most 1600.
    pixel = 6 * 304.8 * np.tan(np.pi / 10800) * 3
    assert (width, height) == (round(96 * INCH / pixel), round(84 * INCH / pixel))
    wall = picture[2, 2]
    shelf = picture[round(60 * INCH / pixel), round(10 * INCH / pixel)]
    assert (shelf < wall).all()
    for placed in pond.placing:
        sides = [float(placed[side].inches) * INCH / pixel for side in ("x", "y", "width", "height")]
        x, y, wide, high = (round(side) for side in sides)
        inside = picture[y : y + high, x : x + wide]
        assert (np.abs(inside - wall).sum(axis=2) > 60).mean() > 0.2, placed
        ring = np.concatenate([picture[y - 4 : y - 2, x : x + wide].reshape(-1, 3)])
        assert (ring == wall).all(), placed


class Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))


def test_the_page_links_the_books_of_the_figures_and_asks_for_nothing(
    pond: sw.WallPlan, tmp_path: Path
) -> None:
    written = pond.write(tmp_path / "wall")
    names = {path.relative_to(tmp_path / "wall").as_posix() for path in written}
    assert {"book.pdf", "index.html", "preview.png", "wall.json", "heron/book.pdf"} <= names
    page = Page()
    page.feed((tmp_path / "wall" / "index.html").read_text())
    links = [given["href"] for tag, given in page.tags if tag == "a" and not given["href"].startswith("#")]
    assert len(links) == 2 * len(pond.figures) and set(links) <= names
    assert sum(tag == "h1" for tag, _ in page.tags) == 1 and ("html", {"lang": "en"}) in page.tags
    images = [given for tag, given in page.tags if tag == "img"]
    assert images and all(given["alt"] and given["src"].startswith("data:") for given in images)
    assert not [tag for tag, _ in page.tags if tag in {"script", "link", "iframe"}]


def test_a_wall_without_size_has_no_map_and_no_picture() -> None:
    wall = Wall(figures=[figure("lily")], settings=Settings(panel="12in x 12in")).plan()
    assert wall.placing is None and wall._repr_png_() is None
    assert not any(page.startswith("Wall map") for page in pages(wall.to_pdf()))
    with pytest.raises(sw.ArgumentError, match="width and a height"):
        wall.to_png()
    with pytest.raises(sw.ArgumentError, match="width and a height"):
        Wall(figures=[figure("lily")], settings=Settings(panel="12in x 12in"), width="3 ft")


@pytest.mark.parametrize(
    ("place", "size", "said"),
    [
        (("30 in", "0 in"), ("36 in", "36 in"), "heron, 7 1/2 in × 11 1/4 in at 30 in and 0 in, goes beyond"),
        ("anywhere", ("36 in", "12 in"), "no room on the wall for heron"),
    ],
)
def test_what_cannot_hang_is_named_with_what_to_do(place, size, said: str) -> None:
    wall = Wall(
        figures=[figure("heron", place=place)],
        settings=Settings(panel="12in x 12in"),
        width=size[0],
        height=size[1],
    )
    with pytest.raises(sw.SquarewrightError) as caught:
        wall.plan()
    assert caught.value.code == "WALL-PLACE" and said in caught.value.what and caught.value.hint


def test_figures_suit_a_free_place_at_the_largest_pitch_that_fits() -> None:
    settings = Settings(panel="12in x 12in", stock="examples/paints.csv")
    wall = Wall(
        figures=[figure("frog", place=("2 in", "2 in"))], settings=settings, width="30 in", height="16 in"
    )
    planned = wall.plan()
    # Right of the frog, which is 12 in wide, between gaps of 2 in.
    gap = planned.gaps()[0]
    assert {side: str(gap[side]) for side in gap} == {
        "x": "16 in",
        "y": "2 in",
        "width": "12 in",
        "height": "12 in",
    }
    found = wall.fits(planned, gap, [figure("heron"), figure("lily"), figure("snail"), figure("frog")])
    # 12 cells of 1 in, 16 of 3/4 in, 38 of 1/4 in, and 60 of 3/16 in.
    assert {each.name: str(each.pitch) for each in found} == {
        "lily": "1 in",
        "frog": "3/4 in",
        "snail": "1/4 in",
        "heron": "3/16 in",
    }
    hours = [each.hours[0] for each in found]
    assert hours == sorted(hours)
    assert next(each for each in found if each.name == "frog").paints_to_buy == 0
    small = {"width": sw.inches("4"), "height": sw.inches("3")}
    assert [each.name for each in wall.fits(planned, small, [figure("otter")])] == []
    with pytest.raises(sw.ArgumentError, match="no height"):
        wall.fits(planned, {"width": sw.inches("4")}, [])


EXAMPLE = Path("examples/pond-wall.toml")


def test_the_pond_wall_is_planned_end_to_end(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "squarewright", "wall", str(EXAMPLE), "-o", str(tmp_path / "one")],
        capture_output=True,
        text=True,
        check=True,
    )
    assert "17 figures" in done.stdout
    planned = sw.read_wall(EXAMPLE).plan(threads=1)
    assert len(planned.figures) == 14 and not planned.faults
    check_apart(planned.placing, (96, 84), 3, [(0, 48, 40, 36), (88, 36, 4, 5)])
    heron = next(placed for placed in planned.placing if placed["figure"] == "heron")
    assert heron["by_hand"] and (heron["x"], heron["y"]) == (sw.inches("24"), sw.inches("36 3/4"))
    # The same bytes on one thread.
    planned.write(tmp_path / "other", threads=1)
    one, other = (
        {path.relative_to(tmp_path / folder): path.read_bytes() for path in files(tmp_path / folder)}
        for folder in ("one", "other")
    )
    assert one == other
    assert len([path for path in one if path.name == "book.pdf"]) == 15


def files(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.rglob("*")) if path.is_file()]
