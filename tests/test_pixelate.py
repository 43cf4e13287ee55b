import copy
import inspect
import pickle
import time
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"


@pytest.fixture(scope="module")
def scene():
    """A slope with a disc, a small orange square and grain, uint8 of shape (180, 240, 3)."""
    rows, columns = np.mgrid[:180, :240].astype(float)
    light = 90 + columns / 3 + np.random.default_rng(5).normal(0, 6, (180, 240))
    pixels = np.stack([light, light, light - 30], axis=2)
    pixels[(rows - 90) ** 2 + (columns - 80) ** 2 < 45**2] = (40, 90, 70)
    pixels[40:56, 180:196] = (250, 120, 0)
    return pixels.round().clip(0, 255).astype(np.uint8)


def specks(grid):
    """Count cells that have no neighbour of their own colour."""
    framed = np.pad(grid.cells, 1, constant_values=-1)
    inner = framed[1:-1, 1:-1]
    beside = (framed[:-2, 1:-1], framed[2:, 1:-1], framed[1:-1, :-2], framed[1:-1, 2:])
    return int(((inner >= 0) & ~np.any([inner == other for other in beside], axis=0)).sum())


def test_the_face_is_the_one_that_is_documented():
    shown = str(inspect.signature(sw.pixelate))
    assert shown == (
        "(picture, *, columns=None, rows=None, colours=12, brushwork='easy', palette=None, candidates=None, "
        "figure='whole', crop=None, smallest_patch=None, calm=None, seed=0, progress=None)"
    )
    for name in inspect.signature(sw.pixelate).parameters:
        assert name in sw.pixelate.__doc__


def test_every_way_to_give_a_picture_gives_the_same_grid(scene, tmp_path):
    expected = sw.pixelate(scene, columns=40)
    assert (expected.rows, expected.columns) == (30, 40)
    path = tmp_path / "scene.png"
    Image.fromarray(scene).save(path)
    opaque = np.dstack([scene, np.full(scene.shape[:2], 255, np.uint8)])
    for source in [
        path,
        path.read_bytes(),
        Image.fromarray(scene),
        opaque,
        scene[::-1][::-1],
        np.asfortranarray(scene),
    ]:
        assert sw.pixelate(source, columns=40) == expected


def test_brushwork_decides_how_many_areas_there_are(scene):
    grids = {
        brush: sw.pixelate(scene, columns=60, brushwork=brush) for brush in ("every cell", "easy", "broad")
    }
    assert specks(grids["every cell"]) > 0
    assert specks(grids["easy"]) == specks(grids["broad"]) == 0
    borders = {brush: int((np.diff(grid.cells) != 0).sum()) for brush, grid in grids.items()}
    assert borders["every cell"] > borders["easy"] >= borders["broad"]
    for grid in grids.values():
        assert len(grid.palette) <= 12 and grid.counts.min() > 0
        orange = np.abs(grid.palette.astype(int) - (250, 120, 0)).max(axis=1).min()
        assert orange < 20


def test_the_same_seed_gives_the_same_grid_and_another_may_not(scene):
    assert sw.pixelate(scene, columns=50, seed=3) == sw.pixelate(scene, columns=50, seed=3)
    assert any(
        sw.pixelate(scene, columns=50, seed=seed) != sw.pixelate(scene, columns=50) for seed in range(1, 9)
    )


def test_a_picture_of_fewer_colours_gives_fewer():
    two = np.zeros((20, 20, 3), np.uint8)
    two[:, 10:] = (250, 200, 10)
    grid = sw.pixelate(two, columns=10, colours=12)
    assert grid.palette.tolist() == [[250, 200, 10], [0, 0, 0]]
    assert grid.counts.tolist() == [50, 50]


def test_the_palette_or_the_candidates_are_kept_to(scene):
    mine = ["#ffffff", "#000000", "#fa7800", "#285a46", "#808060"]
    known = {tuple(bytes.fromhex(colour[1:])) for colour in mine}
    for settings in ({"palette": mine}, {"candidates": mine, "colours": 3}):
        grid = sw.pixelate(scene, columns=40, **settings)
        assert {tuple(colour) for colour in grid.palette.tolist()} <= known
        assert len(grid.palette) <= settings.get("colours", 5)


def test_what_is_see_through_stays_bare():
    pixels = sw.read_picture(POND / "heron-x12.png")
    for brush in ("every cell", "easy", "broad"):
        grid = sw.pixelate(pixels, columns=40, rows=60, brushwork=brush)
        assert np.array_equal(grid.cells >= 0, pixels[6::12, 6::12, 3] > 0)


def test_a_mask_or_the_search_leaves_the_ground_bare():
    rows, columns = np.mgrid[:200, :200]
    disc = (rows - 100) ** 2 + (columns - 100) ** 2 < 70**2
    pixels = np.full((200, 200, 3), 225, np.uint8)
    pixels[disc] = (60, 110, 60)
    inside = disc.reshape(40, 5, 40, 5).mean(axis=(1, 3)) >= 0.5
    masks = [disc, disc.astype(np.uint8), disc.astype(np.uint8) * 255]
    for mask in masks:
        assert np.array_equal(sw.pixelate(pixels, columns=40, figure=mask).cells >= 0, inside)
    found = sw.pixelate(pixels, columns=40, figure="find")
    assert (found.cells >= 0).sum() == pytest.approx(inside.sum(), rel=0.02)
    assert found.palette.tolist() == [[60, 110, 60]]
    strokes = np.full((200, 200), 128, np.uint8)
    strokes[95:105, 60:140], strokes[5:10, 20:180] = 255, 0
    assert np.array_equal(sw.pixelate(pixels, columns=40, figure=strokes).cells, found.cells)


def test_a_part_of_the_picture_can_be_used(scene):
    part = sw.pixelate(scene, columns=20, crop=(35, 45, 125, 135))
    assert part == sw.pixelate(scene[45:135, 35:125], columns=20)
    square = sw.pixelate(scene, columns=30, rows=30)
    assert square == sw.pixelate(scene[:, 30:210], columns=30)


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"colours": 1}, "COLOURS-RANGE"),
        ({"colours": 65}, "COLOURS-RANGE"),
        ({"colours": "twelve"}, "COLOURS-RANGE"),
        ({"colours": 12.5}, "COLOURS-RANGE"),
        ({"columns": None}, "VALUE-BAD"),
        ({"columns": 0}, "VALUE-BAD"),
        ({"columns": -4}, "VALUE-BAD"),
        ({"columns": 513}, "VALUE-BAD"),
        ({"columns": "8"}, "VALUE-BAD"),
        ({"columns": 241}, "PIC-TOO-SMALL"),
        ({"brushwork": "soft"}, "VALUE-BAD"),
        ({"figure": "bird"}, "VALUE-BAD"),
        ({"figure": np.ones((180, 240))}, "VALUE-BAD"),
        ({"figure": np.ones((240, 180), bool)}, "VALUE-BAD"),
        ({"figure": np.zeros((180, 240), bool)}, "VALUE-BAD"),
        ({"crop": (0, 0, 241, 9)}, "VALUE-BAD"),
        ({"crop": (9, 0, 9, 9)}, "VALUE-BAD"),
        ({"crop": "all"}, "VALUE-BAD"),
        ({"smallest_patch": 0}, "VALUE-BAD"),
        ({"calm": -1}, "VALUE-BAD"),
        ({"calm": "very"}, "VALUE-BAD"),
        ({"seed": -1}, "VALUE-BAD"),
        ({"palette": ["white"]}, "COLOUR-BAD"),
        ({"palette": ["#fff"], "candidates": ["#000"]}, "VALUE-BAD"),
        ({"candidates": "#fff"}, "COLOUR-BAD"),
    ],
)
def test_a_bad_setting_is_refused_by_its_code(scene, settings, code):
    with pytest.raises(sw.SquarewrightError) as caught:
        sw.pixelate(scene, **{"columns": 24} | settings)
    assert caught.value.code == code
    assert caught.value.hint


@pytest.mark.parametrize(
    ("shape", "code"),
    [
        ((1, 1, 3), "PIC-TOO-SMALL"),
        ((1, 32768, 3), "PIC-SHAPE"),
        ((0, 4, 3), "PIC-EMPTY"),
        ((40, 40, 4), "PIC-BLANK"),
    ],
)
def test_a_picture_that_gives_no_cells_is_refused_by_its_code(shape, code):
    with pytest.raises(sw.PictureError) as caught:
        sw.pixelate(np.zeros(shape, np.uint8), columns=24)
    assert caught.value.code == code


def test_a_file_is_named_in_what_is_wrong_with_it(tmp_path):
    path = tmp_path / "dot.png"
    Image.new("RGB", (2, 2)).save(path)
    with pytest.raises(
        sw.PictureError, match=r"PIC-TOO-SMALL: dot\.png has 2 × 2 pixels, too few for 9 × 9 cells"
    ):
        sw.pixelate(path, columns=9)


def test_a_picture_of_one_pixel_or_one_row_makes_a_grid():
    assert sw.pixelate(np.full((1, 1, 3), 7, np.uint8), columns=1).palette.tolist() == [[7, 7, 7]]
    row = np.arange(0, 250, 10, dtype=np.uint8)[None, :, None].repeat(3, axis=2)
    assert sw.pixelate(row, columns=25).rows == 1
    assert sw.pixelate(row.transpose(1, 0, 2), rows=25).columns == 1


@pytest.mark.parametrize("brush", ["every cell", "easy", "broad"])
def test_the_largest_grid_of_noise_is_done_within_two_seconds(brush):
    noise = np.random.default_rng(1).integers(0, 255, (512, 512, 3), np.uint8, endpoint=True)
    start = time.process_time()
    grid = sw.pixelate(noise, columns=512, brushwork=brush)
    assert time.process_time() - start < 2.0
    assert len(grid.palette) <= 12 and (brush == "every cell" or specks(grid) == 0)


def test_progress_is_told_and_may_stop_the_work(scene):
    told = []
    sw.pixelate(scene, columns=40, progress=told.append)
    assert told[-1] == 1.0 and told == sorted(told)

    def stop(done):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        sw.pixelate(scene, columns=40, progress=stop)


def test_what_came_out_otherwise_than_asked_is_told():
    flat = np.full((40, 60, 3), 200, np.uint8)
    grid = sw.pixelate(flat, columns=10, rows=10, figure="find")
    assert grid.warnings == [
        "no figure stands out from the ground, so all of it is painted; give a mask to say what is",
        "only the middle of the picture is used, 40 × 40 pixels, for the shape of the grid",
        "1 of 12 colours are used: the others would paint no cell",
    ]
    assert grid.mirrored().padded(left=1).warnings == grid.warnings
    assert grid.joined(grid).warnings == grid.warnings
    assert sw.Grid([[0]], ["#fff"]).warnings == []


def test_the_warnings_of_a_file_stay_with_the_grid_and_are_no_part_of_it(scene, tmp_path):
    path = tmp_path / "cut.png"
    Image.fromarray(scene).save(path)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    from squarewright import pictures

    picture = pictures.load(path, allow_damaged=True)
    assert picture.warnings
    grid = sw.pixelate(picture, columns=30)
    assert grid.warnings[: len(picture.warnings)] == picture.warnings
    bare = sw.Grid(grid.cells, grid.palette)
    assert bare == grid and hash(bare) == hash(grid) and bare.warnings == []
    for same in (copy.copy(grid), copy.deepcopy(grid), pickle.loads(pickle.dumps(grid))):
        assert same == grid and same.warnings == grid.warnings
    assert sw.plan(grid, panel=sw.Panel("12 in", "12 in")).warnings[: len(grid.warnings)] == grid.warnings


@pytest.mark.parametrize("door", ["pixelated", "recovered"])
def test_a_plan_never_replaces_the_picture_that_its_grid_came_from(door, tmp_path):
    path = tmp_path / "preview.png"
    path.write_bytes((POND / "heron-x12.png").read_bytes())
    grid = sw.pixelate(path, columns=40) if door == "pixelated" else sw.recover(path).grid
    for edited in (grid, pickle.loads(pickle.dumps(grid.mirrored().padded(top=1)))):
        plan = sw.plan(edited, panel=sw.Panel("12 in", "12 in"))
        for each in (plan, sw.plan(plan.grid, panel=sw.Panel("12 in", "12 in"))):
            with pytest.raises(sw.OutputError) as caught:
                each.write(tmp_path, overwrite=True)
            assert caught.value.code == "OUT-SAME"


def test_the_plan_says_by_which_door_its_grid_came_in(scene):
    panel = sw.Panel("12 in", "12 in")
    grid = sw.pixelate(scene, columns=20)
    for each in (grid, grid.mirrored(), sw.plan(grid, panel=panel).grid):
        plan = sw.plan(each, panel=panel)
        assert '"door": "pixelated"' in plan.to_json()
        assert sw.Plan.from_json(plan.to_json()).confidence is None
    assert '"door": "given"' in sw.plan(sw.Grid(grid.cells, grid.palette), panel=panel).to_json()


def test_edits_give_new_grids_with_right_counts():
    grid = sw.Grid([[0, 0, 0], [0, 1, 0], [2, 2, -1]], ["#f0f0f0", "#141414", "#ebeef0"])
    assert grid.merged(5.0, locked=[2]).palette[0].tolist() == [0xEB, 0xEE, 0xF0]
    assert grid.painted([(0, 0), (0, 1)], "#ff0000").counts.tolist() == [3, 1, 2, 2]
    assert grid.painted([(1, 1)], None).counts.tolist() == [5, 0, 2]
    assert grid.absorbed(2).counts.tolist() == [5, 1, 2]
    assert grid.absorbed(2, accents=True).counts.tolist() == [6, 0, 2]
    assert np.array_equal(grid.mirrored().cells, grid.cells[:, ::-1])
    for turns in range(-3, 5):
        assert np.array_equal(grid.rotated(turns).cells, np.rot90(grid.cells, -turns))
    assert np.array_equal(grid.cropped((1, 3), (0, 2)).cells, grid.cells[1:3, :2])
    assert np.array_equal(
        grid.padded(left=1, bottom=2).cells, np.pad(grid.cells, ((0, 2), (1, 0)), constant_values=-1)
    )
    both = grid.joined(grid.mirrored(), "right", gap=1)
    assert (both.rows, both.columns) == (3, 7) and both.counts.tolist() == [10, 2, 4]
    assert grid.joined(grid, "below").rows == 6
    assert grid.counts.tolist() == [5, 1, 2]


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (lambda grid: grid.merged(1.0, locked=[9]), "VALUE-BAD"),
        (lambda grid: grid.merged(1.0, locked="a"), "VALUE-BAD"),
        (lambda grid: grid.painted([(2, 0)], "#fff"), "VALUE-BAD"),
        (lambda grid: grid.painted(7, "#fff"), "VALUE-BAD"),
        (lambda grid: grid.painted([(0, 0)], "cork"), "COLOUR-BAD"),
        (lambda grid: grid.painted([(0, 0), (0, 1)], None), "GRID-BAD"),
        (lambda grid: grid.absorbed(0), "VALUE-BAD"),
        (lambda grid: grid.absorbed(-2), "VALUE-BAD"),
        (lambda grid: grid.cropped((0, 9), (0, 1)), "VALUE-BAD"),
        (lambda grid: grid.cropped(0, 1), "VALUE-BAD"),
        (lambda grid: grid.padded(left=-1), "VALUE-BAD"),
        (lambda grid: grid.padded(top=512), "GRID-BAD"),
        (lambda grid: grid.joined(grid, "above"), "VALUE-BAD"),
        (lambda grid: grid.joined(grid, gap=-1), "VALUE-BAD"),
        (lambda grid: grid.joined(grid, gap=511), "GRID-BAD"),
    ],
)
def test_a_bad_edit_is_refused_by_its_code(edit, code):
    with pytest.raises(sw.SquarewrightError) as caught:
        edit(sw.Grid([[0, 1]], ["#000", "#fff"]))
    assert caught.value.code == code
