"""Walls: from a file to one plan for many figures, and what is written of it."""

import dataclasses
import hashlib
import json
import pickle
import time
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from pathlib import Path

import difference
import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

import measured
import squarewright as sw
from squarewright.command import main
from squarewright.contents import PLAN_FILES
from squarewright.settings.lines import line_of
from squarewright.wall import output

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = ["heron", "frog", "newt", "dragonfly", "kingfisher", "lily", "bulrush", "moorhen", "otter"]
PANEL = "12in x 12in"


def wall(*names, **more):
    """Give a wall of pond figures, all with the paints of the examples."""
    figures = [sw.WallFigure(POND / f"{name}.png") for name in names]
    settings = sw.Settings(panel=PANEL, thickness="1/4 in", stock=POND.parent / "paints.csv")
    return sw.Wall(**{"figures": figures, "settings": settings, **more})


@pytest.fixture(scope="module")
def pond():
    return wall(*FIGURES).plan()


@pytest.fixture
def file(tmp_path):
    """Give a folder with pictures, and what writes a wall file there."""
    for name in ("frog", "lily", "newt"):
        (tmp_path / f"{name}.png").write_bytes((POND / f"{name}.png").read_bytes())
    (tmp_path / "paints.csv").write_bytes((POND.parent / "paints.csv").read_bytes())

    def write(text):
        place = tmp_path / "pond.toml"
        place.write_text(text)
        return place

    return write


WHOLE = """
schema = 1
panel = "12in x 12in"
thickness = "1/4 in"
stock = "paints.csv"

[wall]
name = "pond wall"
width = "8 ft"
height = "7 ft"
gap = "3 in"
knife_gap = "6 mm"
distance = "10 ft"
merge = 2
hours = 2.5

[painting]
coats = 2
drop_ml = 0.04

[pack]
panels = 4
price = 12.99
currency = "EUR"
owned = 1

[left]
white = 20
"#4d7a3c" = 4.5

[[taken]]
name = "door"
x = "5 ft"
y = "1 ft"
width = "30 in"
height = "6 ft"

[[figure]]
picture = "frog.png"
copies = 2
place = "anywhere"
pitch = "1/4 in"
[figure.painting]
coats = 3

[[figure]]
picture = "lily.png"
name = "water lily"
mirror = true
x = "10 in"
y = "2 ft"
"""


def test_a_file_says_everything(file, tmp_path):
    read = sw.read_wall(file(WHOLE))
    assert (read.name, read.distance, read.hours, read.merge) == ("pond wall", sw.Length("10 ft"), 2.5, 2)
    assert (read.gap, read.knife_gap) == (sw.Length("3 in"), sw.mm(6))
    assert read.pack == sw.Pack(panels=4, price=12.99, currency="EUR", owned=1)
    assert read.pack.hundredths == 1299
    assert read.left == {"white": 20, "#4d7a3c": 4.5}
    assert read.taken == (sw.Taken("door", "60 in", "12 in", "30 in", "72 in"),)
    frog, lily = read.figures
    assert (frog.copies, frog.mirror, frog.place) == (2, False, "anywhere")
    assert frog.settings == {"pitch": "1/4 in", "painting": {"coats": 3}}
    assert (lily.name, lily.mirror, lily.place) == ("water lily", True, (sw.inches(10), sw.inches(24)))
    assert Path(frog.picture) == tmp_path / "frog.png"
    planned = read.plan()
    assert list(planned.figures) == ["frog", "water lily"] and planned.copies == {"frog": 2, "water lily": 1}
    assert planned.places == {"frog": None, "water lily": (sw.inches(10), sw.inches(24))}
    assert planned.figures["frog"].fit.pitch == sw.inches("1/4")
    # A setting of the figure goes before that of the wall, and that before the default.
    coats = {name: min(jar["coats"] for jar in plan.jars) for name, plan in planned.figures.items()}
    assert coats == {"frog": 3, "water lily": 2}
    upright = sw.plan(tmp_path / "lily.png", panel=sw.Panel("12 in", "12 in")).grid
    found = planned.figures["water lily"].grid
    assert np.array_equal(found.cells >= 0, upright.mirrored().cells >= 0)
    assert not np.array_equal(found.cells >= 0, upright.cells >= 0) or np.array_equal(
        upright.cells >= 0, upright.cells[:, ::-1] >= 0
    )


def test_a_file_and_the_same_in_code_are_planned_alike(file):
    read = sw.read_wall(file('panel = "12in x 12in"\n[[figure]]\npicture = "frog.png"\ncopies = 3\n'))
    made = sw.Wall(
        name="pond",
        figures=[sw.WallFigure(read.path.parent / "frog.png", copies=3)],
        settings=sw.Settings(panel=PANEL),
    )
    assert read.plan() == made.plan()
    assert repr(made) == "Wall('pond', 3 figures)"


BAD = {
    "unknown at the top": ('panel = "12in x 12in"\ncolurs = 8\n', "KEY", 2, "Did you mean colours?"),
    "unknown of a figure": (
        '[[figure]]\npicture = "a"\n\ncolurs = 8\n',
        "KEY",
        4,
        "Did you mean colours?",
    ),
    "unknown of the wall": ('[wall]\nwdth = "8 ft"\n', "KEY", 2, "Did you mean width?"),
    "unknown of a pack": ("[pack]\nprise = 4\n", "KEY", 2, "Did you mean price?"),
    "unknown of a place": ('[[taken]]\nname = "door"\nheigth = "1 ft"\n', "KEY", 3, "height"),
    "unknown table": ("[walls]\nwidth = 3\n", "KEY", 1, "Did you mean wall?"),
    "unknown of painting": (
        '[[figure]]\npicture = "a"\n[figure.painting]\ncots = 2\n',
        "KEY",
        3,
        "coats",
    ),
    "wrong type": ('[[figure]]\npicture = "frog.png"\ncolumns = "many"\n', "TYPE", 3, "whole number"),
    "wrong type of the wall": ("[wall]\nwidth = 96\n", "TYPE", 2, "a length with its unit"),
    "wrong type of copies": ('[[figure]]\npicture = "a"\ncopies = 1.5\n', "TYPE", 3, "whole number"),
    "a table that is a number": ("figure = 3\n", "TYPE", 1, "list of tables"),
    "a wall that is a list": ("[[wall]]\n", "TYPE", 1, "must be a table"),
    "no length": ('[wall]\nwidth = "8 hands"\n[[figure]]\npicture = "a"\n', "VALUE", 2, "width cannot be"),
    "no figures": ('panel = "12in x 12in"\n', "VALUE", None, "has no figures"),
    "no picture": ("[[figure]]\ncopies = 2\n", "VALUE", 1, "has no picture"),
    "half a place": ('[[figure]]\npicture = "a"\nx = "1 ft"\n', "VALUE", 1, "both x and y"),
    "of the wall alone": ('[[figure]]\npicture = "a"\nstock = "b.csv"\n', "VALUE", 3, "whole wall"),
    "no copies": ('[[figure]]\npicture = "a"\ncopies = 0\n', "VALUE", 3, "1 to 500"),
    "twins": ('[[figure]]\npicture = "a"\n[[figure]]\npicture = "a"\n', "VALUE", None, "two figures"),
    "a door outside": (
        '[wall]\nwidth = "2 ft"\n[[taken]]\nname = "door"\nx = "1 ft"\ny = "0 in"\nwidth = "2 ft"\n'
        'height = "1 ft"\n[[figure]]\npicture = "a"\n',
        "VALUE",
        1,
        "reaches out of the wall",
    ),
    "a price in thousandths": ("[pack]\nprice = 1.999\n[[figure]]\npicture = 'a'\n", "VALUE", 2, "decimals"),
    "less than nothing left": ("[[figure]]\npicture='a'\n[left]\nwhite = -1\n", "VALUE", 4, "millilitres"),
    "a key twice": ('panel = "12in x 12in"\npanel = "1ft x 1ft"\n', "SYNTAX", None, "line 2"),
    "nested ten thousand deep": (f"a = {'[' * 10_000}{']' * 10_000}\n", "SYNTAX", None, "in each other"),
    "no TOML": ("[wall\n", "SYNTAX", None, "line 1"),
    "no schema": ("schema = 'one'\n", "TYPE", 1, "schema = 1"),
}


@pytest.mark.parametrize("given", BAD)
def test_a_bad_wall_file_is_refused_with_its_line(given, file):
    text, code, line, words = BAD[given]
    with pytest.raises(sw.SettingsError) as caught:
        sw.read_wall(file(text))
    error = caught.value
    assert error.code == f"CONFIG-{code}" and words in str(error), error
    assert error.name == "pond.toml"
    if line is not None:
        assert f"line {line}: " in error.what, error.what


def test_lines_are_found_in_tables_of_every_form():
    text = 'a = 1\n[b]\n"c d" = 2\n[[e]]\nf = 1\n[[e]]\ng.h = 2\n[e.i]\nj = {k = 1}\n[k.l]\n[m.n]\n'
    lines = {("a",): 1, ("b",): 2, ("b", "c d"): 3, ("e", 0): 4, ("e", 0, "f"): 5, ("e", 1): 6}
    lines |= {
        ("e", 1, "g", "h"): 7,
        ("e", 1, "i"): 8,
        ("e", 1, "i", "j", "k"): 9,
        ("e", 1, "z"): 6,
        ("z",): None,
        ("k",): 10,
        ("k", "l"): 10,
        ("m",): 11,
    }
    assert {path: line_of(text, path) for path in lines} == lines


def test_a_newer_file_is_looked_at_and_never_written_from(file, tmp_path):
    text = 'schema = 2\npanel = "12in x 12in"\n[lights]\nlumen = 3\n[wall]\nglow = true\n'
    read = sw.read_wall(file(text + '[[figure]]\npicture = "frog.png"\nshine = 2\n'))
    assert read.newer == 2 and read.plan().copies == {"frog": 1}
    for planned in (read.plan(), pickle.loads(pickle.dumps(read.plan()))):
        with pytest.raises(sw.ProjectError, match="newer than this package knows") as caught:
            planned.write(tmp_path / "out")
        assert caught.value.code == "PROJECT-NEWER"
    assert not (tmp_path / "out").exists()
    assert main(["wall", str(tmp_path / "pond.toml"), "--out", str(tmp_path / "out")]) == 3
    assert not (tmp_path / "out").exists()


def test_one_bad_figure_is_reported_and_the_others_planned(file, tmp_path):
    (tmp_path / "empty.png").write_bytes(b"")
    text = 'panel = "12in x 12in"\n' + "".join(
        f'[[figure]]\npicture = "{name}.png"\n' for name in ("frog", "empty", "lily", "missing")
    )
    planned = sw.read_wall(file(text + 'pitch = "8 ft"\n')).plan()
    assert list(planned.figures) == ["frog", "lily"]
    assert [(fault["name"], fault["code"]) for fault in planned.faults] == [
        ("empty", "PIC-EMPTY"),
        ("missing", "PATH-MISSING"),
    ]
    assert all(fault["what"] and fault["hint"] for fault in planned.faults)
    assert "2 not planned" in repr(planned)
    with pytest.raises(sw.PictureError, match="PIC-EMPTY"):
        sw.read_wall(file('panel = "12in x 12in"\n[[figure]]\npicture = "empty.png"\n')).plan()


def test_one_pitch_for_the_wall_is_the_smallest_of_all():
    each = wall("frog", "lily", "newt", "heron").plan()
    pitches = {name: plan.fit.pitch for name, plan in each.figures.items()}
    assert len(set(pitches.values())) > 1
    one = wall("frog", "lily", "newt", "heron", one_pitch=True).plan()
    assert {plan.fit.pitch for plan in one.figures.values()} == {min(pitches.values())}
    own = sw.WallFigure(POND / "frog.png", settings={"width": "6 in"})
    some = wall("lily", one_pitch=True)
    mixed = dataclasses.replace(some, figures=[own, *some.figures]).plan()
    assert mixed.figures["frog"].fit.width == sw.inches(6)


def linear(code):
    value = np.array([int(code[place : place + 2], 16) for place in (1, 3, 5)]) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


RGB_TO_XYZ = np.array(
    [
        [0.4123907993, 0.3575843394, 0.1804807884],
        [0.2126390059, 0.7151686788, 0.0721923154],
        [0.0193308187, 0.1191947798, 0.9505321522],
    ]
)
"""sRGB, as in CSS Color Module Level 4."""

OPPONENT = np.array([[0.279, 0.72, -0.107], [-0.449, 0.29, -0.077], [0.086, -0.59, 0.501]])
BLUR = [
    [(1.00327 / 1.117686, 0.05), (0.114416 / 1.117686, 0.225)],
    [(0.616725, 0.0685), (0.383275, 0.826)],
    [(0.567885, 0.0920), (0.432115, 0.6451)],
]
"""S-CIELAB as published (Zhang and Wandell 1996): weights, and widths at half height in degrees.

Lightness has no wide negative curve here, which takes dark cells among light ones below black.
"""


def lab(xyz):
    share = xyz / (RGB_TO_XYZ @ np.ones(3))
    root = np.where(share > 216 / 24389, np.cbrt(share), (24389 / 27 * share + 16) / 116)
    x, y, z = np.moveaxis(root, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], -1)


def seen(cells, colours, pitch_mm, distance_mm, fine=7):
    """Blur a picture as the eye does, ``fine`` samples a cell, and give the middles of cells in CIELAB."""
    xyz = np.array([RGB_TO_XYZ @ linear(code) for code in colours]) @ OPPONENT.T
    picture = np.where((cells >= 0)[..., None], xyz[np.maximum(cells, 0)], 0)
    picture, mask = (np.repeat(np.repeat(plane, fine, 0), fine, 1) for plane in (picture, 1.0 * (cells >= 0)))
    degrees = 2 * np.degrees(np.arctan(pitch_mm / 2 / distance_mm)) / fine
    blurred = np.zeros_like(picture)
    for channel, curves in enumerate(BLUR):
        for weight, width in curves:
            sigma = width / 2 / np.sqrt(2 * np.log(2)) / degrees
            # The colour of the wall is unknown: what is bare has no say.
            layer, whole = (
                gaussian_filter(plane, sigma, mode="constant", truncate=6)
                for plane in (picture[..., channel], mask)
            )
            blurred[..., channel] += weight * layer / np.maximum(whole, 1e-9)
    middles = blurred[fine // 2 :: fine, fine // 2 :: fine]
    return lab(middles @ np.linalg.inv(OPPONENT).T)[cells >= 0]


@pytest.mark.parametrize("feet", [4, 8, 20])
def test_merges_show_no_more_than_s_cielab_says_of_the_whole_figure(feet):
    """S-CIELAB of the figure as it was and as it is painted, with scipy's blur and another CIEDE2000."""
    planned = wall(*FIGURES, distance=f"{feet} ft", merge=4).plan()
    assert planned.merges
    shows = {}
    for name, plan in planned.figures.items():
        own = [merge for merge in planned.merges if name in merge["figures"]]
        before = sw.plan(POND / f"{name}.png", panel=plan.fit.panel).grid
        becomes = {merge["from"]: merge["into"] for merge in own}
        codes = ["#{:02x}{:02x}{:02x}".format(*colour) for colour in before.palette]
        told = [becomes.get(code, code) for code in codes]
        painted = ["#{:02x}{:02x}{:02x}".format(*colour) for colour in plan.grid.palette]
        assert sorted(set(told)) == sorted(painted)
        size = (float(plan.fit.pitch.mm), feet * 304.8)
        one, other = (seen(before.cells, each, *size) for each in (codes, told))
        most = difference.ciede2000(one, other).max()
        told = max((merge["shows"] for merge in own), default=0)
        assert most <= 1.03 * told + 1e-6, (name, most)
        shows.setdefault(told, []).append(most)
    # What is told is no more than a seventh above what is seen: lightness without its wide curve.
    assert all(told <= 1.15 * max(seen) + 1e-6 for told, seen in shows.items())
    for merge in planned.merges:
        pair = [lab(RGB_TO_XYZ @ linear(merge[key])) for key in ("from", "into")]
        assert merge["difference"] == pytest.approx(float(difference.ciede2000(*pair)), abs=2e-3)
        assert merge["shows"] <= 4 and merge["difference"] <= 6


def test_every_colour_is_mixed_once(pond):
    jars = pond.jars
    assert [jar["number"] for jar in jars] == list(range(1, len(jars) + 1))
    codes = [jar["hex"] for jar in jars]
    assert len(set(codes)) == len(codes) < pond.jars_before
    assert len({jar["name"] for jar in jars}) == len(jars)
    for name, plan in pond.figures.items():
        for own in plan.jars:
            jar = jars[codes.index(own["hex"])]
            use = next(use for use in jar["uses"] if use["figure"] == name)
            assert use["ml"] == pytest.approx(own["ml"], rel=1e-12)
            assert jar["recipe"] == next(each for each in plan.recipes if each.target == own["hex"])
    for jar in jars:
        assert sum(use["ml"] for use in jar["uses"]) == pytest.approx(jar["ml"], rel=1e-12)


def test_the_wall_is_the_sum_of_its_figures(pond):
    plans = pond.figures.values()
    for key in ("work", "wait"):
        for end in (0, 1):
            total = sum(plan.hours[key][end] for plan in plans)
            assert pond.hours[key][end] == pytest.approx(total, rel=1e-12)
    grams = [sum(plan.hanging["grams"][end] for plan in plans) for end in range(3)]
    assert pond.weight == pytest.approx(grams, rel=1e-12)
    buying = pond.buying
    for layer in ("primer", "varnish", "undercoat"):
        total = sum(plan.layers[layer]["ml"] for plan in plans)
        assert buying[f"{layer}_ml"] == pytest.approx(total, rel=1e-12)
    assert buying["glue_ml"] == pytest.approx(sum(plan.backing["glue_ml"][2] for plan in plans))
    for paint in buying["paints"]:
        own = [need["ml"] for plan in plans for need in plan.bottles if need["paint"] == paint["paint"]]
        assert paint["ml"] == pytest.approx(sum(own), rel=1e-12)
        missing = max(0, (paint["poured_ml"] - paint["at_hand_ml"]) / paint["bottle_ml"])
        assert missing - 1e-3 <= paint["to_buy"] < missing + 1
    # One glass for all takes no more bottles than one for each.
    assert sum(paint["to_buy"] for paint in buying["paints"]) <= sum(
        need["bottles"] for plan in plans for need in plan.bottles if not need["owned"]
    )


def test_money_is_whole_hundredths_in_one_currency(tmp_path):
    paints = "name,colour,ml,price,currency\nwhite,#f4f3ee,59,2.45,EUR\nblack,#262626,59,2.4,EUR\n"
    (tmp_path / "paints.csv").write_text(paints + "green,#4d9a3c,59,3.2,EUR\nred,#b3202b,59,3.15,EUR\n")
    settings = sw.Settings(panel=PANEL, stock=tmp_path / "paints.csv")
    pack = sw.Pack(panels=4, price=12.99, owned=1)
    planned = wall("frog", "lily", "newt", settings=settings, pack=pack).plan()
    buying, panels = planned.buying, planned.buying["panels"]
    prices = {"white": 245, "black": 240, "green": 320, "red": 315}
    costs = [paint["to_buy"] * prices[paint["paint"]] for paint in buying["paints"]]
    assert [paint["cost"] for paint in buying["paints"]] == costs
    assert panels["packs"] == -(-(panels["needed"] - panels["owned"]) // 4)
    assert panels["cost"] == panels["packs"] * 1299
    assert buying["total"] == sum(costs) + panels["cost"] and isinstance(buying["total"], int)
    assert (buying["currency"], buying["unpriced"]) == ("EUR", 0)
    table = planned.buying_csv().splitlines()
    assert table[0] == "what,which,needed,unit,at_hand,to_buy,cost,currency"
    assert sum(Fraction(line.split(",")[6] or 0) for line in table[1:]) * 100 == buying["total"]
    other = sw.Pack(price=12.99, currency="CHF")
    with pytest.raises(sw.ArgumentError, match='currency must be "EUR"'):
        wall("frog", settings=settings, pack=other).plan()


def test_what_is_left_is_used_first(pond):
    some = pond.jars[0]
    paint = max(pond.buying["paints"], key=lambda each: each["poured_ml"])
    left = {some["hex"]: some["ml"] - 0.5, paint["paint"].upper(): 3.0}
    planned = wall(*FIGURES, left=left).plan()
    jar = next(jar for jar in planned.jars if jar["hex"] == some["hex"])
    assert jar["ml"] == some["ml"] and jar["batch_ml"] <= max(1.5, some["batch_ml"] / 2)
    own = next(each for each in planned.buying["paints"] if each["paint"] == paint["paint"])
    assert own["at_hand_ml"] == 3.0
    with pytest.raises(sw.ArgumentError, match="paint of the stock"):
        wall("frog", left={"no such paint": 3}).plan()


def test_days_hold_all_that_there_is_to_paint(pond):
    wanted = {}
    for name, plan in pond.figures.items():
        for each in plan.passes:
            listed = [(None, 0)] if each["set"] == "undercoat" else each["colours"]
            for colour, _ in listed:
                key = (name, each["set"], str(colour) if colour else None, each["coat"])
                wanted[key] = wanted.get(key, 0) + 1
    found = {}
    for day in pond.days:
        assert day["minutes"] <= 180 + 1e-6
        for opening in day["openings"]:
            for work in opening["work"]:
                key = (work["figure"], work["set"], opening["hex"], work["coat"])
                found[key] = found.get(key, 0) + 1
    assert found == wanted
    before, after = pond.brush_changes
    assert after == sum(len(day["openings"]) for day in pond.days) < before
    # No jar can be open less often than its coats on one figure ask for.
    coats = {}
    for name, _, colour, _ in wanted:
        coats.setdefault(colour, []).append(name)
    least = sum(max(names.count(name) for name in names) for names in coats.values())
    assert least <= after <= 1.1 * least


def test_figures_lie_apart_on_the_boards_that_they_share(pond):
    panels, nesting = pond.panels, pond.nesting
    assert panels["count"] == nesting.count + sum(panels["own"].values())
    assert len(panels["shared"]) == sum(len(panel.figures) for panel in nesting.panels)
    assert panels["own"] == {} and panels["shared"] == [(name, 1, 1) for name in pond.figures]


def digests(folder):
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_twenty_figures_with_books_take_ten_seconds_and_the_same_bytes_on_any_threads(tmp_path):
    figures = [
        sw.WallFigure(POND / f"{name}.png", name=f"{name} {turn}", mirror=turn == 2)
        for turn in (1, 2, 3)
        for name in FIGURES
        if (name, turn) != ("otter", 2)
    ][:20]
    twenty = dataclasses.replace(wall(), figures=figures)
    assert sum(figure.copies for figure in figures) == 20
    started = time.process_time()
    written = twenty.plan().write(tmp_path / "two")
    # Ten seconds of two cores; others may be at work on them.
    assert time.process_time() - started <= 20
    assert len(written) == 4 + 20 * len(PLAN_FILES)
    for threads in (1, 5):
        twenty.plan(threads=threads).write(tmp_path / str(threads), threads=threads)
        assert digests(tmp_path / str(threads)) == digests(tmp_path / "two")


def test_a_wall_is_pickled_and_read_back(pond):
    copy = pickle.loads(pickle.dumps(pond))
    assert copy == pond and copy.to_json() == pond.to_json()
    assert [plan._path for plan in copy.figures.values()] == [plan._path for plan in pond.figures.values()]
    assert sw.WallPlan.from_json(pond.to_json()) == pond
    asked = wall("frog", taken=[sw.Taken("door", "1 ft", "0 in", "2 ft", "6 ft")])
    assert pickle.loads(pickle.dumps(asked)) == asked
    with pytest.raises(sw.ArgumentError, match="PLAN-VERSION"):
        sw.WallPlan.from_json(pond.to_json().replace('"schema_version": 1', '"schema_version": 9', 1))
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.WallPlan.from_json("[]")


def test_many_walls_are_planned_at_once(pond):
    with ThreadPoolExecutor(4) as pool:
        for planned in pool.map(lambda _: wall(*FIGURES).plan(), range(4)):
            assert planned == pond


def test_progress_is_told_and_may_stop_the_work(tmp_path):
    planning, writing = [], []
    planned = wall("frog", "lily").plan(progress=planning.append)
    planned.write(tmp_path / "out", progress=writing.append)
    for told in (planning, writing):
        assert told == sorted(told) and told[0] < told[-1] == 1.0

    def enough(share):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        wall("frog", "lily").plan(progress=enough)


def test_nothing_is_overwritten_and_pictures_never(file, tmp_path):
    place = file('panel = "12in x 12in"\nfiles = "preview.png"\n[[figure]]\npicture = "frog.png"\n')
    planned = sw.read_wall(place).plan()
    written = planned.write(tmp_path / "out")
    own = ["book.pdf", "index.html", "wall.json", "buying.csv"]
    assert [path.name for path in written] == [*own, "preview.png"]
    before = digests(tmp_path)
    with pytest.raises(sw.OutputError, match="OUT-EXISTS"):
        planned.write(tmp_path / "out")
    for name in own:
        (tmp_path / "out" / name).unlink()
    with pytest.raises(sw.OutputError, match="OUT-EXISTS"):
        planned.write(tmp_path / "out")
    assert not (tmp_path / "out" / "wall.json").exists()
    planned.write(tmp_path / "out", overwrite=True)
    assert digests(tmp_path) == before
    # A picture that stands where its own preview would go.
    (tmp_path / "preview").mkdir()
    (tmp_path / "preview" / "preview.png").write_bytes((tmp_path / "frog.png").read_bytes())
    place.write_text(
        'panel = "12in x 12in"\nfiles = "preview.png"\n[[figure]]\npicture = "preview/preview.png"\n'
    )
    with pytest.raises(sw.OutputError, match="OUT-SAME"):
        sw.read_wall(place).plan().write(tmp_path, overwrite=True)
    assert digests(tmp_path) | {"pond.toml": ""} == before | {
        "pond.toml": "",
        "preview/preview.png": before["frog.png"],
    }


def test_folders_of_figures_never_meet():
    names = ["frog", "FROG", "wall.json", "a/b", "a:b", "CON", "..", "x" * 300]
    figures = [sw.WallFigure(POND / "frog.png", name=name) for name in names]
    planned = sw.Wall(figures=figures, settings=sw.Settings(panel=PANEL)).plan()
    folders = list(output.folders(planned).values())
    assert len({folder.casefold() for folder in folders}) == len(names)
    assert all(folder == Path(folder).name and len(folder.encode()) <= 120 for folder in folders)
    assert "wall.json" not in folders


def test_what_cannot_be_asked_says_so():
    figure = sw.WallFigure(POND / "frog.png")
    for made, words in (
        (lambda: sw.WallFigure("a.png", copies=0), "copies"),
        (lambda: sw.WallFigure("a.png", copies=2, place=("1 in", "1 in")), "copies"),
        (lambda: sw.WallFigure("a.png", place="left"), "place"),
        (lambda: sw.WallFigure("a.png", settings={"colurs": 3}), "colurs"),
        (lambda: sw.WallFigure("a.png", settings={"stock": "b.csv"}), "stock"),
        (lambda: sw.WallFigure("a.png", settings={"columns": "many"}), "columns"),
        (lambda: sw.Pack(panels=0), "panels"),
        (lambda: sw.Pack(price=-1), "price"),
        (lambda: sw.Wall(figures=["frog.png"]), "figures"),
        (lambda: wall(distance="-1 ft"), "distance"),
        (lambda: wall().plan(), "no figures"),
        (lambda: wall("frog", merge=float("nan")).plan(), "merge"),
        (lambda: wall("frog", hours=0).plan(), "hours"),
        (lambda: wall("frog").plan(threads=0), "threads"),
        (lambda: sw.Wall(figures=[figure]).plan(), "panel"),
        (lambda: dataclasses.replace(wall(), figures=[figure, figure]), "two figures"),
    ):
        with pytest.raises((sw.ArgumentError, sw.SizeError), match=words):
            made()


def test_the_command_plans_a_wall(file, tmp_path, capsys):
    place = file(WHOLE + '[[figure]]\npicture = "missing.png"\n')
    arguments = ["wall", str(place), "-o", str(tmp_path / "out")]
    assert main([*arguments, "--dry-run", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["dry_run"] and not (tmp_path / "out").exists()
    assert main([*arguments, "--json"]) == 1
    done = json.loads(capsys.readouterr().out)
    assert done["files"] == told["files"] and all(Path(path).exists() for path in done["files"])
    assert done["figures"] == {"frog": 2, "water lily": 1}
    assert [fault["code"] for fault in done["faults"]] == ["PATH-MISSING"]
    assert main(arguments) == 5
    assert "OUT-EXISTS" in capsys.readouterr().err
    assert main([*arguments, "--overwrite"]) == 1
    shown = capsys.readouterr().out
    assert "3 figures on" in shown and "Written:" in shown
    place.write_text('panel = "12in x 12in"\n[[figure]]\npicture = "frog.png"\ncolurs = 3\n')
    assert main(arguments) == 3
    assert "line 4" in capsys.readouterr().err
    assert main(["wall", str(tmp_path / "none.toml")]) == 1


def test_a_hostile_file_costs_little(file, tmp_path):
    file('panel = "12in x 12in"\n' + "[[figure]]\n" * 20_000)
    answer = measured.python("-m", "squarewright", "wall", "pond.toml", folder=tmp_path)
    answer.check_limits()
    assert answer.status == 3
    file("x" * (1 << 21))
    answer = measured.python("-m", "squarewright", "wall", "pond.toml", folder=tmp_path)
    answer.check_limits()
    assert answer.status == 3 and "CONFIG-TOO-BIG" in answer.err
