"""The card with few cuts, against shapely."""

from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon, box

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = sorted(path for path in POND.glob("*.png") if "-" not in path.stem)
PANEL = sw.Panel("12 in", "12 in", thickness="1/4 in")
MARGIN = 25.4 / 4
# Places are whole units of 7 nm; shapely reckons in floats of millimetres.
ROOM = 1e-6


def cards(figure: sw.Grid, **settings: object) -> tuple[sw.Plan, sw.Plan]:
    across = 2 if figure.columns > 64 else None
    square, few = (
        sw.plan(figure, panel=PANEL, across=across, mounting=sw.Mounting(corners=corners, **settings))
        for corners in ("square", "few")
    )
    return square, few


def surface(contours: list[dict]) -> shapely.Geometry:
    outer = [Polygon(c["places"]).buffer(0) for c in contours if not c["hole"]]
    holes = [Polygon(c["places"]).buffer(0) for c in contours if c["hole"]]
    return shapely.unary_union(outer).difference(shapely.unary_union(holes))


def board(plan: sw.Plan) -> shapely.Geometry:
    pitch = float(plan.fit.pitch.mm)
    places = np.argwhere(plan.grid.cells >= 0)
    return shapely.unary_union(
        [box(c * pitch, r * pitch, (c + 1) * pitch, (r + 1) * pitch) for r, c in places]
    )


def are_simple(plan: sw.Plan) -> bool:
    return all(shapely.LinearRing(contour["places"]).is_simple for contour in plan.backing["contours"])


def check(square: sw.Plan, few: sw.Plan) -> None:
    ours, theirs = surface(few.backing["contours"]), surface(square.backing["contours"])
    assert theirs.difference(ours.buffer(ROOM)).area == 0, "the card holds the square one"
    assert ours.boundary.distance(board(few).boundary) >= MARGIN - ROOM
    assert not are_simple(square) or are_simple(few), "where the square line does not touch itself, none does"
    inside = [Polygon(c["places"]).area * (-1 if c["hole"] else 1) for c in few.backing["contours"]]
    assert sum(inside) == pytest.approx(ours.area, rel=1e-9), "no line crosses itself or another"
    for contour in few.backing["contours"]:
        assert len(contour["places"]) >= 4
        around = Polygon(contour["places"]).bounds
        if contour["hole"]:
            assert min(around[2] - around[0], around[3] - around[1]) >= 25.4 - ROOM
    extra = ours.area - theirs.area
    assert few.backing["extra_cm2"] * 100 == pytest.approx(extra, rel=1e-6, abs=1e-3)
    assert square.backing["extra_cm2"] == 0
    assert few.backing["cuts"] == sum(len(contour["places"]) for contour in few.backing["contours"])
    assert few.backing["cuts"] <= square.backing["cuts"]


@pytest.mark.parametrize("path", FIGURES, ids=lambda path: path.stem)
def test_few_cuts_hold_the_square_card_of_the_demo_figures(path: Path) -> None:
    square, few = cards(sw.recover(path).grid)
    check(square, few)
    assert few.backing["cuts"] * 2 < square.backing["cuts"]
    assert few.backing["extra_cm2"] * 12 <= square.backing["area_cm2"]
    assert few.backing["cut_mm"] < square.backing["cut_mm"]


def test_few_cuts_hold_the_square_card_of_figures_by_chance() -> None:
    chance = np.random.default_rng(5)
    fewer = 0
    for number in range(120):
        mask = chance.random(chance.integers(1, 20, 2)) < chance.uniform(0.1, 0.9)
        if not mask.any():
            continue
        settings = {"smallest_hole": "0 in"} if number % 2 else {}
        square, few = cards(sw.Grid(np.where(mask, 0, -1), ["#1d2430"]), **settings)
        if not settings:
            check(square, few)
        ours, theirs = surface(few.backing["contours"]), surface(square.backing["contours"])
        assert theirs.difference(ours.buffer(ROOM)).area == 0
        fewer += few.backing["cuts"] < square.backing["cuts"]
    assert fewer > 80


def test_a_card_of_four_corners_stays_as_it_is() -> None:
    square, few = cards(sw.Grid(np.zeros((3, 5), dtype=int), ["#1d2430"]))
    assert few.backing["contours"] == square.backing["contours"]
    assert few.backing["cuts"] == 4


def test_the_same_card_comes_out_of_a_plan_that_was_written() -> None:
    _, few = cards(sw.recover(POND / "heron.png").grid)
    assert sw.Plan.from_json(few.to_json()).backing == few.backing
    with pytest.raises(sw.ArgumentError, match="corners"):
        sw.Mounting(corners="some")
    assert sw.plan(few.grid, panel=PANEL, mounting=sw.Mounting(corners="round")).backing["cuts"] is None
