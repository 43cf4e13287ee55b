"""plan.json and its schema: what is written keeps to it, and nothing else does."""

import copy
import json
from pathlib import Path

import jsonschema
import pytest

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = ["lily", "frog", "newt", "dragonfly", "bulrush", "kingfisher", "moorhen", "heron", "otter"]
STOCK = sw.read_stock(POND.parent / "paints.csv")
FOOT = sw.Panel("12 in", "12 in", thickness="1/4 in")
METRIC = sw.Panel("300 mm", "305 mm", thickness="6 mm", diagonal="428 mm")
WAYS = {
    "cut out": {"panel": FOOT},
    "cut out of a stock": {"panel": FOOT, "stock": STOCK, "hand": "left"},
    "typical paints": {"panel": FOOT, "stock": sw.Stock.basic()},
    "whole square": {"panel": FOOT, "ending": "whole square", "stock": STOCK},
    "whole square with its ground": {"panel": FOOT, "ending": "whole square", "ground": "#e8e0d0"},
    "two boards": {"panel": FOOT, "across": 2, "stock": STOCK},
    "metric": {"panel": METRIC, "ruler": "0.5 mm", "pitch": "3.7 mm", "across": 2, "down": 2},
    "any width": {
        "panel": FOOT,
        "width": "11 in",
        "paints": "from the bottle",
        "backing": False,
        "edges": False,
    },
    "few lines and few cuts": {
        "panel": FOOT,
        "across": 2,
        "marking": "sparse",
        "transfer": "dots",
        "mounting": sw.Mounting(corners="few", card=("8 in", "10 in")),
    },
    "scale ruler": {"panel": FOOT, "ruler": "scale ruler"},
    "settings": {
        "panel": FOOT,
        "stock": STOCK,
        "painting": sw.Painting(outline="last"),
        "mounting": sw.Mounting(),
        "rates": {"mark": (0.2, 0.5)},
    },
}
VALIDATOR = jsonschema.Draft202012Validator(sw.plan_schema())


def faults(value):
    return [f"{error.json_path}: {error.message[:200]}" for error in VALIDATOR.iter_errors(value)]


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(sw.plan_schema())


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("figure", FIGURES)
def test_what_is_written_keeps_to_the_schema(figure, way):
    grid = sw.recover(POND / f"{figure}.png").grid
    settings = WAYS[way]
    if grid.columns > 64 and "across" not in settings:
        settings = settings | {"across": 2}
    plan = sw.plan(grid, **settings)
    assert faults(json.loads(plan.to_json())) == []
    assert sw.Plan.from_json(plan.to_json()) == plan


@pytest.mark.parametrize("door", ["recovered", "pixelated", "timed", "strengthened"])
def test_plans_that_came_in_by_other_doors_keep_to_it_too(door):
    if door == "pixelated":
        grid = sw.pixelate(POND / "water-lily.jpg", columns=24, colours=64)
        plan = sw.plan(grid, panel=FOOT, stock=STOCK)
    else:
        plan = sw.plan(POND / "newt.png", panel=FOOT, stock=STOCK)
    plan = plan.with_rate("mark", 90) if door == "timed" else plan
    plan = plan.strengthened() if door == "strengthened" else plan
    assert faults(json.loads(plan.to_json())) == []


def objects(value, path=()):
    """Find every object in a plan, with the way to it."""
    if isinstance(value, dict):
        yield path
    children = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for key, child in children:
        # One of many alike is enough.
        if not (isinstance(value, list) and key > 0):
            yield from objects(child, (*path, key))


def at(value, path):
    for key in path:
        value = value[key]
    return value


def pruned(value):
    """Keep of each list its first two: many alike tell no more and take their time."""
    if isinstance(value, dict):
        return {key: pruned(child) for key, child in value.items()}
    return [pruned(child) for child in value[:2]] if isinstance(value, list) else value


def test_a_field_too_many_or_too_few_fails_wherever_it_is():
    whole = pruned(json.loads(sw.plan(POND / "newt.png", panel=FOOT, stock=STOCK).to_json()))
    assert faults(whole) == []
    ways = list(objects(whole))
    assert len(ways) > 60
    for path in ways:
        more = copy.deepcopy(whole)
        at(more, path)["unheard of"] = 1
        assert not VALIDATOR.is_valid(more), path
        for key in list(at(whole, path)):
            fewer = copy.deepcopy(whole)
            del at(fewer, path)[key]
            assert not VALIDATOR.is_valid(fewer), (*path, key)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("schema_version",), 0),
        (("fit", "pitch"), 4.8),
        (("fit", "pitch"), "3/16"),
        (("grid", "palette", 0), "white"),
        (("grid", "cells", 0, 0), 64),
        (("making", "ending"), "cut out"),
        (("cuts", "panels", 0, "cuts", 0, "from"), ["0 in"]),
    ],
)
def test_a_value_of_another_kind_fails(path, value):
    plan = json.loads(sw.plan(POND / "newt.png", panel=FOOT).to_json())
    at(plan, path[:-1])[path[-1]] = value
    assert faults(plan)


@pytest.mark.parametrize(("version", "words"), [(0, "plan the picture again"), (2, "newer"), (99, "newer")])
def test_a_plan_of_another_version_is_refused_by_its_code(version, words):
    stored = json.dumps({"schema_version": version, "something": "else"})
    with pytest.raises(sw.ArgumentError, match=words) as caught:
        sw.Plan.from_json(stored)
    assert caught.value.code == "PLAN-VERSION"


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"schema_version": "1"}', '{"schema_version": 1}'])
def test_what_is_no_plan_is_refused_by_its_code(text):
    with pytest.raises(sw.ArgumentError) as caught:
        sw.Plan.from_json(text)
    assert caught.value.code == "VALUE-BAD"
