"""Grids as arrays and drawings, plans made again with changes, and every value through pickle."""

import inspect
import pickle
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import squarewright as sw
from squarewright import _core, planning

POND = Path(__file__).parent.parent / "examples" / "pond"
FOOT = sw.Panel("12 in", "12 in")
HERON = POND / "heron.png"


@pytest.fixture(scope="module")
def plan():
    return sw.plan(HERON, panel=FOOT, stock=sw.Stock.basic())


def test_a_grid_is_its_colours_as_an_array():
    grid = sw.Grid([[0, -1, 1], [1, 1, 0]], ["#ff0000", "#0000ff"])
    array = np.asarray(grid)
    assert array.dtype == np.uint8 and (array == grid.to_array()).all()
    assert array[0].tolist() == [[255, 0, 0, 255], [0, 0, 0, 0], [0, 0, 255, 255]]
    assert np.asarray(grid, dtype=float).dtype == float
    assert (grid.__array__() == array).all() and grid.__array__(np.int32).dtype == np.int32
    with pytest.raises(ValueError, match="copy"):
        grid.__array__(copy=False)
    assert grid.tobytes() == array.tobytes()


def test_pillow_takes_a_grid():
    grid = sw.recover(HERON).grid
    for image in (Image.fromarray(grid), Image.fromarray(np.asarray(grid))):
        assert image.mode == "RGBA" and image.size == (grid.columns, grid.rows)
        assert (np.asarray(image) == grid.to_array()).all()


def test_a_grid_is_drawn_with_the_numbers_of_the_chart():
    import matplotlib

    matplotlib.use("agg")
    from matplotlib import pyplot

    grid = sw.Grid([[0, -1, 1], [1, 1, 0]], ["#ff0000", "#0000ff"])
    ax = grid.plot(lines=True)
    assert (ax.images[0].get_array() == grid.to_array()).all()
    assert ax.get_xlim() == (0.5, 3.5) and ax.get_ylim() == (2.5, 0.5)
    assert len(ax.collections[0].get_segments()) == 4 and len(ax.collections[1].get_segments()) == 3
    _, own = pyplot.subplots()
    assert grid.plot(own) is own and not own.collections
    assert own.imshow(grid).get_array().shape == (2, 3, 4)
    pyplot.close("all")


def test_without_matplotlib_it_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(
        sw.PackageError, match=r"PACKAGE-MISSING: matplotlib .*squarewright\[plot\]"
    ) as caught:
        sw.Grid([[0]], ["#ff0000"]).plot()
    assert isinstance(caught.value, ImportError)


def test_a_plan_is_made_again_with_changes(plan):
    larger = plan.replace(panel=sw.Panel("24 in", "24 in"))
    assert larger == sw.plan(HERON, panel=sw.Panel("24 in", "24 in"), stock=sw.Stock.basic())
    assert larger.confidence == plan.confidence and larger.recovery is not None
    assert plan.replace(stock=None) == sw.plan(HERON, panel=FOOT)
    assert plan.replace() == plan and plan.replace() is not plan
    merged = plan.grid.merged(8.0)
    assert plan.replace(merged).grid == merged
    assert plan.replace(name="grey heron").name == "grey heron"


def test_what_a_plan_learnt_stays(plan):
    timed = plan.with_rate("paint", 90.0)
    again = timed.replace(panel=sw.Panel("24 in", "24 in"))
    assert again.hours["stages"]["paint"]["work"] != plan.hours["stages"]["paint"]["work"]
    assert again == sw.plan(HERON, panel=sw.Panel("24 in", "24 in"), stock=sw.Stock.basic()).with_rate(
        "paint", 90.0
    )
    strong = plan.strengthened().replace(hand="left")
    assert strong.grid == plan.strengthened().grid
    photo = sw.pixelate(POND / "kingfisher-over-water.jpg", columns=20, colours=64)
    noted = sw.plan(photo, panel=FOOT)
    assert noted.replace(hand="left").warnings == noted.warnings


def test_what_was_asked_goes_through_pickle(plan):
    again = pickle.loads(pickle.dumps(plan))
    assert again == plan and again.replace(hand="left").grid == plan.grid
    assert again._path == plan._path


def test_a_plan_read_back_says_that_it_cannot_be_made_again(plan):
    with pytest.raises(sw.ArgumentError, match=r"VALUE-BAD: the plan was read back from JSON"):
        sw.Plan.from_json(plan.to_json()).replace(panel=FOOT)
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD: background is settled"):
        plan.replace(background="keep")
    with pytest.raises(TypeError, match="unexpected keyword"):
        plan.replace(pannel=FOOT)


def test_settings_by_name_are_those_of_plan():
    asked = set(inspect.signature(sw.plan).parameters)
    assert asked == set(inspect.signature(_core.plan).parameters)
    assert planning.Keywords.__optional_keys__ == asked - {"picture_or_grid", "panel", "progress"}
    assert planning.Changes.__optional_keys__ == asked - {"picture_or_grid", "progress"}


def values(plan):
    stock = sw.Stock.basic()
    spots = plan.weak_spots
    recovery = plan.recovery
    painting = sw.Painting(outline_cells=np.ones((2, 3), bool), coats=3)
    nesting = sw.nest([plan.grid], FOOT, pitch="1/16 in")
    frog = sw.WallFigure(POND / "frog.png", place=("0 in", "1 in"))
    door = sw.Taken("door", "2 ft", "0 in", "3 ft", "6 ft")
    settings = sw.Settings(panel="12in x 12in")
    wall = sw.Wall(figures=[frog], settings=settings, width="8 ft", height="7 ft", taken=[door])
    return [
        *(wall, frog, door, wall.pack, wall.plan(), sw.Progress().with_done("frog", "mark")),
        nesting,
        *nesting.panels,
        *[figure for panel in nesting.panels for figure in panel.figures],
        *[offcut for panel in nesting.panels for offcut in panel.offcuts],
        sw.Settings(panel="12in x 12in", marking="sparse", mounting={"corners": "few"}),
        recovery,
        *recovery.alternatives,
        plan.fit,
        *plan.fit.panels,
        *plan.fit.column_marks,
        plan.fit.margins,
        *plan.fit.alternatives,
        plan.cuts,
        *plan.cuts.cuts,
        plan,
        plan.grid,
        *plan.recipes,
        *[step for pot in plan.pots for step in pot],
        spots,
        *spots.worst_first,
        *spots.remedies(),
        sw.strengthened(plan.grid, pitch=plan.fit.pitch),
        stock,
        *stock.paints,
        sw.buy(["#804020"], stock),
        sw.blend([(stock.paints[0], 1.0)]),
        sw.mix("#804020", stock)[0],
        sw.Mounting(margin="1/2 in"),
        painting,
        sw.mm(3),
        FOOT,
        sw.Picture.decode(HERON.read_bytes()),
    ]


def test_every_value_goes_through_pickle(plan):
    found = values(plan)
    for value in found:
        again = pickle.loads(pickle.dumps(value))
        assert type(again) is type(value) and again == value, value
    kinds = {type(value) for value in found}
    public = {getattr(sw, name) for name in sw.__all__ if isinstance(getattr(sw, name), type)}
    elsewhere = {sw.Comparison, sw.Tile, sw.Ranking, sw.Ranked, sw.Reading, sw.PotStep}
    missing = {kind for kind in public - kinds if not issubclass(kind, BaseException | Warning)}
    assert missing <= elsewhere, missing


def test_a_value_with_many_keywords_shows_those_that_are_not_usual():
    assert repr(sw.Mounting()) == "Mounting()" and repr(sw.Painting()) == "Painting()"
    mounting = "Mounting(margin='10 mm', corners='few', card=('16 in', '20 in'), rating=5.0)"
    painting = "Painting(outline='last', edges='outline', wait=(10, 30), coats=3, loss=0.25)"
    settings = "Settings(panel=('12in', '12in'), painting={'coats': 3}, pixelate=True, columns=48)"
    for shown in (mounting, painting, settings):
        assert repr(eval(shown, vars(sw).copy())) == shown
    marked = sw.Painting(outline_cells=np.zeros((3, 4), bool))
    assert repr(marked) == "Painting(outline_cells=<3 × 4 cells>)"
