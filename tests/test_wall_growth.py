"""A wall that grows: what was begun stays, and what is left of boards goes before new ones."""

import dataclasses
from fractions import Fraction

import numpy as np
import pytest
from scipy import ndimage
from test_nesting import bitmaps
from test_wall import POND, wall
from test_wall_book import pages

import squarewright as sw
from squarewright.command import main

UNIT = Fraction(1, 16)
GAP = 4
"""A quarter inch in units."""


def figure(picture, **more):
    known = {key: more.pop(key) for key in ("name", "copies", "place", "mirror") if key in more}
    return sw.WallFigure(POND / f"{picture}.png", settings=more, **known)


def asked(*figures, **more):
    usual = {"figures": figures, "width": "8 ft", "height": "7 ft"}
    return dataclasses.replace(wall(), **{**usual, **more})


def grown(before, progress, *figures, **more):
    return asked(*figures, earlier=before.after(progress), **more).plan()


def lying(planned):
    """Give where each piece lies: its panel, its box and its turn."""
    shared = planned.panels["shared"]
    return {
        shared[nested.index] if nested.index < len(shared) else ("gone", place, nested.index): (
            place,
            panel.origin,
            (nested.x, nested.y, nested.width, nested.height, nested.quarter_turns),
        )
        for place, panel in enumerate(planned.nesting.panels)
        for nested in panel.figures
    }


def pieces(planned):
    """Give the cells and the pitch of each piece in the order of the nesting."""
    found = []
    for name, _, piece in planned.panels["shared"]:
        plan = planned.figures[name]
        (first, last), (left, right) = plan.fit.panels[piece - 1].rows, plan.fit.panels[piece - 1].columns
        cells = np.asarray(plan.grid.cells)[first:last, left:right]
        found.append((sw.Grid(np.where(cells >= 0, 0, -1), ["#336699"]), plan.fit.pitch))
    return found


def check_apart(planned, gone=()):
    """Paint all pieces of each panel on a bitmap of our own: they keep the gap, and off-cuts are free."""
    grids, pitches = zip(*pieces(planned), *gone, strict=True)
    for panel in planned.nesting.panels:
        taken = np.zeros((192, 192), bool)
        for each in bitmaps(panel, grids, pitches, planned.panel, UNIT):
            assert not (taken & each).any(), "two figures come too near to each other"
            taken |= ndimage.maximum_filter(each, 2 * GAP + 1)
            width, height = (int(side.inches / UNIT) for side in panel.size)
            assert each[:height, :width].sum() == each.sum(), "a figure lies off its off-cut"
        for offcut in panel.offcuts:
            edges = (offcut.y, offcut.y + offcut.height, offcut.x, offcut.x + offcut.width)
            top, bottom, left, right = (float(side.inches / UNIT) for side in edges)
            assert right <= panel.size[0].inches / UNIT and bottom <= panel.size[1].inches / UNIT
            assert not taken[int(np.ceil(top)) : int(bottom), int(np.ceil(left)) : int(right)].any()
    places = [nested.index for panel in planned.nesting.panels for nested in panel.figures]
    assert sorted(places) == list(range(len(grids)))


FIRST = (
    figure("frog", copies=2, pitch="1/4 in"),
    figure("heron"),
    figure("beetle", pitch="3/16 in"),
    figure("otter", across=2, pitch="3/16 in"),
)
LATER = (figure("newt"), figure("snail", pitch="1/4 in"), figure("lily", copies=3, pitch="1/4 in"))


@pytest.fixture(scope="module")
def before():
    return asked(*FIRST).plan()


def test_pieces_keep_their_place_at_the_seam_and_share_their_boards(before):
    check_apart(before)
    otter = before.figures["otter"]
    for number, piece in enumerate(otter.fit.panels, 1):
        _, _, (x, y, *_, turn) = lying(before)["otter", 1, number]
        rows, columns = np.nonzero(
            np.asarray(otter.grid.cells)[slice(*piece.rows), slice(*piece.columns)] >= 0
        )
        at = [
            start.inches + int(cells.min()) * otter.fit.pitch.inches
            for start, cells in ((piece.left, columns), (piece.top, rows))
        ]
        assert ([x.inches, y.inches], turn) == (at, 0)
    # What they leave holds others, so that boards are saved.
    boards = {place for key, (place, *_) in lying(before).items() if key[0] == "otter"}
    assert [key for key, (place, *_) in lying(before).items() if place in boards and key[0] != "otter"]
    alone = [asked(each).plan().panels["count"] for each in FIRST]
    assert before.panels["own"] == {} and before.panels["count"] < sum(alone)
    text = "\n".join(pages(before.to_pdf()))
    assert "otter, piece 1 of 2" in text and "stay as they came" in text


def test_a_whole_square_keeps_its_board():
    square = figure("newt", ending="whole square", ground="#203050")
    planned = asked(square, figure("snail", pitch="1/8 in")).plan()
    assert planned.panels["own"] == {"newt": 1} and planned.panels["shared"] == [("snail", 1, 1)]


@pytest.mark.parametrize("copy", [1, 2])
def test_what_was_begun_stays_where_it_lies_and_what_hangs_where_it_hangs(before, copy):
    steps = [step["step"] for step in before.figures["frog"].hours["steps"]]
    progress = sw.Progress().with_done("heron", "mark").with_done("frog", *steps, copy=copy)
    progress = progress.with_done("otter", "measure board")
    after = grown(before, progress, *reversed(FIRST), *LATER)
    check_apart(after)
    old, new = lying(before), lying(after)
    kept = [("heron", 1, 1), ("frog", copy, 1), ("otter", 1, 1), ("otter", 1, 2)]
    for key in kept:
        assert new[key][1:] == ("in use", old[key][2])
    together = {key: {other for other in kept if old[other][0] == old[key][0]} for key in kept}
    for key, others in together.items():
        assert all(new[other][0] == new[key][0] for other in others)

    def hangs(planned):
        found = next(e for e in planned.placing if (e["figure"], e["copy"]) == ("frog", copy))
        return found["x"], found["y"]

    assert hangs(after) == hangs(before)
    assert after.progress == progress
    assert after.remaining == progress.remaining(after)
    # Boards that are in use are not bought again.
    in_use = sum(panel.origin == "in use" for panel in after.nesting.panels)
    assert in_use == len({old[key][0] for key in kept})
    assert after.buying["panels"]["needed"] == after.panels["count"] - in_use
    # A third plan keeps what the second kept.
    third = grown(after, progress.with_done("snail", "mark"), *FIRST, *LATER, figure("dragonfly"))
    check_apart(third)
    for key in [*kept, ("snail", 1, 1)]:
        assert lying(third)[key][1:] == ("in use", new[key][2])
    assert "in use already" in "\n".join(pages(third.to_pdf()))


def test_the_rest_of_a_board_goes_before_a_new_one():
    before = asked(figure("heron")).plan()
    progress = sw.Progress().with_done("heron", *(step["step"] for step in before.remaining))
    small = figure("beetle", pitch="3/16 in")
    after = grown(before, progress, figure("heron"), small)
    assert after.panels["count"] == 1 and after.buying["panels"]["needed"] == 0
    assert lying(after)["beetle", 1, 1][:2] == (0, "in use")
    check_apart(after)
    # Without progress nothing is in use, and all may lie anew.
    anew = grown(before, sw.Progress(), figure("heron"), small)
    assert anew.buying["panels"]["needed"] == 1
    assert {origin for _, origin, _ in lying(anew).values()} == {"new"}


def test_off_cuts_at_hand_go_before_a_new_board():
    snail = figure("snail", pitch="1/8 in", copies=2)
    size = asked(snail).plan().figures["snail"].fit
    boards = asked(snail).plan().panels["count"]
    assert boards == 1
    turned = f"{size.height + sw.inches('1/2')} x {size.width + sw.inches('1/2')}"
    for sizes, needed, used in (
        ([turned], 1, 1),
        ([turned, turned], 0, 2),
        (["2 in x 2 in", turned, "12 in x 11 in"], 0, 2),
        (["1 in x 1 in"], 1, 0),
    ):
        planned = asked(snail, pack=sw.Pack(offcuts=sizes)).plan()
        check_apart(planned)
        assert planned.buying["panels"]["needed"] == needed == planned.panels["count"]
        origins = [panel.origin for panel in planned.nesting.panels]
        assert origins.count("off-cut") == used
        assert ("an off-cut" in "\n".join(pages(planned.to_pdf()))) == bool(used)
    # One that is in use already is not offered twice.
    progress = sw.Progress().with_done("snail", "mark")
    again = asked(
        snail,
        figure("beetle", pitch="1/8 in"),
        pack=sw.Pack(offcuts=[turned]),
        earlier=asked(snail, pack=sw.Pack(offcuts=[turned])).plan().after(progress),
    ).plan()
    assert [panel.origin for panel in again.nesting.panels].count("off-cut") == 1
    for bad in ("13 in x 2 in", "0 in x 2 in", "12 in", "two"):
        with pytest.raises((sw.ArgumentError, sw.SizeError), match=r"offcuts|panel"):
            asked(snail, pack=sw.Pack(offcuts=[bad])).plan()


def test_what_was_begun_and_is_gone_or_changed_still_takes_its_place(before):
    progress = sw.Progress().with_done("heron", "mark").with_done("beetle", "prime")
    # The heron is another picture now; the beetle's board is primed alone, so that it may be another too.
    changed = [FIRST[0], figure("dragonfly", name="heron"), figure("newt", name="beetle"), FIRST[3]]
    after = grown(before, progress, *changed)
    gone = [key for key in lying(after) if key[0] == "gone"]
    (heron,) = gone
    # What was done was done to other shapes: the boards that they take now are bought.
    assert after.progress == sw.Progress({"heron": [[]], "beetle": [[]]})
    new = sum(panel.origin == "new" for panel in after.nesting.panels)
    assert after.buying["panels"]["needed"] == new
    assert lying(after)[heron][1:] == ("in use", lying(before)["heron", 1, 1][2])
    old = pieces(before)[before.panels["shared"].index(("heron", 1, 1))]
    check_apart(after, [old])
    assert after.nesting.panels[lying(after)[heron][0]].origin == "in use"
    # It stays when the wall is planned once more, and the book names it.
    third = grown(after, after.progress, *changed, *LATER)
    check_apart(third, [old])
    assert "begun, and" in "\n".join(pages(third.to_pdf()))


def test_a_growing_wall_is_planned_the_same_each_time(before):
    progress = sw.Progress().with_done("heron", "mark")
    plans = [grown(before, progress, *FIRST, *LATER).to_json() for _ in range(2)]
    assert plans[0] == plans[1]
    read = sw.WallPlan.from_json(before.after(progress).to_json())
    assert asked(*FIRST, *LATER, earlier=read).plan().to_json() == plans[0]


def test_a_file_names_its_earlier_plan(tmp_path):
    for name in ("frog", "newt"):
        (tmp_path / f"{name}.png").write_bytes((POND / f"{name}.png").read_bytes())
    place = tmp_path / "pond.toml"
    text = 'panel = "12in x 12in"\n[wall]\n{}\n[pack]\noffcuts = ["5 in x 4 in"]\n'
    text += '[[figure]]\npicture = "frog.png"\n'
    place.write_text(text.format(""))
    first = sw.read_wall(place)
    assert first.pack.offcuts == ((sw.inches(5), sw.inches(4)),)
    first.plan().write(tmp_path / "out")
    sw.Progress().with_done("frog", "mark").write(tmp_path / "done.json")
    more = '[[figure]]\npicture = "newt.png"\npitch = "1/8 in"\n'
    place.write_text(text.format('earlier = "out/wall.json"\ndone = "done.json"') + more)
    second = sw.read_wall(place).plan()
    assert lying(second)["frog", 1, 1][1] == "in use"
    assert second.progress == sw.Progress({"frog": [["mark"]]})
    second.write(tmp_path / "out", overwrite=True)
    # The progress is in the plan as well.
    place.write_text(text.format('earlier = "out/wall.json"') + more)
    assert sw.read_wall(place).plan() == second
    for bad, words in (("none.json", "none.json"), ("pond.toml", "wall"), ("done.json", "wall")):
        place.write_text(text.format(f'earlier = "{bad}"'))
        with pytest.raises(sw.SettingsError, match=words) as caught:
            sw.read_wall(place)
        assert "line 3: " in caught.value.what


def test_a_figure_that_cannot_hang_is_reported_and_the_others_planned():
    frog = figure("frog", place=("94 in", "0 in"), pitch="1/4 in")
    over = figure("newt", place=("1 ft", "1 ft"))
    lily = figure("lily", place=("1 ft", "1 ft"), pitch="1/4 in")
    beetle = figure("beetle", pitch="1/8 in")
    planned = asked(frog, lily, over, beetle).plan()
    assert list(planned.figures) == ["lily", "beetle"] == [each["figure"] for each in planned.placing]
    assert [(fault["name"], fault["code"]) for fault in planned.faults] == [
        ("frog", "WALL-PLACE"),
        ("newt", "WALL-PLACE"),
    ]
    assert "goes beyond the wall" in planned.faults[0]["what"] and planned.faults[0]["hint"]
    assert "newt hangs over lily" in planned.faults[1]["what"]
    assert [plan._path.stem for plan in planned.figures.values()] == ["lily", "beetle"]
    # As many copies as there is room for.
    many = asked(figure("lily", pitch="1/2 in", copies=4), beetle, width="30 in", height="13 in").plan()
    assert many.copies == {"lily": 3} and len(many.placing) == 3
    assert [(fault["name"], fault["what"]) for fault in many.faults] == [
        (name, f"there is no room on the wall for {name}") for name in ("lily 4", "beetle")
    ]
    with pytest.raises(sw.SquarewrightError, match="WALL-PLACE"):
        asked(frog).plan()


def test_what_hangs_already_is_never_in_the_way_of_what_does_not():
    beetle = figure("beetle", pitch="1/8 in")
    before = asked(beetle).plan()
    at = before.placing[0]
    progress = sw.Progress().with_done("beetle", "hang")
    after = grown(before, progress, figure("lily", place=(at["x"], at["y"]), pitch="1/4 in"), beetle)
    assert [fault["name"] for fault in after.faults] == ["lily"]
    assert (after.placing[0]["x"], after.placing[0]["y"]) == (at["x"], at["y"])


def test_a_figure_of_another_size_is_named_with_its_error(tmp_path, capsys):
    one = asked(figure("lily"), figure("newt"), figure("frog", width="6 in"), one_pitch=True).plan()
    common = one.figures["lily"].fit.pitch
    own = one.figures["frog"].fit.pitch
    (odd,) = one.odd_sizes
    assert (odd["figure"], odd["pitch"], odd["common"]) == ("frog", own, common) and own != common
    assert odd["error"] == pytest.approx(float(own.inches / common.inches) - 1, rel=1e-12)
    side = "larger" if odd["error"] > 0 else "smaller"
    assert f"{abs(odd['error']) * 100:.0f} % {side}" in " ".join(pages(one.to_pdf())[0].split())
    assert asked(figure("lily"), figure("frog", width="6 in")).plan().odd_sizes == []
    assert asked(figure("lily"), figure("newt"), one_pitch=True).plan().odd_sizes == []
    # One pitch at the top is that of the wall.
    settings = dataclasses.replace(wall().settings, pitch="1/4 in")
    all_alike = asked(
        figure("lily"), figure("frog", pitch="3/8 in"), one_pitch=True, settings=settings
    ).plan()
    assert [odd["error"] for odd in all_alike.odd_sizes] == [pytest.approx(0.5)]
    for name in ("lily", "frog"):
        (tmp_path / f"{name}.png").write_bytes((POND / f"{name}.png").read_bytes())
    (tmp_path / "pond.toml").write_text(
        'panel = "12in x 12in"\npitch = "1/4 in"\n[wall]\none_pitch = true\n'
        '[[figure]]\npicture = "lily.png"\n[[figure]]\npicture = "frog.png"\npitch = "3/8 in"\n'
    )
    assert main(["wall", str(tmp_path / "pond.toml"), "--out", str(tmp_path / "out"), "--dry-run"]) == 0
    assert "frog breaks the rule of one pitch: its cells of 3/8 in are 50 % larger" in capsys.readouterr().err
