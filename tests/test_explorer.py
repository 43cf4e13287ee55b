"""The explorer without a browser: what it shows, says and gives."""

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import squarewright as sw
from squarewright.errors import ArgumentError, PackageError, PlaceError

POND = Path(__file__).parent.parent / "examples" / "pond"
PHOTO, ART = POND / "kingfisher-over-water.jpg", POND / "heron-x12.png"


@pytest.fixture
def explorer():
    return sw.explore(PHOTO, columns=32, colours=8)


def made_by(code: str, **known: object) -> dict[str, object]:
    names = dict(known)
    exec(code, names)
    return names


def facts(explorer) -> dict[str, str]:
    return dict(explorer.facts)


def test_the_picture_has_a_pixel_for_each_cell(explorer) -> None:
    with Image.open(io.BytesIO(explorer.picture)) as image:
        shown = np.asarray(image.convert("RGB"))
    assert shown.shape == (explorer.grid.rows, 32, 3)
    assert (shown == explorer.grid.palette[explorer.grid.cells]).all()


def test_the_numbers_are_those_of_the_plan(explorer) -> None:
    plan, said = explorer.plan(), facts(explorer)
    assert said["Cells"] == f"{plan.grid.rows} rows × 32 columns"
    assert said["Colours"] == str(len(plan.colours))
    assert said["Patches"] == str(sum(colour["patches"] for colour in plan.colours))
    assert said["Cell size"] == plan.fit.text(plan.fit.pitch)
    low, high = plan.hours["work"]
    assert said["Work"] == f"{low:.0f} to {high:.0f} hours"


def test_paints_change_none_of_the_numbers() -> None:
    stock = sw.Stock.basic()
    for picture in (PHOTO, ART, POND / "newt.png"):
        explorer = sw.explore(picture, stock=stock)
        with_paints, without = explorer.plan(), explorer.plan(stock=None)
        assert with_paints.recipes and not without.recipes
        assert with_paints.hours == without.hours
        assert str(with_paints.weak_spots) == str(without.weak_spots)


def test_a_setting_draws_again_and_tells_observers(explorer) -> None:
    grids: list[sw.Grid] = []
    explorer.observe(lambda change: grids.append(change["new"]), "value")
    before = explorer.picture
    explorer.columns = 40
    assert [grid.columns for grid in grids] == [40] and explorer.value == explorer.grid
    assert explorer.picture != before
    explorer.merge = 12.0
    assert len(explorer.grid.palette) < 8 and explorer.grid.columns == 40


def test_many_settings_at_once_draw_once(explorer) -> None:
    drawn: list[object] = []
    explorer.observe(drawn.append, "picture")
    # As the page sends them: one message, several values.
    explorer.set_state({"columns": 36, "colours": 6, "brushwork": "broad", "calm": None, "_move": 1})
    assert len(drawn) == 1 and explorer._drawn == 1
    assert (explorer.grid.columns, explorer.brushwork) == (36, "broad")


@pytest.mark.parametrize(
    "start",
    [
        {},
        {"brushwork": "every cell", "seed": 3},
        {"calm": 2.5, "smallest_patch": 5, "figure": "find"},
        {"crop": (100, 40, 500, 400), "merge": 6.5, "across": 2},
        {"ruler": "1 mm", "pitch": sw.mm(5), "ending": "whole square", "name": 'it\'s a "bird"'},
    ],
)
def test_the_code_makes_the_same_grid_and_plan(start) -> None:
    panel = sw.Panel("11 31/32 in", "300 mm", thickness="6 mm", diagonal="16 15/16 in")
    explorer = sw.explore(PHOTO, panel, columns=40, **start)
    names = made_by(explorer.as_code())
    assert names["grid"] == explorer.grid
    assert names["plan"] == explorer.plan()


def test_the_code_of_pixel_art_reads_its_cells() -> None:
    explorer = sw.explore(ART, stock=sw.Stock.basic())
    assert explorer.door == "recovered" and explorer.grid == sw.recover(ART).grid
    assert facts(explorer)["Reading"] == "sure (1.00)"
    names = made_by(explorer.as_code(), stock=sw.Stock.basic())
    assert names["grid"] == explorer.grid and names["plan"] == explorer.plan()
    explorer.door, explorer.columns = "pixelated", 20
    assert made_by(explorer.as_code(), stock=sw.Stock.basic())["grid"] == explorer.grid
    assert explorer.grid.columns == 20 and "Reading" not in facts(explorer)


def test_the_code_of_an_array_says_what_it_needs() -> None:
    array = sw.read_picture(PHOTO)
    explorer = sw.explore(array, columns=24)
    code = explorer.as_code()
    assert "# picture: what you gave to explore" in code
    assert made_by(code, picture=array)["grid"] == explorer.grid


def test_controls_are_those_that_make_sense() -> None:
    shown = {control["name"]: control for control in sw.explore(ART)._controls}
    assert shown["door"]["kind"] == "choice" and shown["columns"]["door"] == "pixelated"
    assert "door" not in shown["merge"]
    photo = {control["name"] for control in sw.explore(PHOTO, columns=32)._controls}
    assert "door" not in photo and {"columns", "colours", "calm", "panel"} <= photo


def test_a_panel_of_your_own_joins_the_choice(explorer) -> None:
    panel = sw.Panel("8 in", "10 in")
    explorer.panel = panel
    options = next(control["options"] for control in explorer._controls if control["name"] == "panel")
    assert [text for _, text in options][-1] == "8 in × 10 in"
    assert explorer.plan().fit.panel == panel
    # The page knows a panel by its place, and one that does not exist changes nothing.
    explorer.set_state({"panel": 0})
    assert explorer.panel.width == sw.inches(12)
    explorer.set_state({"panel": 99})
    assert explorer.panel.width == sw.inches(12)


def test_what_cannot_be_made_is_a_sentence(explorer, capfd) -> None:
    before = explorer.picture
    explorer.columns = 5000
    assert "columns must be 1 to 512" in explorer.error and explorer.picture == before
    assert explorer.facts == [] == explorer.warnings
    with pytest.raises(ArgumentError, match="VALUE-BAD"):
        _ = explorer.grid
    explorer.columns = 32
    assert explorer.error == ""
    explorer.panel = sw.Panel("1 in", "1 in")
    assert explorer.error.startswith("SIZE-FIT") and facts(explorer)["Colours"] == "8"
    assert capfd.readouterr() == ("", "")


def test_a_fault_or_an_interrupt_leaves_no_traceback(explorer, monkeypatch, capfd) -> None:
    def fail(error):
        def plan(*_arguments, **_settings):
            raise error

        return plan

    monkeypatch.setattr("squarewright.plan", fail(ZeroDivisionError("told\nbadly")))
    explorer.colours = 7
    assert explorer.error == r"INTERNAL: ZeroDivisionError: told\nbadly. Please report it."
    monkeypatch.setattr("squarewright.plan", fail(KeyboardInterrupt()))
    explorer.set_state({"colours": 6, "_move": 7})
    assert explorer.error == "Stopped. Move a control to go on." and explorer._drawn == 7
    monkeypatch.undo()
    explorer._follow()
    assert explorer.error == "" and capfd.readouterr() == ("", "")


def test_the_still_twin_shows_all_and_escapes_it() -> None:
    still = sw.explore(ART, name="<script>alert(1)</script>").still()
    with Image.open(io.BytesIO(still.png)) as image:
        assert image.size == (320, 480)
    page = still._repr_html_()
    assert "<script" not in page and "60 rows × 40 columns" in page and "sw.recover(" in page
    assert 'src="data:image/png;base64,' in page and "http" not in page
    assert repr(still).startswith("Still(")


def test_a_cell_has_the_still_twin_behind_the_live_one(explorer) -> None:
    data, _ = explorer._repr_mimebundle_()
    assert data["text/html"] == explorer.still().to_html()
    assert data["text/plain"] == repr(explorer) == f"Explorer({explorer.grid!r})"
    assert "application/vnd.jupyter.widget-view+json" in data
    explorer.columns = 0
    assert "text/html" not in explorer._repr_mimebundle_()[0]


def test_bad_starts_are_told_by_code() -> None:
    with pytest.raises(ArgumentError, match="no setting colors") as told:
        sw.explore(PHOTO, colors=8)
    assert "colours" in told.value.hint
    with pytest.raises(ArgumentError, match="VALUE-BAD"):
        sw.explore(PHOTO, columns="many")
    with pytest.raises(ArgumentError, match="columns must be 1 to 512"):
        sw.explore(PHOTO, columns=0)
    with pytest.raises(ArgumentError, match="panel must be"):
        sw.explore(PHOTO, [])
    with pytest.raises(ArgumentError, match="panel must be"):
        sw.explore(PHOTO, "12 in x 12 in")
    with pytest.raises(ArgumentError, match="door"):
        sw.explore(PHOTO, door="window")
    with pytest.raises(PlaceError, match="PATH-MISSING"):
        sw.explore(POND / "nothing.png")


def test_without_anywidget_the_command_to_install_it_is_told(monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "anywidget", None)
    with pytest.raises(PackageError, match="PACKAGE-MISSING") as told:
        sw.explore(PHOTO)
    assert 'pip install "squarewright[notebook]"' in told.value.hint


def test_the_package_alone_imports_none_of_it() -> None:
    unwanted = {"anywidget", "ipywidgets", "traitlets", "numpy"}
    code = f"import sys, squarewright; print(sorted({unwanted} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_page_runs_no_text_as_code() -> None:
    folder = Path(sw.__file__).parent / "explorer"
    script = (folder / "widget.js").read_text(encoding="utf-8")
    for word in (
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "eval(",
        "Function(",
        "import ",
        "http",
        "fetch(",
    ):
        assert word not in script
    style = (folder / "widget.css").read_text(encoding="utf-8")
    assert "url(" not in style and "@import" not in style
