"""Mixing, recipes and what the book says of them."""

import json
import pickle

import numpy as np
import pytest

import squarewright as sw

BASIC = sw.Stock.basic()
FOOT = sw.Panel("12 in", "12 in")
COLOURS = ["#f4f3ee", "#d9828c", "#b3565f", "#7f2f3f", "#315c38", "#f6c915", "#262626"]


def figure():
    cells = np.arange(64).reshape(8, 8) % len(COLOURS)
    return sw.Grid(cells, COLOURS)


def test_paint_does_not_mix_as_light_does():
    # `common practice`: yellow and blue are green, yellow and black are olive, red with white is pink
    green = sw.blend([("#f6c915", 4), (BASIC["ultramarine"], 1)])
    hue = np.degrees(np.arctan2(green.lab[2], green.lab[1])) % 360
    assert 120 < hue < 200
    olive = sw.blend([("#f6c915", 10), ("#262626", 1)])
    assert np.degrees(np.arctan2(olive.lab[2], olive.lab[1])) > 95
    assert sw.blend([("#f6c915", 10.0), ("#262626", 1.0)]) == olive
    assert olive.hex == "#{:02x}{:02x}{:02x}".format(*olive.colour)


def test_each_drop_of_dark_darkens():
    # `common practice`
    for paint, dark in (("red", "black"), ("yellow", "warm brown")):
        shades = [sw.blend([(BASIC[paint], 12), (BASIC[dark], drops)]).lab[0] for drops in range(1, 13)]
        assert shades == sorted(shades, reverse=True) and len(set(shades)) == 12


def test_a_surface_is_taken_into_account_when_asked():
    parts = [("#2b3a93", 1), ("#f4f3ee", 9)]
    assert sw.blend(parts, surface=(0, 0)).hex == sw.blend(parts).hex
    under = sw.blend(parts, surface=(0.02, 0.4))
    assert under.hex != sw.blend(parts).hex
    stock = sw.Stock(BASIC, surface=(0.02, 0.4))
    assert stock.surface == (0.02, 0.4) and BASIC.surface is None
    assert sw.pin("#7f8fd6", {"ultramarine": 1, "white": 9}, stock).hex == under.hex
    assert pickle.loads(pickle.dumps(stock)) == stock
    for recipe in sw.mix("#7f8fd6", stock):
        mixed = [(stock[name], count) for name, count in recipe.parts.items()]
        assert sw.blend(mixed, surface=stock.surface).lab == recipe.lab
    learnt = sw.calibrate(sw.Paint("blue", "#2b3a93"), under.hex, 0.1, "#f4f3ee", surface=(0.02, 0.4))
    assert 0.98 < learnt.strength < 1.02
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.Stock(BASIC, surface=(1, 0.4))


def test_recipes_and_steps_answer_what_mixtures_do():
    recipe, step = sw.mix("#5b7a3a", BASIC)[0], sw.mix_in_one_pot(["#5b7a3a"], BASIC)[0]
    mixed = sw.blend([(BASIC[name], parts) for name, parts in recipe.parts.items()])
    for each in (recipe, step):
        assert isinstance(each, sw.Blend)
        for name in ("hex", "colour", "lab", "trust", "expected"):
            assert getattr(each, name) == getattr(mixed, name), name


@pytest.mark.parametrize(
    "parts", [[], [("#f6c915", 0)], [("#f6c915", float("nan"))], ["#f6c915"], 7, [(1, 2)]]
)
def test_what_is_no_mixture_is_refused(parts):
    with pytest.raises(sw.ArgumentError, match=r"VALUE-BAD|COLOUR-BAD"):
        sw.blend(parts)


def test_recipes_are_whole_parts_and_say_how_sure_they_are():
    recipes = sw.mix("#5b7a3a", BASIC)
    best = recipes[0]
    assert best.difference <= 3 and best.nearness == "close"
    assert best.trust in {"trust it", "dab first", "test card first"}
    assert 0 < best.expected[0] < best.expected[1]
    assert all(isinstance(parts, int) and parts > 0 for parts in best.parts.values())
    assert sum(best.parts.values()) <= (24 if len(best.parts) == 2 else 12)
    mixed = sw.blend([(BASIC[name], parts) for name, parts in best.parts.items()])
    assert mixed.colour == best.colour
    assert len({frozenset(recipe.parts) for recipe in recipes}) == len(recipes)
    assert pickle.loads(pickle.dumps(best)) == best


def test_the_most_parts_may_be_given_for_each_number_of_paints():
    assert sw.mix("#f3e0b5", BASIC) == sw.mix("#f3e0b5", BASIC, max_parts={2: 24, 3: 12})
    assert sum(sw.mix("#f3e0b5", BASIC, max_parts={2: 6, 3: 6})[0].parts.values()) <= 6
    assert len(sw.mix("#5b7a3a", BASIC, max_paints=1)[0].parts) == 1
    for bad in ({0: 3}, {2: 1}, {5: 12}, "12", -1, 2.5):
        with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
            sw.mix("#5b7a3a", BASIC, max_parts=bad)


def test_a_colour_out_of_reach_is_told():
    found = sw.mix("#00ff00", BASIC)
    assert len(found) == 1 and found[0].nearness == "test first"
    assert any("nothing in this stock" in note for note in found[0].notes)


def test_absurd_stocks_get_honest_answers():
    # 1e6 is a strength that no paint has
    strong = sw.Paint("strong", "#2b3a93", strength=1e6)
    twins = [sw.Paint("one", "#b3202b"), sw.Paint("two", "#b3202b")]
    black = [sw.Paint(f"black {each}", "#000000") for each in range(3)]
    for paints in ([strong, sw.Paint("white", "#ffffff")], twins, black, [twins[0]]):
        found = sw.mix("#5b7a3a", sw.Stock(paints))[0]
        assert np.isfinite(found.difference) and found.difference > 3 and found.parts


def test_a_test_mix_teaches_how_a_paint_tints():
    white, weak = BASIC["white"], sw.Paint("blue", "#2b3a93", strength=0.5)
    tint = sw.blend([(weak, 1), (white, 4)]).hex
    learnt = sw.calibrate(sw.Paint("blue", "#2b3a93"), tint, 1 / 5, white)
    assert 0.48 < learnt.strength < 0.52
    assert (learnt.tint, learnt.white) == (tint, white.hex)
    again = sw.blend([(learnt, 1), (white, 4)])
    assert again.trust == "trust it"
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.calibrate(learnt, tint, 1.5, white)


def test_shades_are_mixed_in_one_pot_from_light_to_dark():
    steps = sw.mix_in_one_pot(["#7f2f3f", "#d9828c", "#b3565f"], BASIC)
    assert [step.target for step in steps] == ["#d9828c", "#b3565f", "#7f2f3f"]
    assert steps[0].pot == 0 and any(step.pot for step in steps)
    own = sw.pin("#b3565f", {"magenta": 2, "scarlet": 5}, BASIC)
    steps = sw.mix_in_one_pot(["#7f2f3f", "#d9828c", "#b3565f"], BASIC, pinned=[own])
    assert steps[1].pot == 0 and steps[1].added == own.parts and steps[1].lab == own.lab
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.mix_in_one_pot(["#7f2f3f"], BASIC, pinned=[own])


def test_a_plan_with_a_stock_has_recipes_and_follows_the_makers_own():
    own = sw.pin("#7f2f3f", {"maroon": 3, "red": 1}, BASIC)
    plan = sw.plan(figure(), panel=FOOT, stock=BASIC, pinned=[own], name="pond")
    assert {recipe.target for recipe in plan.recipes} == set(COLOURS)
    assert own in plan.recipes and own.pinned
    pale = sw.pin("#d9828c", {"white": 6, "red": 2}, BASIC)
    first = sw.plan(figure(), panel=FOOT, stock=BASIC, pinned=[pale]).pots[0][0]
    assert (first.target, first.pot, first.added) == ("#d9828c", 0, pale.parts)
    stored = json.loads(plan.to_json())["mixes"]["recipes"]
    assert {recipe["target"] for recipe in stored} == set(COLOURS)
    assert sw.Plan.from_json(plan.to_json()) == plan
    lines = plan.colours_csv().splitlines()
    assert lines[0].endswith("recipe,mixed,difference,trust")
    assert any("3 maroon + 1 red" in line for line in lines)
    assert plan.to_pdf() == sw.plan(figure(), panel=FOOT, stock=BASIC, pinned=[own], name="pond").to_pdf()


def test_a_plan_without_a_stock_has_none():
    plan = sw.plan(figure(), panel=FOOT)
    assert plan.recipes == [] and plan.pots == []
    assert "recipe" not in plan.colours_csv()
    assert len(plan.to_pdf()) < len(sw.plan(figure(), panel=FOOT, stock=BASIC).to_pdf())


def test_a_stray_recipe_is_refused():
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.plan(figure(), panel=FOOT, stock=BASIC, pinned=[sw.pin("#123456", {"red": 1}, BASIC)])
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.plan(figure(), panel=FOOT, pinned=[sw.pin("#7f2f3f", {"red": 1}, BASIC)])
    for parts in ({"plaid": 1}, {"red": 0}, {"red": 1.5}, {}):
        with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
            sw.pin("#7f2f3f", parts, BASIC)


def test_four_shades_of_one_colour_get_four_ordered_names():
    grid = sw.Grid([[0, 1, 2, 3]], ["#1f4a24", "#a5d19a", "#4d9a3c", "#2f7a2f"])
    assert len(set(grid.names)) == 4
    assert grid.names[1].startswith("light") and grid.names[0].startswith("dark")


def test_the_command_lists_mixes_and_learns(run, tmp_path):
    status, said, told = run("paints", "list", "--json")
    assert status == 0 and "typical" in told
    assert len(json.loads(said)["paints"]) == len(BASIC)
    status, said, _ = run("paints", "mix", "#5b7a3a", "--json")
    best = json.loads(said)["recipes"][0]
    assert status == 0 and best["parts"] == sw.mix("#5b7a3a", BASIC)[0].parts
    assert run("paints", "mix", "#5b7a3a")[1].startswith(str(sw.mix("#5b7a3a", BASIC)[0]))
    out = tmp_path / "mine.toml"
    arguments = ("paints", "calibrate", "ultramarine", "#7f8fd6", "1/10", "--white", "white")
    status, said, _ = run(*arguments, "--out", str(out), "--dry-run")
    assert status == 0 and f"Would write {out}." in said and not out.exists()
    assert run(*arguments, "--out", str(out.with_suffix(".doc")), "--dry-run")[0] == 2
    status, said, _ = run(*arguments, "--out", str(out))
    assert status == 0 and "strength" in said and "share = 0.1" in out.read_text()
    assert run(*arguments, "--out", str(out))[0] == 5
    assert run(*arguments, "--out", str(out), "--dry-run")[0] == 5
    assert run("paints", "mix", "mauve")[0] == 2
    assert run("paints", "calibrate", "plaid", "#7f8fd6", "1/10", "--white", "white")[0] == 2
    assert run("paints", "calibrate", "red", "#7f8fd6", "7/5", "--white", "white")[0] == 2
