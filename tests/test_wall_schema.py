"""wall.json and its schema: what is written keeps to it, and nothing else does."""

import copy
import dataclasses
import json

import jsonschema
import pytest
from test_schema import at, objects, pruned
from test_wall import POND, wall
from test_wall_growth import FIRST, LATER, asked, figure

import squarewright as sw

VALIDATOR = jsonschema.Draft202012Validator(sw.wall_schema())


def faults(value):
    return [f"{error.json_path}: {error.message[:200]}" for error in VALIDATOR.iter_errors(value)]


def whole():
    """Give a wall that has some of everything."""
    pack = sw.Pack(price=9.99, currency="EUR", offcuts=["5in x 4in"])
    square = figure("dragonfly", ending="whole square", ground="#203050")
    lost = sw.WallFigure(b"no picture", name="lost")
    taken = [sw.Taken("door", "0 in", "0 in", "1 ft", "7 ft")]
    left = {"white": 3.0, "#26301c": 2.0}
    parts = {"pack": pack, "taken": taken, "left": left, "one_pitch": True}
    first = asked(*FIRST, square, lost, **parts).plan()
    progress = sw.Progress().with_done("heron", "mark").with_day(first.days[0])
    return asked(*FIRST, square, lost, *LATER, earlier=first.after(progress), **parts).plan()


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(sw.wall_schema())
    assert sw.wall_schema()["$defs"]["plan"] == sw.plan_schema()


@pytest.mark.parametrize("way", ["whole", "without paints", "without places", "metric", "of the example"])
def test_what_is_written_keeps_to_the_schema(way):
    if way == "whole":
        planned = whole()
    elif way == "of the example":
        planned = sw.read_wall(POND.parent / "pond-wall.toml").plan()
    elif way == "metric":
        settings = sw.Settings(panel="300mm x 305mm", ruler="0.5 mm")
        planned = asked(figure("frog"), settings=settings, width="2400 mm", height="2000 mm").plan()
    else:
        settings = wall().settings
        settings = dataclasses.replace(settings, stock=None) if way == "without paints" else settings
        planned = asked(figure("frog", copies=2), width=None, height=None, settings=settings).plan()
    assert faults(json.loads(planned.to_json())) == []
    assert sw.WallPlan.from_json(planned.to_json()) == planned


def test_a_field_too_many_or_too_few_fails_wherever_it_is():
    written = json.loads(whole().to_json())
    written["figures"][0]["plan"] = pruned(written["figures"][0]["plan"])
    written = {key: value if key == "figures" else pruned(value) for key, value in written.items()}
    written["figures"] = written["figures"][:1]
    # Any of two panels may be the off-cut, and any day one with drying in it.
    assert faults(written) == []
    ways = [path for path in objects(written) if "plan" not in path]
    assert len(ways) > 40
    for path in ways:
        more = copy.deepcopy(written)
        at(more, path)["unheard of"] = 1
        assert not VALIDATOR.is_valid(more), path
        for key in [] if path == ("done",) else list(at(written, path)):
            fewer = copy.deepcopy(written)
            del at(fewer, path)[key]
            assert not VALIDATOR.is_valid(fewer), (*path, key)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("schema_version",), 2),
        (("pitch",), 3),
        (("figures", 0, "copies"), 0),
        (("figures", 0, "plan", "grid", "palette", 0), "white"),
        (("boards", "nesting", "panels", 0, "origin"), "found"),
        (("boards", "nesting", "figures", 0, "pitch"), "3/16"),
        (("days", "days", 0, "openings", 0, "work", 0, "set"), "outside"),
        (("jars", 0, "colour"), "green"),
        (("done", "frog"), ["mark"]),
        (("buying", "panels", "pack", "offcuts"), ["5in x 4in"]),
    ],
)
def test_a_value_of_another_kind_fails(path, value):
    written = json.loads(asked(figure("frog")).plan().to_json())
    assert faults(written) == []
    at(written, path[:-1])[path[-1]] = value
    assert faults(written)
