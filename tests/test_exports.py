"""Template, pictures, palette and lists, read back by other programs and by hand."""

import csv
import io
import itertools
import re
import struct
import xml.etree.ElementTree as ElementTree
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage

import squarewright as sw
from hostile import HOSTILE

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = ["lily", "frog", "newt", "dragonfly", "bulrush", "kingfisher", "moorhen", "heron", "otter"]
STOCK = sw.read_stock(POND.parent / "paints.csv")
FOOT = sw.Panel("12 in", "12 in", thickness="1/4 in")
SVG = "{http://www.w3.org/2000/svg}"
LAYERS = [
    "boards",
    "backing",
    "grid",
    "seams",
    "inner-lines",
    "outline",
    "holes",
    "coarse-cuts",
    "bays",
    "codes",
]
NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


def plan_of(figure, **settings):
    grid = sw.recover(POND / f"{figure}.png").grid
    across = {"across": 2} if grid.columns > 64 else {}
    return sw.plan(grid, **({"panel": FOOT, "name": figure} | across | settings))


def layers(plan):
    root = ElementTree.fromstring(plan.to_svg())
    return root, {group.get("id"): group for group in root.findall(f"{SVG}g")}


def lines(group):
    """Give the straight lines of a layer as pairs of places in millimetres."""
    found = []
    for path in group.findall(f"{SVG}path"):
        for part in path.get("d").split("M")[1:]:
            numbers = [float(number) for number in NUMBER.findall(part)]
            places = list(zip(numbers[::2], numbers[1::2], strict=True))
            closed = [places[0]] if part.endswith("Z") else []
            found.extend(itertools.pairwise(places + closed))
    return found


def mm(length):
    return float(length.mm)


def corner_of(plan):
    """Give the place of the grid's top-left corner on the drawing: boards, and card where it stands out."""
    places = [(0.0, 0.0)]
    for panel in plan.fit.panels:
        left = panel.columns[0] * mm(plan.fit.pitch) - mm(panel.left)
        top = panel.rows[0] * mm(plan.fit.pitch) - mm(panel.top)
        places.append((left, top))
    for contour in (plan.backing or {"contours": []})["contours"]:
        places.extend(contour["places"])
    return -min(x for x, _ in places), -min(y for _, y in places)


@pytest.mark.parametrize("name", FIGURES)
def test_a_unit_of_the_template_is_a_millimetre_both_ways(name):
    root, _ = layers(plan_of(name))
    left, top, width, height = (float(number) for number in root.get("viewBox").split())
    assert (left, top) == (0, 0)
    for side, units in (("width", width), ("height", height)):
        size = root.get(side)
        assert size.endswith("mm")
        assert float(size.removesuffix("mm")) / units == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("name", FIGURES)
def test_every_layer_has_its_name_and_a_title(name):
    root, found = layers(plan_of(name))
    assert list(found) == LAYERS
    titles = [group.find(f"{SVG}title").text for group in found.values()]
    assert all(titles) and len(set(titles)) == len(LAYERS)
    assert root.find(f"{SVG}title").text == name
    assert "whole figure" in root.find(f"{SVG}desc").text


def cells_beside(plan):
    """Give the borders between figure and bare cells in millimetres, found cell by cell."""
    figure = np.pad(plan.grid.cells >= 0, 1)
    pitch, (x, y) = mm(plan.fit.pitch), corner_of(plan)
    upright = np.argwhere(figure[:, 1:] != figure[:, :-1])
    level = np.argwhere(figure[1:] != figure[:-1])
    borders = {(x + column * pitch, y + (row - 0.5) * pitch) for row, column in upright}
    return borders | {(x + (column - 0.5) * pitch, y + row * pitch) for row, column in level}


@pytest.mark.parametrize("name", FIGURES)
def test_outline_and_holes_are_the_borders_of_the_figure_and_no_others(name):
    plan = plan_of(name)
    _, found = layers(plan)
    pitch = mm(plan.fit.pitch)
    drawn = []
    for (x, y), (u, v) in lines(found["outline"]) + lines(found["holes"]):
        count = round((abs(u - x) + abs(v - y)) / pitch)
        parts = [(step + 0.5) / count for step in range(count)]
        drawn.extend((x + (u - x) * part, y + (v - y) * part) for part in parts)
    # In half cells from the corner of the grid: each border once.
    left, top = corner_of(plan)
    halves = [((x - left) / pitch * 2, (y - top) / pitch * 2) for x, y in drawn]
    assert np.allclose(halves, np.round(halves), atol=1e-3)
    wanted = [((x - left) / pitch * 2, (y - top) / pitch * 2) for x, y in cells_beside(plan)]
    assert Counter(map(tuple, np.round(halves))) == Counter(map(tuple, np.round(wanted)))
    _, bare = ndimage.label(np.pad(plan.grid.cells < 0, 1, constant_values=True), np.ones((3, 3)))
    _, closed = ndimage.label(np.pad(plan.grid.cells < 0, 1, constant_values=True))
    assert (
        bare - 1 <= sum(path.get("d").count("M") for path in found["holes"].iter(f"{SVG}path")) <= closed - 1
    )


@pytest.mark.parametrize("name", FIGURES)
def test_every_cell_of_the_figure_bears_its_code_inside_it(name):
    plan = plan_of(name)
    _, found = layers(plan)
    group = found["codes"].find(f"{SVG}g")
    size = float(group.get("font-size"))
    pitch, (left, top) = mm(plan.fit.pitch), corner_of(plan)
    seen = {}
    for text in group.findall(f"{SVG}text"):
        x, y = float(text.get("x")) - left, float(text.get("y")) - top
        row, column = int(y // pitch), int(x // pitch)
        # A letter of the type is 0.73 of its size high, and less than a size wide.
        assert (
            y - 0.73 * size > row * pitch
            and x + 0.6 * size * len(text.text) < (column + 1) * pitch + 0.4 * size
        )
        seen[row, column] = text.text
    codes = [colour["code"] for colour in plan.colours]
    indexes = {colour["hex"]: colour["code"] for colour in plan.colours}
    assert len(codes) == len(set(codes))
    for row, column in np.argwhere(plan.grid.cells >= 0):
        red, green, blue = plan.grid.palette[plan.grid.cells[row, column]]
        assert seen.pop((int(row), int(column))) == indexes[f"#{red:02x}{green:02x}{blue:02x}"]
    assert not seen


def test_cuts_card_and_seams_lie_where_the_plan_says():
    plan = plan_of("otter", stock=STOCK)
    _, found = layers(plan)
    left, top = corner_of(plan)
    pitch = mm(plan.fit.pitch)
    wanted = {"coarse": [], "bay": []}
    table = csv.DictReader(io.StringIO(plan.cuts_csv()))
    panels = {(index % 2, index // 2): panel for index, panel in enumerate(plan.fit.panels)}
    for cut in table:
        if cut["kind"] in wanted:
            panel = panels[int(cut["panel_across"]) - 1, int(cut["panel_down"]) - 1]
            x = left + panel.columns[0] * pitch - mm(panel.left)
            y = top + panel.rows[0] * pitch - mm(panel.top)
            places = [
                (x + float(cut[f"{end}_x_mm"]), y + float(cut[f"{end}_y_mm"])) for end in ("from", "to")
            ]
            wanted[cut["kind"]].append(places)
    assert wanted["coarse"] and wanted["bay"]
    assert np.allclose(lines(found["coarse-cuts"]), wanted["coarse"], atol=1e-4)
    assert np.allclose(lines(found["bays"]), wanted["bay"], atol=1e-4)
    seam = left + plan.fit.panels[1].columns[0] * pitch
    assert {round(x, 4) for line in lines(found["seams"]) for x, _ in line} == {round(seam, 4)}
    card = [place for contour in plan.backing["contours"] for place in contour["places"]]
    drawn = [place for place, _ in lines(found["backing"])]
    assert np.allclose(drawn, [(left + x, top + y) for x, y in card], atol=1e-3)


def test_a_square_that_stays_whole_has_no_cuts_to_draw():
    _, found = layers(plan_of("lily", ending="whole square", backing=False))
    for name in ("coarse-cuts", "bays", "backing", "seams"):
        assert lines(found[name]) == []


@pytest.mark.parametrize("name", HOSTILE, ids=range(len(HOSTILE)))
def test_the_template_is_well_formed_whatever_the_figure_is_called(name):
    plain, hostile = plan_of("lily", name="lily"), plan_of("lily", name=name)
    root = ElementTree.fromstring(hostile.to_svg())
    assert root.find(f"{SVG}title").text == hostile.name
    assert [each.tag for each in root.iter()] == [
        each.tag for each in ElementTree.fromstring(plain.to_svg()).iter()
    ]


def chunks(png):
    """Walk through the chunks of a PNG by hand (ISO/IEC 15948, section 5.3)."""
    place, found = 8, {}
    while place < len(png):
        length, kind = struct.unpack(">I4s", png[place : place + 8])
        found[kind.decode()] = png[place + 8 : place + 8 + length]
        place += 12 + length
    return found


@pytest.mark.parametrize("panel", [FOOT, sw.Panel("300 mm", "450 mm"), sw.Panel("3 ft", "2 ft")], ids=str)
def test_the_preview_says_how_large_it_is(panel):
    plan = plan_of("frog", panel=panel)
    png = plan.to_png()
    across, down, unit = struct.unpack(">IIB", chunks(png)["pHYs"])
    image = Image.open(io.BytesIO(png))
    long = max(mm(panel.width), mm(panel.height)) / 1000
    assert unit == 1 and across == down
    assert abs(across - max(image.size) / long) <= 1
    assert image.info["dpi"][0] == pytest.approx(across * 0.0254, abs=0.01)
    # The shorter side is drawn at the same scale, to the pixel.
    short = min(mm(panel.width), mm(panel.height)) / 1000
    assert abs(min(image.size) - short * across) <= 1


@pytest.mark.parametrize(("ground", "paper"), [("black", (0, 0, 0)), ("white", (255, 255, 255))])
@pytest.mark.parametrize("name", ["heron", "otter"])
def test_the_projector_shows_crosses_on_the_corners_and_a_true_square(name, ground, paper):
    plan = plan_of(name)
    image = Image.open(io.BytesIO(plan.to_projector_png(ground=ground))).convert("RGB")
    width, height = image.size
    assert width <= 1920 and height <= 1080 and (width == 1920 or height == 1080)
    pixels = np.asarray(image).astype(int)
    assert tuple(pixels[0, 0]) == tuple(pixels[-1, -1]) == paper
    aid = np.array({"black": (0xFF, 0xD2, 0x3F), "white": (0xB0, 0x00, 0x20)}[ground])
    inked = np.abs(pixels - aid).sum(axis=2) < 60
    across, down = plan.fit.across * 304.8, plan.fit.down * 304.8
    rim = max(across, down) * 0.06
    scale = width / (across + 2 * rim)

    def seen(x, y, reach=2):
        column, row = round((x + rim) * scale), round((y + rim) * scale)
        return inked[max(row - reach, 0) : row + reach + 1, max(column - reach, 0) : column + reach + 1].any()

    arm = max(across, down) * 0.035
    for x in (0, across):
        for y in (0, down):
            assert all(seen(x + dx, y + dy) for dx, dy in [(0, 0), (arm, 0), (-arm, 0), (0, arm), (0, -arm)])
            assert not seen(x + (arm if x else -arm), y + (arm if y else -arm))
    # Half the shorter side in whole inches: 6 in.
    for x in (-76.2, 76.2):
        for y in (-76.2, 76.2):
            assert seen(across / 2 + x, down / 2 + y)
    assert not seen(across / 2, down / 2 - 76.2)


def test_the_projector_draws_the_outline_bright_where_the_figure_is():
    plan = plan_of("lily")
    image = Image.open(io.BytesIO(plan.to_projector_png())).convert("L")
    pixels = np.asarray(image)
    rim = 304.8 * 0.06
    scale = image.size[0] / (304.8 + 2 * rim)
    margin = [mm(plan.fit.margins.left), mm(plan.fit.margins.top)]
    left, top = corner_of(plan)
    for x, y in cells_beside(plan):
        column = round((x - left + margin[0] + rim) * scale)
        row = round((y - top + margin[1] + rim) * scale)
        assert pixels[row - 2 : row + 3, column - 2 : column + 3].max() > 200


def test_another_ground_is_refused():
    with pytest.raises(sw.ArgumentError, match="ground must be"):
        plan_of("lily").to_projector_png(ground="grey")


def by_hand(text):
    """Read a palette after its published form: a fixed first line, fields, then colours with their names."""
    lines = text.split("\n")
    assert lines[0] == "GIMP Palette" and lines[1].startswith("Name: ") and lines[2].startswith("Columns: ")
    found = []
    for line in lines[3:]:
        if line and not line.startswith("#"):
            numbers, name = line.split("\t", 1)
            red, green, blue = (int(number) for number in numbers.split())
            found.append((f"#{red:02x}{green:02x}{blue:02x}", name))
    return found


@pytest.mark.parametrize("name", FIGURES)
def test_the_palette_has_the_colours_and_the_paints(name, tmp_path):
    plan = plan_of(name, stock=STOCK)
    colours = [(colour["hex"], f"{colour['code']} {colour['name']}") for colour in plan.colours]
    paints = [(need["hex"], f"paint: {need['paint']}") for need in plan.bottles]
    assert by_hand(plan.to_gpl()) == colours + paints and paints
    path = tmp_path / "palette.gpl"
    path.write_text(plan.to_gpl(), encoding="utf-8")
    assert [
        ("#{:02x}{:02x}{:02x}".format(*paint.colour), paint.name) for paint in sw.read_stock(path).paints
    ] == colours + paints
    assert by_hand(plan_of(name).to_gpl()) == colours


def hostile_plan(name):
    """Plan with a figure and with paints that have the same strange name."""
    paints = [sw.Paint("white", "#f4f3ee"), sw.Paint(name, "#1f5637"), sw.Paint(f"{name} 2", "#c83a2e")]
    try:
        stock = sw.Stock(paints)
    except sw.StockError:
        return None
    return plan_of("frog", name=name, stock=stock)


@pytest.mark.parametrize("name", HOSTILE, ids=range(len(HOSTILE)))
def test_lists_and_palette_stay_what_they_are_whatever_things_are_called(name):
    plan = hostile_plan(name)
    assert plan is not None
    for text in (plan.colours_csv(), plan.marks_csv(), plan.cuts_csv(), STOCK.to_csv()):
        assert "\n" not in text.replace("\r\n", "") and text.encode()
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
        assert len({len(row) for row in rows}) == 1
        for field in itertools.chain.from_iterable(rows):
            is_number = NUMBER.fullmatch(field)
            assert is_number or not field.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r", "\n", "＝"))
    assert len(by_hand(plan.to_gpl())) == len(plan.colours) + len(plan.bottles)
    assert all("\r" not in name and "\u2028" not in name for _, name in by_hand(plan.to_gpl()))


def test_numbers_of_the_lists_stay_numbers():
    rows = list(csv.DictReader(io.StringIO(plan_of("heron", pitch="5 mm").marks_csv())))
    assert all(float(row["error_mm"]) <= 1 for row in rows)
    assert any(row["error_mm"].startswith("-") for row in rows)
