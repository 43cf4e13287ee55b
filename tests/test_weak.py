"""Weak spots and remedies, held against scipy.ndimage, scikit-image and shapely."""

import io
import pickle
import time
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
import shapely
from scipy import ndimage
from skimage import measure

import squarewright as sw
from squarewright.command import main

POND = Path(__file__).parent.parent / "examples" / "pond"
INK = ["#204060", "#f0e0b0"]
CROSS = ndimage.generate_binary_structure(2, 1)
SQUARE = ndimage.generate_binary_structure(2, 2)
DUMBBELL = "###...### ###...### ######### ###...### ###...###"


def grid_of(mask):
    return sw.Grid(np.where(mask, 0, -1), INK)


def drawn(rows):
    return grid_of(np.array([[cell == "#" for cell in row] for row in rows.split()]))


def masks(count, seed, most=10):
    chance = np.random.default_rng(seed)
    while count:
        mask = chance.random(chance.integers(1, most, 2)) < chance.uniform(0.2, 0.9)
        if mask.any():
            count -= 1
            yield mask


def spots_of(grid, pitch="3/16 in", **settings):
    return sw.weak_spots(grid, pitch=pitch, **settings)


def test_corner_joints_and_islands_are_those_of_the_libraries_on_20_000_masks():
    # The count of corner joints is the difference of the Euler numbers of the two connectivities (bit quads,
    # Gray 1971, from memory).
    for mask in masks(20_000, 7):
        spots = spots_of(grid_of(mask))
        padded = np.pad(mask, 1).astype(np.uint8)
        joints = measure.euler_number(padded, 1) - measure.euler_number(padded, 2)
        assert len(spots.corner_joints) == joints
        labels, count = ndimage.label(mask, CROSS)
        assert max(len(spots.islands), 1) == count
        found = {frozenset(island.cells) for island in spots.islands}
        wanted = {frozenset(zip(*np.nonzero(labels == label), strict=True)) for label in range(1, count + 1)}
        assert count == 1 or found == wanted


def test_slots_and_pinholes_are_what_an_opening_leaves_of_the_waste():
    for mask in masks(1_500, 8, most=14):
        spots = spots_of(
            grid_of(mask), pitch="3/32 in", thickness="1/32 in", slot="9/32 in", pinhole="3/16 in"
        )
        bare = ~np.pad(mask, 4)
        thin = (bare & ~ndimage.binary_opening(bare, np.ones((3, 3))))[4:-4, 4:-4]
        holes, count = ndimage.label(bare, SQUARE)
        inner = [holes == label for label in range(1, count + 1) if label != holes[0, 0]]
        small = [
            hole[4:-4, 4:-4] for hole in inner if not ndimage.binary_opening(hole, np.ones((2, 2))).any()
        ]
        for hole in small:
            thin &= ~hole
        cells = lambda found: sorted(cell for spot in found for cell in spot.cells)  # noqa: E731
        assert cells(spots.slots) == sorted(zip(*np.nonzero(thin), strict=True))
        assert cells(spots.pinholes) == sorted(
            cell for hole in small for cell in zip(*np.nonzero(hole), strict=True)
        )
        assert len(spots.pinholes) == len(small)


def test_necks_of_one_cell_are_what_an_opening_leaves_of_the_figure():
    whole = {"slender": 0, "severe_width": "12 in"}
    for mask in masks(1_500, 9, most=14):
        thin = mask & ~ndimage.binary_opening(mask, np.ones((2, 2)))
        necks = [neck for neck in spots_of(grid_of(mask), **whole).necks if neck.width_cells == 1]
        cells = {cell for neck in necks for cell in neck.cells}
        # Where two bodies touch without anything between them the neck is of their own cells.
        assert cells >= set(zip(*np.nonzero(thin), strict=True))


def test_a_neck_that_is_cut_leaves_the_part_beyond_it():
    neck = spots_of(drawn(DUMBBELL)).necks[0]
    assert (neck.kind, neck.severity, neck.width_cells, neck.beyond, neck.joins) == (
        "neck",
        "severe",
        1,
        15,
        2,
    )
    assert neck.cells == [(2, 3), (2, 4), (2, 5)] and str(neck.width) == "3/16 in"
    boxes = shapely.box(0, 0, 0, 0)
    for row, line in enumerate(DUMBBELL.split()):
        for column, cell in enumerate(line):
            if cell == "#" and (row, column) not in neck.cells:
                boxes = boxes.union(shapely.box(column, row, column + 1, row + 1))
    assert sorted(part.area for part in boxes.geoms) == [15, 15]
    assert neck.sentence == "Thin: 1 cell (3/16 in) wide. It may snap, and 15 cells would come off."
    assert neck.place == "row 3, columns 4 to 6"


def test_the_rings_of_the_silhouette_enclose_the_figure_once():
    for mask in masks(300, 10):
        spots = spots_of(grid_of(mask))
        boxes = [shapely.box(c, r, c + 1, r + 1) for r, c in zip(*np.nonzero(mask), strict=True)]
        union = shapely.union_all(boxes)
        parts = shapely.get_parts(union)
        # shapely joins no two polygons at a corner, nor do we.
        assert len(parts) == max(len(spots.islands), 1)
        assert sorted(len(island.cells) for island in spots.islands) in (
            [],
            sorted(round(part.area) for part in parts),
        )


def test_the_remedies_of_random_figures_mend_them_and_change_the_listed_cells_alone():
    for mask in masks(400, 11, most=16):
        if min(mask.shape) < 2:
            continue
        grid = grid_of(mask)
        done = sw.strengthened(grid, pitch="3/16 in")
        after = done.grid.cells >= 0
        padded = np.pad(after, 1).astype(np.uint8)
        assert measure.euler_number(padded, 1) == measure.euler_number(padded, 2)
        assert ndimage.label(after, CROSS)[1] == 1
        assert done.holds_together and all(neck.severity != "severe" for neck in done.after.necks)
        differ = sorted(zip(*np.nonzero(done.grid.cells != grid.cells), strict=True))
        assert done.cells == differ == sorted(cell for remedy in done.remedies for cell in remedy.cells)
        assert done.before == spots_of(grid) and done.after == spots_of(done.grid)


def test_chosen_remedies_alone_are_carried_out():
    grid = drawn("##.. ##.. ..## ..##")
    spots = spots_of(grid)
    first = spots.remedies()[0]
    assert (first.kind, first.recommended, len(first.cells), first.spot) == (
        "fill a corner",
        True,
        1,
        spots.corner_joints[0],
    )
    done = sw.strengthened(grid, [first], pitch="3/16 in")
    assert done.cells == first.cells and done.remedies == [first]
    assert not done.after.corner_joints and not done.after.islands and not done.holds_together
    border = next(remedy for remedy in spots.remedies(colour="#ff0000") if remedy.kind == "border")
    assert not border.recommended and border.spot is None and border.colour == "#ff0000"
    around = sw.strengthened(grid, [border], pitch="3/16 in")
    wide = ndimage.binary_dilation(grid.cells >= 0, SQUARE)
    assert ((around.grid.cells >= 0) == wide).all() and around.holds_together
    assert sw.strengthened(grid, [], pitch="3/16 in").cells == []


@pytest.mark.parametrize(
    ("rows", "joints", "parts", "holes"),
    [
        (DUMBBELL, 0, 1, 0),
        ("###... ###... ###### ...### ...### ...###", 0, 1, 0),
        ("##.. ##.. ..## ..##", 1, 2, 0),
        ("#.#.#.#. .#.#.#.# #.#.#.#. .#.#.#.# #.#.#.#. .#.#.#.# #.#.#.#. .#.#.#.#", 49, 32, 0),
        (".#. #.# .#.", 4, 4, 0),
        ("##### #...# #...# #...# #####", 0, 1, 1),
        ("##.## ##.## ..... #####", 0, 3, 0),
    ],
)
def test_small_figures_have_the_counted_corner_joints_parts_and_holes(rows, joints, parts, holes):
    grid = drawn(rows)
    spots = spots_of(grid, pinhole="36 in")
    assert (len(spots.corner_joints), max(len(spots.islands), 1)) == (joints, parts)
    # Holes hang together over corners, so those between corner joints are none.
    assert len(spots.pinholes) == holes
    assert measure.euler_number(np.pad(grid.cells >= 0, 1), 1) == parts - holes


def test_a_bridge_between_two_parts_is_a_shortest_one():
    seen = 0
    for mask in masks(3_000, 12, most=14):
        labels, count = ndimage.label(mask, CROSS)
        spots = spots_of(grid_of(mask))
        if count != 2 or spots.corner_joints:
            continue
        one, other = (np.argwhere(labels == label) for label in (1, 2))
        gap = np.abs(one[:, None] - other[None]).sum(axis=2).min() - 1
        (bridge,) = (remedy for remedy in spots.remedies() if remedy.kind == "bridge")
        assert len(bridge.cells) == gap
        seen += 1
    assert seen > 50


def test_two_parts_are_joined_by_the_shortest_way_and_crumbs_go():
    grid = drawn("##......## ##......## .......... ##......##")
    bridges = [
        remedy for remedy in spots_of(grid).remedies() if remedy.kind == "bridge" and remedy.recommended
    ]
    assert [len(bridge.cells) for bridge in bridges].count(1) == 2
    assert sorted(len(bridge.cells) for bridge in bridges) == [1, 1, 6]
    crumb = drawn("###....... ###....... ###......#")
    first, *others = spots_of(crumb).remedies()
    assert (first.kind, first.cells, first.colour) == ("drop a crumb", [(2, 9)], None)
    assert (others[0].kind, len(others[0].cells)) == ("bridge", 6)


def test_the_outline_colour_fills_and_without_an_outline_what_lies_around_does():
    outlined = sw.Grid([[0, 0, -1], [0, -1, 0], [0, 0, 0]], INK)
    assert spots_of(outlined).remedies()[0].colour == INK[0]
    halves = sw.Grid([[0, -1, -1, 1], [0, 0, 1, 1], [-1, 0, 1, -1], [0, -1, -1, 1]], INK)
    left, right = (remedy for remedy in spots_of(halves).remedies() if remedy.kind == "fill a corner")
    assert {left.colour, right.colour} == set(INK)


def test_what_cannot_be_mended_says_so():
    done = sw.strengthened(drawn("########"), pitch="3/16 in")
    assert not done.holds_together and "still weak" in repr(done)
    roomy = sw.strengthened(drawn("########").padded(top=1), pitch="3/16 in")
    assert roomy.holds_together and len(roomy.cells) == 8


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"pitch": "0 in"}, "SIZE-BAD"),
        ({"pitch": 3}, "SIZE-BAD"),
        ({"pitch": "1 in", "thickness": "-1 mm"}, "SIZE-BAD"),
        ({"pitch": "1 in", "slender": -1}, "VALUE-BAD"),
    ],
)
def test_bad_thresholds_are_refused(settings, code):
    for call in (sw.weak_spots, sw.strengthened):
        with pytest.raises(sw.SquarewrightError) as caught:
            call(drawn("##"), **settings)
        assert caught.value.code == code


def test_bad_choices_are_refused():
    grid = drawn("##.. ..##")
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.strengthened(grid, "some", pitch="1 in")
    elsewhere = spots_of(drawn("....... .....#. ......#")).remedies()[0]
    with pytest.raises(sw.ArgumentError, match="remedies must be for a grid of 2 rows"):
        sw.strengthened(grid, [elsewhere], pitch="1 in")


def test_values_are_told_in_one_line_and_survive_pickling():
    spots = spots_of(drawn(DUMBBELL))
    assert repr(spots) == "WeakSpots(0 corner joints, 0 islands, 1 neck (1 severe), 0 slots, 0 pinholes)"
    assert repr(spots.necks[0]) == "WeakSpot(neck, row 3, columns 4 to 6, severe)"
    values = [spots, spots.necks[0], *spots.remedies()]
    assert pickle.loads(pickle.dumps(values)) == values
    assert spots.weak_parts == [spots.necks[0].cells] and len(spots) == 1
    assert spots.to_png().startswith(b"\x89PNG")


def test_a_figure_takes_milliseconds_and_noise_a_bounded_time():
    heron = sw.recover(POND / "heron.png").grid
    times = []
    for _ in range(5):
        start = time.perf_counter()
        spots_of(heron)
        times.append(time.perf_counter() - start)
    assert min(times) < 0.02
    noise = grid_of(np.random.default_rng(3).random((512, 512)) < 0.5)
    start = time.perf_counter()
    done = sw.strengthened(noise, pitch="3/16 in")
    assert done.holds_together and time.perf_counter() - start < 20


def page_texts(plan, paper="letter"):
    with pdfplumber.open(io.BytesIO(plan.to_pdf(paper))) as book:
        texts = [page.extract_text() for page in book.pages]
    return [text for text in texts if text.startswith("Weak spots")]


def test_the_book_shows_each_spot_with_what_helps():
    plan = sw.plan(POND / "newt.png", panel=sw.Panel("12 in", "12 in"))
    text = "\n".join(page_texts(plan)).replace("\n", " ")
    for spot in plan.weak_spots.corner_joints:
        assert f"At {spot.place} (severe)" in text and spot.sentence in text
    for remedy in plan.weak_spots.remedies():
        assert remedy.sentence in text or not remedy.recommended
    assert "ask for help where you are unsure" in text
    assert "the card is what holds these places" in text
    bare = sw.plan(plan.grid, panel=sw.Panel("12 in", "12 in"), backing=False)
    assert "No card will hold these places" in page_texts(bare)[0].replace("\n", " ")
    assert page_texts(plan.strengthened()) == []
    assert page_texts(sw.plan(plan.grid, panel=sw.Panel("12 in", "12 in"), ending="whole square")) == []


def test_the_book_shows_the_worst_dozen_and_counts_the_rest():
    mask = np.indices((9, 9)).sum(axis=0) % 2 == 0
    plan = sw.plan(grid_of(mask), panel=sw.Panel("12 in", "12 in"))
    text = "\n".join(page_texts(plan, "a4")).replace("\n", " ")
    assert "12. At" in text and "13. At" not in text
    assert "more weak spots" in text and "Paint a border one cell wide" in text


def test_a_plan_keeps_its_weak_spots_and_mends_them_in_place():
    plan = sw.plan(POND / "newt.png", panel=sw.Panel("12 in", "12 in", thickness="1/2 in"))
    again = sw.Plan.from_json(plan.to_json())
    assert again.weak_spots == plan.weak_spots and '"corner-joint"' in plan.to_json()
    better = plan.strengthened()
    assert better.weak_spots.holds_together and better.fit == plan.fit and better.recovery is not None


def test_the_command_counts_weak_spots_and_strengthens(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    newt = ["plan", str(POND / "newt.png"), "--panel", "12in x 12in", "--dry-run"]
    assert main(newt) == 0
    assert "Weak spots: 2 corner joints, 2 loose parts. The book shows" in capsys.readouterr().out
    assert main([*newt, "--strengthen"]) == 0
    told = capsys.readouterr().out
    assert "Strengthened: 2 cells were changed." in told and "Weak spots" not in told
    assert "Recovered 14 rows" in told
