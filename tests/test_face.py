import pickle
import subprocess
import sys
import textwrap
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = ["lily", "frog", "newt", "dragonfly", "bulrush", "kingfisher", "moorhen", "heron", "otter"]
FOOT = sw.Panel("12 in", "12 in")


def solid(rows, columns):
    return sw.Grid(np.zeros((rows, columns), np.int64), ["#336699"])


@pytest.mark.parametrize("text", ["3/16 in", "0.1875 in", "4.7625 mm", "3/16″"])
def test_one_length_is_one_length_however_it_is_written(text):
    assert sw.Length(text) == sw.inches("3/16") == sw.inches(0.1875) == sw.inches(Fraction(3, 16))
    assert hash(sw.Length(text)) == hash(sw.inches("3/16"))


def test_lengths_are_reckoned_exactly():
    cell = sw.inches("3/16")
    assert str(cell * 4) == "3/4 in"
    assert sw.inches(12) / cell == 64
    assert (sw.inches(12) / 44 * 44) == sw.inches(12)
    assert sw.mm(8) - sw.mm(10) < sw.Length("0 in") < cell + sw.mm(0.1)
    assert cell.inches == Fraction(3, 16)
    assert sw.inches(1).mm == Fraction(127, 5)
    assert repr(cell) == "Length('3/16 in')"
    assert eval(repr(cell), {"Length": sw.Length}) == cell


def test_a_length_divided_by_zero_says_so():
    with pytest.raises(ZeroDivisionError):
        sw.mm(1) / 0
    with pytest.raises(ZeroDivisionError):
        sw.mm(1) / sw.mm(0)


@pytest.mark.parametrize("value", [12, 12.5, "12", "", "in", "3/0 in", "-", None, b"1 in", True])
def test_what_is_no_length_is_refused_with_the_allowed_forms(value):
    with pytest.raises(sw.SizeError, match=r'^SIZE-BAD: .*"3/16 in"') as caught:
        sw.Panel(value, "12 in")
    assert caught.value.code == "SIZE-BAD"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "x", "1e3", None, True, 10**30, "1 in"])
def test_what_is_no_number_of_inches_is_refused(value):
    with pytest.raises(sw.SizeError, match="SIZE-BAD"):
        sw.inches(value)


@pytest.mark.parametrize(
    ("rows", "columns", "pitch"), [(12, 12, "1 in"), (16, 16, "3/4 in"), (60, 33, "3/16 in")]
)
def test_a_foot_square_takes_the_largest_cell_of_a_scale_ruler(rows, columns, pitch):
    found = sw.fit(solid(rows, columns), FOOT, ruler="scale ruler")
    assert found.pitch == sw.Length(pitch)
    assert (found.across, found.down) == (1, 1)


def test_a_short_foot_holds_63_cells_of_three_sixteenths_and_not_64():
    short = sw.Panel("11 15/16 in", "11 15/16 in")
    assert sw.fit(solid(63, 63), short, pitch="3/16 in").columns == 63
    with pytest.raises(sw.SizeError, match="SIZE-FIT"):
        sw.fit(solid(64, 64), short, pitch="3/16 in", across=1, down=1)


def test_marks_stay_within_half_a_line_of_the_ruler():
    found = sw.fit(solid(44, 44), FOOT, width="12 in")
    assert [mark.index for mark in found.column_marks] == list(range(45))
    assert all(abs(mark.error) <= sw.inches("1/32") for mark in found.column_marks + found.row_marks)
    assert all(mark.rounded - mark.position == mark.error for mark in found.column_marks)


def test_a_wide_figure_is_shared_by_two_panels():
    found = sw.fit(solid(30, 96), FOOT, pitch=sw.inches("3/16"))
    assert (found.across, found.down) == (2, 1)
    assert [piece.columns for piece in found.panels] == [(0, 48), (48, 96)]
    assert found.panels[1].left == sw.inches(0)


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"pitch": "1/4 in", "width": "3 in"}, "VALUE-BAD"),
        ({"pitches": "all"}, "VALUE-BAD"),
        ({"pitches": []}, "VALUE-BAD"),
        ({"across": -1}, "VALUE-BAD"),
        ({"across": 0}, "VALUE-BAD"),
        ({"ruler": "3 in"}, "VALUE-BAD"),
        ({"pitch": "0 in"}, "SIZE-BAD"),
        ({"margin": "-1 in"}, "SIZE-BAD"),
        ({"pitch": 0.25}, "SIZE-BAD"),
        ({"margin": "6 in"}, "SIZE-FIT"),
    ],
)
def test_a_bad_setting_of_a_fit_is_refused_by_its_code(settings, code):
    with pytest.raises(sw.SquarewrightError) as caught:
        sw.fit(solid(4, 4), FOOT, **settings)
    assert caught.value.code == code


def test_a_grid_gives_read_only_arrays():
    grid = sw.Grid([[0, -1], [0, 1]], np.array([[255, 0, 0], [0, 0, 255]], np.uint8))
    assert grid.cells.dtype == np.int16 and grid.cells.tolist() == [[0, -1], [0, 1]]
    assert grid.palette.dtype == np.uint8 and grid.palette.shape == (2, 3)
    assert grid.counts.tolist() == [2, 1]
    assert grid.to_array(3).shape == (6, 6, 4)
    assert grid.to_array()[0, 1].tolist() == [0, 0, 0, 0]
    with pytest.raises(ValueError, match="read-only"):
        grid.cells[0, 0] = 1
    assert repr(grid) == "Grid(2 rows × 2 columns, 2 colours, 3 cells)"


def test_edits_give_new_grids():
    grid = sw.Grid([[-1, 0, 1], [-1, 2, 2]], ["#ff0000", "#fe0000", "#0000ff"])
    assert grid.merged(1.0).counts.tolist() == [2, 2]
    assert grid.replaced(2, (0, 255, 0)).palette[2].tolist() == [0, 255, 0]
    assert grid.replaced(2, None).counts.tolist() == [1, 1]
    assert (grid.trimmed().rows, grid.trimmed().columns) == (2, 2)
    assert grid.cells.tolist() == [[-1, 0, 1], [-1, 2, 2]]


@pytest.mark.parametrize(
    ("cells", "palette", "code"),
    [
        ([[0, 1]], ["#fff"], "GRID-BAD"),
        ([[0], [0, 0]], ["#fff"], "GRID-BAD"),
        ([0, 0], ["#fff"], "GRID-BAD"),
        ([[0.5]], ["#fff"], "GRID-BAD"),
        ([[-1]], ["#fff"], "GRID-BAD"),
        ([[]], ["#fff"], "GRID-BAD"),
        (7, ["#fff"], "GRID-BAD"),
        ([[0]], ["white"], "COLOUR-BAD"),
        ([[0]], "#fff", "COLOUR-BAD"),
        ([[0]], [(1, 2, 256)], "COLOUR-BAD"),
        ([[0]], [], "COLOURS-RANGE"),
        ([[0]], ["#fff", "#ffffff"], "GRID-BAD"),
    ],
)
def test_what_is_no_grid_is_refused_by_its_code(cells, palette, code):
    with pytest.raises(sw.SquarewrightError) as caught:
        sw.Grid(cells, palette)
    assert caught.value.code == code


@pytest.mark.parametrize("figure", FIGURES)
def test_every_whole_enlargement_with_margins_gives_the_same_grid(figure):
    pixels = sw.read_picture(POND / f"{figure}.png")
    original = sw.recover(pixels).grid
    assert np.array_equal(original.to_array()[..., 3], pixels[..., 3])
    assert np.array_equal(original.to_array()[pixels[..., 3] > 0], pixels[pixels[..., 3] > 0])
    for scale in range(2, 41):
        enlarged = pixels.repeat(scale, axis=0).repeat(scale, axis=1)
        framed = np.pad(enlarged, ((scale * 2 + 1, 3), (5, scale + 2), (0, 0)))
        again = sw.recover(framed)
        assert again.grid == original, scale
        assert again.pitch_px == (scale, scale)
        assert again.offset_px == (5, scale * 2 + 1)
        assert again.cell_colours.shape == (original.rows, original.columns, 4)


def test_a_flat_ground_around_a_figure_becomes_bare():
    pixels = sw.read_picture(POND / "newt.png")
    ground = np.array([250, 240, 200, 255], np.uint8)
    solid = np.where(pixels[..., 3:] > 0, pixels, ground)
    framed = np.pad(solid, ((2, 2), (2, 2), (0, 0)), constant_values=0)
    framed[framed[..., 3] == 0] = ground
    for scale in (1, 5, 16):
        copy = framed.repeat(scale, axis=0).repeat(scale, axis=1)
        found = sw.recover(copy)
        assert found.grid == sw.recover(pixels).grid, scale
        assert any("background" in warning for warning in found.warnings)
        assert sw.recover(copy, background="keep").grid.columns == framed.shape[1]


def test_the_heron_is_planned_on_one_panel():
    plan = sw.plan(POND / "heron.png", panel=FOOT)
    assert plan.name == "heron"
    assert plan.fit.pitch == sw.inches("3/16")
    assert plan.confidence == plan.recovery.confidence >= 0.5
    assert sum(colour["cells"] for colour in plan.colours) == 694
    assert plan.stages[0] == "gather" and plan.stages[-1] == "hang"
    assert sw.Plan.from_json(plan.to_json()) == plan


def test_an_unsure_reading_is_not_planned():
    one_square = np.pad(np.full((20, 20, 3), 200, np.uint8), ((30, 30), (30, 30), (0, 0)))
    with pytest.raises(sw.GridError, match=r"GRID-UNSURE.*alternatives"):
        sw.plan(one_square, panel=FOOT)
    chosen = sw.recover(one_square).alternatives[0].to_grid()
    assert sw.plan(chosen, panel=FOOT).confidence is None


def test_a_photo_has_no_grid():
    rng = np.random.default_rng(1)
    noise = rng.integers(0, 255, (90, 90, 3), np.uint8, endpoint=True)
    with pytest.raises(sw.GridError, match="GRID-NONE"):
        sw.plan(noise, panel=FOOT)


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"ending": "cut"}, "VALUE-BAD"),
        ({"paints": "spray"}, "VALUE-BAD"),
        ({"raw": "#123456"}, "VALUE-BAD"),
        ({"raw": "cork"}, "COLOUR-BAD"),
        ({"background": "none"}, "COLOUR-BAD"),
    ],
)
def test_a_bad_setting_of_a_plan_is_refused_by_its_code(settings, code):
    with pytest.raises(sw.ArgumentError) as caught:
        sw.plan(POND / "lily.png", panel=FOOT, **settings)
    assert caught.value.code == code


def test_values_survive_pickling():
    plan = sw.plan(POND / "lily.png", panel=sw.Panel("12 in", "300 mm", thickness="1/4 in"))
    picture = sw.Picture.from_rgba(bytes(range(16)), 2, 2, name="four")
    wide = sw.fit(solid(30, 96), FOOT, width="17 in", ruler="0.5 mm", margin="1/4 in")
    marks = [*wide.column_marks, *plan.fit.row_marks]
    values = [sw.inches(12) / 44, plan.fit.panel, plan.grid, plan.fit, wide, plan, picture]
    for value in [*values, *marks, wide.margins, plan.fit.margins]:
        assert pickle.loads(pickle.dumps(value)) == value


@pytest.mark.parametrize("region", [None, (0, 0, 96, 88), [(1, 0), (95, 1), (96, 96), (0, 95)]])
def test_a_recovery_survives_pickling_with_its_picture(region):
    copy = np.array(sw.read_picture(POND / "lily.png")).repeat(8, axis=0).repeat(8, axis=1)
    found = sw.recover(copy, region=region)
    again = pickle.loads(pickle.dumps(found))
    assert again == found
    assert again.warnings == found.warnings
    assert again.to_png() == found.to_png()
    assert [other.pitch_px for other in again.alternatives] == [
        other.pitch_px for other in found.alternatives
    ]


def test_errors_survive_pickling():
    for kind in (sw.SizeError, sw.PlaceError, sw.OutputError, sw.InternalError):
        error = pickle.loads(pickle.dumps(kind("CODE", "is wrong", "Do this.", "it.png")))
        assert str(error) == "CODE: it.png is wrong. Do this."
        assert (error.code, error.hint, error.name) == ("CODE", "Do this.", "it.png")


def test_progress_is_told_and_may_stop_the_work():
    told = []
    sw.recover(POND / "otter.png", progress=told.append)
    assert told[-1] == 1.0

    def stop(done):
        raise RuntimeError("enough")

    with pytest.raises(RuntimeError, match="enough"):
        sw.recover(POND / "otter.png", progress=stop)


def test_bytes_and_sizes_need_no_numpy():
    script = textwrap.dedent(f"""
        import sys, warnings
        warnings.simplefilter("ignore")
        sys.modules["numpy"] = None
        import squarewright as sw
        picture = sw.Picture.decode(open({str(POND / "lily.png")!r}, "rb").read())
        again = sw.Picture.from_rgba(picture.to_bytes(), picture.width, picture.height)
        plan = sw.plan(again, panel=sw.Panel("12 in", "12 in"))
        plan.to_pdf(), plan.to_svg(), plan.to_png(), plan.to_json(), plan.grid.to_png(2)
        sw.Grid([[0]], ["#fff"])
        print(plan.fit.pitch)
    """)
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout == "1 in\n"


@pytest.mark.parametrize("name", sw.__all__)
def test_every_public_name_is_documented(name):
    assert getattr(sw, name).__doc__


def test_a_fit_writes_lengths_as_its_ruler_shows_them():
    lily = sw.recover(POND / "lily.png").grid
    metric = sw.fit(lily, sw.Panel("300 mm", "300 mm"), ruler="1 mm", width="250 mm")
    assert metric.text(metric.pitch) == "20.83 mm"
    inch = sw.fit(lily, FOOT)
    assert inch.text(inch.pitch) == "1 in"
