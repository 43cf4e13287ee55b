"""Which paints to buy: against a general solver, against all subsets, at the command line."""

import json
import subprocess
import sys
from itertools import combinations

import numpy as np
import pytest

import squarewright as sw
from solvers import cheapest_paints, minimal

# Twenty-four colours as figures have them, and thirty paints under names of pigments and hues, of our own.
COLOURS = [
    *("#1a1c2c", "#5d275d", "#b13e53", "#ef7d57", "#ffcd75", "#a7f070", "#38b764", "#257179"),
    *("#29366f", "#3b5dc9", "#41a6f6", "#73eff7", "#f4f4f4", "#94b0c2", "#566c86", "#333c57"),
    *("#8b5a2b", "#c68642", "#f3e0b5", "#6b8e23", "#2e4a3a", "#d98cb3", "#7a1f3d", "#9c9c9c"),
]
EXTRA = {
    "cream": "#f2e6c4",
    "olive": "#6a6b2c",
    "teal": "#1c6e73",
    "coral": "#f07c6a",
    "navy": "#1e2a4f",
    "lilac": "#b59bcb",
}


def shop(prices: list[int] | None = None, owned: tuple[str, ...] = ()) -> sw.Stock:
    shades = {paint.name: paint.hex for paint in sw.Stock.basic().paints} | EXTRA
    priced = prices or [None] * len(shades)
    return sw.Stock(
        [
            sw.Paint(
                name,
                code,
                owned=name in owned,
                price=None if price is None else price / 100,
                currency=None if price is None else "EUR",
            )
            for (name, code), price in zip(shades.items(), priced, strict=True)
        ]
    )


# Source: HiGHS, through scipy.optimize.milp.
@pytest.mark.parametrize("tolerance", [2, 3, 4, 5, 6])
def test_no_choice_is_smaller_than_a_general_solver_finds(tolerance: int) -> None:
    stock = shop()
    bought = sw.buy(COLOURS, stock, tolerance)
    ways = minimal(sw.ways(COLOURS, stock, tolerance))
    assert bought.proven
    assert bought.weighed == "bottles"
    assert len(bought.paints) == cheapest_paints(ways, {paint.name: 1 for paint in stock.paints})
    assert all(recipe.difference <= tolerance for recipe in bought.recipes)
    assert len(bought.recipes) + len(bought.unreachable) == len(COLOURS)
    assert {recipe.target for recipe in bought.unreachable} == {
        colour for colour, found in zip(COLOURS, ways, strict=True) if not found
    }


@pytest.mark.parametrize("seed", range(3))
def test_prices_and_paints_at_hand_are_minded(seed: int) -> None:
    prices = [int(price) for price in np.random.default_rng(seed).integers(150, 900, 30)]
    owned = ("white", "black", "red", "yellow", "ultramarine", "burnt umber")
    stock = shop(prices, owned)
    bought = sw.buy(COLOURS, stock, 4)
    costs = {
        paint.name: 0 if paint.owned else price for paint, price in zip(stock.paints, prices, strict=True)
    }
    assert bought.proven
    assert bought.weighed == "price"
    assert bought.cost == cheapest_paints(minimal(sw.ways(COLOURS, stock, 4)), costs)
    assert bought.currency == "EUR"
    assert not {paint.name for paint in bought.paints} & set(owned)
    assert bought.cost == sum(costs[paint.name] for paint in bought.paints)


@pytest.mark.parametrize("seed", range(20))
def test_small_shops_are_solved_as_by_trying_all(seed: int) -> None:
    chance = np.random.default_rng(seed)
    paints = list(shop().paints)
    chosen = [paints[at] for at in sorted(chance.choice(30, 9, replace=False))]
    stock = sw.Stock([sw.Paint(paint.name, paint.hex, owned=False) for paint in chosen])
    colours = [COLOURS[at] for at in chance.choice(24, 6, replace=False)]
    bought = sw.buy(colours, stock, 6, max_parts=6)
    ways = sw.ways(colours, stock, 6, max_parts=6)
    reached = [[set(way["parts"]) for way in found] for found in ways if found]
    names = [paint.name for paint in stock.paints]

    def makes_all(kept: tuple[str, ...]) -> bool:
        return all(any(way <= set(kept) for way in found) for found in reached)

    counts = range(len(names) + 1)
    least = next(count for count in counts if any(map(makes_all, combinations(names, count))))
    assert bought.proven
    assert len(bought.paints) == least


def test_what_is_out_of_reach_is_said_with_the_nearest() -> None:
    stock = sw.Stock([sw.Paint("grey", "#808080"), sw.Paint("black", "#202020", owned=False)])
    bought = sw.buy(["#808080", "#ff0000"], stock)
    assert bought.paints == []
    assert [recipe.target for recipe in bought.recipes] == ["#808080"]
    (missed,) = bought.unreachable
    assert missed.target == "#ff0000"
    assert missed.difference > 3
    assert any("nearest" in note for note in missed.notes)


def test_nothing_to_make_needs_nothing() -> None:
    bought = sw.buy([], shop())
    assert bought.paints == bought.recipes == bought.unreachable == []
    assert bought.proven


def test_a_plan_buys_the_fewest_and_paints_with_them() -> None:
    grid = sw.Grid(np.arange(24).reshape(4, 6), COLOURS)
    stock = shop(owned=("white", "black"))
    plan = sw.plan(grid, panel=sw.Panel("12 in", "12 in"), stock=stock)
    bought = sw.buy(COLOURS, stock)
    used = {paint for recipe in plan.recipes for paint in recipe.parts}
    assert used <= {paint.name for paint in bought.paints} | {"white", "black"}
    to_buy = {bottle["paint"] for bottle in plan.bottles if not bottle["owned"]}
    assert to_buy <= {paint.name for paint in bought.paints}
    assert json.loads(plan.to_json())["mixes"]["bought"] == {"proven": True, "weighed": "bottles"}


def test_a_pinned_recipe_is_bought_for() -> None:
    stock = shop(owned=("white", "black"))
    own = sw.pin("#d98cb3", {"lilac": 2, "coral": 1}, stock)
    grid = sw.Grid([[0, 1]], ["#d98cb3", "#9c9c9c"])
    plan = sw.plan(grid, panel=sw.Panel("12 in", "12 in"), stock=stock, pinned=[own])
    assert {"lilac", "coral"} <= {bottle["paint"] for bottle in plan.bottles if not bottle["owned"]}


def test_the_command_says_what_to_buy() -> None:
    command = [sys.executable, "-m", "squarewright", "paints", "buy", "#b13e53", "#5b7a3a"]
    told = subprocess.run(command, capture_output=True, text=True, check=True)
    assert told.stdout.startswith("Buy nothing.\n#b13e53: ")
    told = subprocess.run([*command, "--json"], capture_output=True, text=True, check=True)
    report = json.loads(told.stdout)
    assert report["proven"] is True
    assert len(report["recipes"]) == 2
