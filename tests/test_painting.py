"""How much paint, in which order, which cells draw the outline."""

import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import squarewright as sw

PANEL = sw.Panel("12 in", "12 in", thickness="1/4 in")
HERON = "examples/pond/heron.png"


@pytest.fixture(scope="module")
def heron() -> sw.Plan:
    return sw.plan(HERON, panel=PANEL, stock=sw.Stock.basic())


def test_areas_of_the_jars_are_those_of_the_figure(heron: sw.Plan) -> None:
    pitch = float(heron.fit.pitch.mm)
    grid = heron.grid
    cells = grid.cells >= 0
    padded = np.pad(cells, 1)
    sides = sum(
        np.count_nonzero(padded & ~np.roll(padded, shift, axis)) for axis in (0, 1) for shift in (1, -1)
    )
    area = cells.sum() * pitch**2 + sides * pitch * (6.35 + 3.175)  # board and card
    assert sum(jar["area_cm2"] for jar in heron.jars) == pytest.approx(area / 100, rel=1e-3)
    assert heron.layers["primer"]["area_cm2"] == pytest.approx(area / 100, rel=1e-3)


def test_edges_are_left_out_when_they_stay_raw(heron: sw.Plan) -> None:
    raw = sw.plan(heron.grid, panel=PANEL, edges=False)
    flat = sum(colour["area_cm2"] for colour in raw.colours)
    assert sum(jar["area_cm2"] for jar in raw.jars) == pytest.approx(flat)


def test_what_the_bottles_give_is_what_the_jars_need(heron: sw.Plan) -> None:
    under = heron.layers["undercoat"]["ml"]
    assert sum(bottle["ml"] for bottle in heron.bottles) == pytest.approx(
        sum(jar["ml"] for jar in heron.jars) + under
    )
    assert all(jar["batch_ml"] >= max(jar["ml"], 1.0) - 1e-9 for jar in heron.jars)


def test_the_paints_are_those_that_the_recipes_take(heron: sw.Plan) -> None:
    assert [paint.name for paint in heron.paints] == [bottle["paint"] for bottle in heron.bottles]
    assert {paint.name for paint in heron.paints} >= {name for mix in heron.recipes for name in mix.parts}
    stock = {paint.name: paint for paint in sw.Stock.basic().paints}
    assert all(paint == stock[paint.name] for paint in heron.paints)
    assert sw.plan(heron.grid, panel=sw.Panel("12 in", "12 in")).paints == []


def test_a_jar_holds_its_recipe(heron: sw.Plan) -> None:
    recipes = {recipe.target: recipe for recipe in heron.recipes}
    for jar in heron.jars:
        parts = recipes[jar["hex"]].parts
        times = {jar["doses"][paint] / count for paint, count in parts.items()}
        assert len(times) == 1
        assert times.pop() >= 1


def test_the_order_follows_the_hand_and_the_choice(heron: sw.Plan) -> None:
    sets = [step["set"] for step in heron.passes]
    assert sets == sorted(sets, key=["undercoat", "outline", "inside"].index)
    last = sw.plan(heron.grid, panel=PANEL, painting=sw.Painting(outline="last"), hand="left")
    sets = [step["set"] for step in last.passes]
    assert sets == sorted(sets, key=["undercoat", "inside", "outline"].index)
    assert json.loads(last.to_json())["making"]["hand"] == "left"


def test_every_cell_is_painted_in_every_coat(heron: sw.Plan) -> None:
    coats = {jar["hex"]: jar["coats"] for jar in heron.jars}
    cells = {colour["hex"]: colour["cells"] for colour in heron.colours}
    for colour, count in coats.items():
        for coat in range(1, count + 1):
            painted = sum(
                number
                for step in heron.passes
                if step["set"] != "undercoat" and step["coat"] == coat
                for code, number in step["colours"]
                if code == colour
            )
            assert painted == cells[colour]


def test_the_maker_can_say_which_cells_draw_the_outline(heron: sw.Plan) -> None:
    marks = np.zeros(heron.grid.cells.shape, dtype=bool)
    own = sw.plan(heron.grid, panel=PANEL, painting=sw.Painting(outline_cells=marks))
    assert not own.outline_cells.any()
    assert all(step["set"] != "outline" for step in own.passes)
    assert heron.outline_cells.any()
    assert (heron.grid.cells[heron.outline_cells] >= 0).all()


def test_painting_survives_the_json(heron: sw.Plan) -> None:
    again = sw.Plan.from_json(heron.to_json())
    assert again.jars == heron.jars
    assert again.bottles == heron.bottles and again.paints == heron.paints
    assert again.passes == heron.passes


@pytest.mark.parametrize(
    ("setting", "word"),
    [
        ({"outline": "never"}, "outline"),
        ({"edges": "gold"}, "edges"),
        ({"wait": (60, 20)}, "wait"),
        ({"spread": 0.0}, "spread"),
        ({"loss": math.nan}, "loss"),
        ({"coats": 0}, "coats"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_by_name(setting: dict[str, object], word: str) -> None:
    with pytest.raises(sw.ArgumentError, match=word) as caught:
        sw.Painting(**setting)
    assert caught.value.code == "VALUE-BAD"


def test_marks_of_another_shape_or_on_bare_cells_are_refused(heron: sw.Plan) -> None:
    with pytest.raises(sw.ArgumentError, match="outline_cells"):
        sw.plan(heron.grid, panel=PANEL, painting=sw.Painting(outline_cells=[[True]]))
    everywhere = np.ones(heron.grid.cells.shape, dtype=bool)
    with pytest.raises(sw.ArgumentError, match="bare"):
        sw.plan(heron.grid, panel=PANEL, painting=sw.Painting(outline_cells=everywhere))


def test_a_whole_square_without_a_ground_gets_suggestions(heron: sw.Plan) -> None:
    plan = sw.plan(heron.grid, panel=PANEL, ending="whole square", stock=sw.Stock.basic())
    grounds = json.loads(plan.to_json())["mixes"]["grounds"]
    assert {ground["manner"] for ground in grounds} <= {"light", "dark", "opposite"}
    assert grounds
    chosen = sw.plan(
        heron.grid, panel=PANEL, ending="whole square", ground=grounds[0]["colour"], stock=sw.Stock.basic()
    )
    assert sum(jar["area_cm2"] for jar in chosen.jars) == pytest.approx(30.48**2)


def test_the_command_paints_the_outline_last_when_asked(tmp_path: Path) -> None:
    command = [
        sys.executable,
        "-m",
        "squarewright",
        "plan",
        HERON,
        "--panel",
        "12in x 12in",
        "--outline",
        "last",
    ]
    subprocess.run([*command, "--out", str(tmp_path / "out")], check=True)
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert plan["painting"]["ordering"]["outline"] == "last"
    assert [step["set"] for step in plan["passes"]][-1] == "outline"
