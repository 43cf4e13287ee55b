"""Seams against all ways to place them, counted here on their own, and joints of the card against shapely."""

import copy
import io
import itertools
import json
import pickle
from fractions import Fraction

import numpy as np
import pdfplumber
import pytest
import shapely
from scipy import ndimage
from shapely.geometry import LineString, Polygon, box

import squarewright as sw

INK = ["#1d2430", "#c0392b", "#f0e0b0", "#4a7c59"]
FOOT = sw.Panel("12 in", "12 in", thickness="1/4 in")
INCH = 25.4
FIGURES = 200


def figures(count: int, seed: int):
    """Draw wide figures by chance, from ragged to smooth, in up to four colours, for two to four panels."""
    chance = np.random.default_rng(seed)
    for _ in range(count):
        rows, columns = int(chance.integers(5, 24)), int(chance.integers(34, 130))
        blur = chance.uniform(0.4, 3)
        noise = ndimage.gaussian_filter(chance.random((2, rows, columns)), (0, blur, blur))
        figure = noise[0] > np.quantile(noise[0], chance.uniform(0.05, 0.6))
        shades = int(chance.integers(1, 5))
        colours = np.digitize(noise[1], np.quantile(noise[1], np.arange(1, shades) / shades))
        yield sw.Grid(np.where(figure, colours, -1), INK), int(chance.integers(2, 5))


def crossed(cells: np.ndarray, seam: int) -> int:
    """Count the lines that go on straight across an upright seam, the edges of the grid bare."""
    padded = np.pad(cells, 1, constant_values=-1)
    changes = padded[1:] != padded[:-1]
    return int((changes[:, seam] & changes[:, seam + 1]).sum())


def left_over(figure: np.ndarray, seam: int) -> int:
    """Count what an upright seam leaves too small or too thin on its left."""
    before, cut = figure[:, :seam], figure[:, seam - 1] & figure[:, seam]
    parts, _ = ndimage.label(before)
    loose = 0
    for part in set(parts[cut, -1].tolist()):
        where = np.argwhere(parts == part)
        loose += len(where) < 9 or where[:, 1].min() == seam - 1
    behind = before[:, -2] if seam > 1 else np.zeros(len(cut), bool)
    runs, count = ndimage.label(cut & ~behind)
    line = np.pad(before[:, -1], 1)
    for run in range(1, count + 1):
        at = np.flatnonzero(runs == run)
        ends = int(line[at[0]]) + int(line[at[-1] + 2])
        loose += ends > 0 and len(at) > 3 * ends
    return loose


def weak(grid: sw.Grid, spots: sw.WeakSpots, seam: int) -> int:
    figure = np.asarray(grid.cells) >= 0
    found = left_over(figure, seam) + left_over(figure[:, ::-1], figure.shape[1] - seam)
    found += sum(max(column for _, column in spot.cells) == seam for spot in spots.corner_joints)
    for neck in spots.necks:
        own = np.zeros_like(figure)
        own[tuple(np.transpose(neck.cells))] = True
        beside = figure[:, seam - 1] & figure[:, seam]
        found += bool((beside & (own[:, seam - 1] | own[:, seam])).any())
    return found


def even(cells: int, parts: int) -> list[int]:
    shares = [cells // parts + (board < cells % parts) for board in range(parts)]
    return list(itertools.accumulate(shares))[:-1]


def ways(cells: int, parts: int, most: int):
    """Give every way to place seams within a quarter of a share that no board is too small for."""
    reach = max(cells // (4 * parts), 1)
    for seams in itertools.product(*(range(at - reach, at + reach + 1) for at in even(cells, parts))):
        ends = (0, *seams, cells)
        if all(1 <= to - start <= most for start, to in itertools.pairwise(ends)):
            yield seams


def total(seams, cost: dict, middles: list[int]):
    """Give what seams come to, the most important first, to be compared with other seams."""
    weak_parts, lines = map(sum, zip(*(cost[seam] for seam in seams), strict=True))
    return weak_parts, lines, sum(abs(a - b) for a, b in zip(seams, middles, strict=True)), list(seams)


def inches(length: sw.Length) -> Fraction:
    return Fraction(length.inches)


def test_seams_are_the_best_of_all_on_figures_by_chance() -> None:
    moved = touched = spared = 0
    for grid, parts in figures(FIGURES, 7):
        fit = sw.fit(grid, FOOT, across=parts, down=1)
        limits = sw.weak_spots(grid, pitch=fit.pitch, thickness="1/4 in")
        columns = grid.columns
        most = int(12 / inches(fit.pitch))
        cost = {
            seam: (weak(grid, limits, seam), crossed(np.asarray(grid.cells), seam))
            for seam in range(1, columns)
        }

        middles = even(columns, parts)
        all_ways = [total(seams, cost, middles) for seams in ways(columns, parts, most)]
        best, plain, found = (
            min(all_ways),
            total(middles, cost, middles),
            total(fit.column_seams, cost, middles),
        )
        assert found == best
        if any(way[0] == 0 for way in all_ways):
            assert found[0] == 0
            spared += plain[0] > 0
        touched += best[0] > 0
        moved += found != plain
        # Every cell lies on one panel, and no panel holds more than it can.
        held = np.zeros((grid.rows, columns), int)
        for panel in fit.panels:
            (top, bottom), (left, right) = panel.rows, panel.columns
            held[top:bottom, left:right] += 1
            assert inches(panel.left) + (right - left) * inches(fit.pitch) <= 12
        assert (held == 1).all()
        # A figure on its side has its seams in the rows.
        turned = sw.Grid(np.asarray(grid.cells).T, INK)
        assert sw.fit(turned, FOOT, across=1, down=parts).row_seams == fit.column_seams
    print(f"moved {moved}, weak part spared {spared}, none free {touched}")
    assert moved > FIGURES // 2 and spared > FIGURES // 10


def test_plan_and_fit_place_a_figure_alike() -> None:
    for grid, parts in itertools.islice(figures(FIGURES, 7), 0, None, 20):
        settings = {"panel": FOOT, "across": parts, "down": 1, "margin": "1/2 in"}
        plan, fit = sw.plan(grid, **settings), sw.fit(grid, **settings)
        assert plan.fit == fit
        assert pickle.loads(pickle.dumps(fit)) == fit == copy.copy(fit)
        assert pickle.loads(pickle.dumps(plan)).fit == fit
        stored = json.loads(plan.to_json())["fit"]["pieces"]
        assert [piece["columns"]["start"] for piece in stored[1:]] == fit.column_seams


def test_each_panel_has_marks_and_cuts_from_its_own_corner() -> None:
    grid, _ = next(figures(1, 11))
    plan = sw.plan(grid, panel=FOOT, across=3, down=1)
    pitch = inches(plan.fit.pitch)
    for panel in plan.fit.panels:
        (first, last), marks = panel.columns, panel.column_marks
        assert [mark.index for mark in marks] == list(range(first, last + 1))
        for mark in marks:
            assert inches(mark.position) == inches(panel.left) + (mark.index - first) * pitch
        assert inches(marks[-1].position) <= 12
    assert [panel.left == sw.inches(0) for panel in plan.fit.panels] == [False, True, True]
    side = float(plan.fit.pitch.mm)
    for number, panel in enumerate(plan.fit.panels):
        (top, bottom), (left, right) = panel.rows, panel.columns
        own = np.argwhere(np.asarray(grid.cells)[top:bottom, left:right] >= 0) * side
        own += float(panel.top.mm), float(panel.left.mm)
        figure = shapely.unary_union([box(x, y, x + side, y + side) for y, x in own])
        strokes = [cut for cut in plan.cuts.cuts if cut.panel == number and cut.kind == "stroke"]
        assert strokes
        rim = figure.boundary.buffer(0.01)
        assert all(rim.covers(LineString([cut.start_mm, cut.end_mm])) for cut in strokes)


def surface(contours: list[dict]) -> shapely.Geometry:
    outer = [Polygon(c["places"]).buffer(0) for c in contours if not c["hole"]]
    holes = [Polygon(c["places"]).buffer(0) for c in contours if c["hole"]]
    return shapely.unary_union(outer).difference(shapely.unary_union(holes))


@pytest.mark.parametrize("ending", ["cut out", "whole square"])
def test_joints_of_the_card_keep_an_inch_from_seams(ending: str) -> None:
    chance = np.random.default_rng(5)
    jointed = staggered = 0
    for grid, parts in figures(40, 23):
        sheet = [int(side) for side in chance.choice([5, 6, 8, 12, 12, 13, 17], 2)]
        plan = sw.plan(
            grid,
            panel=FOOT,
            across=parts,
            down=1,
            ending=ending,
            mounting=sw.Mounting(card=(f"{sheet[0]} in", f"{sheet[1]} in")),
        )
        card, backing, pitch = surface(plan.backing["contours"]), plan.backing, float(plan.fit.pitch.mm)
        left, top, right, bottom = card.bounds
        upright, level = backing["upright_joints_mm"], backing["level_joints_mm"]
        lines = [LineString([(x, top), (x, bottom)]) for x in upright]
        seams = [LineString([(at * pitch, top), (at * pitch, bottom)]) for at in plan.fit.column_seams]
        assert all(line.distance(seam) >= INCH - 1e-4 for line in lines for seam in seams)
        assert backing["joints_near_seams"] == 0
        xs, ys = [left, *upright, right], [top, *level, bottom]
        parts_of_card = [
            box(a, c, b, d) for a, b in itertools.pairwise(xs) for c, d in itertools.pairwise(ys)
        ]
        wide = max(b - a for a, b in itertools.pairwise(xs)) / INCH
        high = max(b - a for a, b in itertools.pairwise(ys)) / INCH
        assert any(wide <= a + 1e-6 and high <= b + 1e-6 for a, b in [sheet, sheet[::-1]])
        assert backing["sheets"] == sum(part.intersection(card).area > 1e-6 for part in parts_of_card)
        jointed += bool(upright)
        plain = [np.arange(left + side * INCH, right, side * INCH) for side in sheet]
        staggered += all(
            any(abs(at - seam.bounds[0]) < INCH for at in places for seam in seams) for places in plain
        )
        assert json.loads(plan.to_json())["backing"]["joints"]["near_seams"] == 0
    assert jointed > 20 and staggered > 3


def test_joints_that_must_lie_near_seams_are_a_warning() -> None:
    grid = sw.Grid(np.zeros((4, 24), int), INK[:1])
    narrow = sw.Panel("1 1/2 in", "4 in")
    settings = {"panel": narrow, "across": 8, "down": 1}
    plan = sw.plan(grid, mounting=sw.Mounting(card=("2 1/2 in", "3 in")), **settings)
    assert plan.backing["joints_near_seams"] > 0
    assert any("nearer than 1 in to a seam" in warning for warning in plan.warnings)
    assert not any("nearer" in warning for warning in sw.plan(grid, **settings).warnings)


def words(pages: list) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_pages_say_where_seams_and_joints_run() -> None:
    plan = sw.plan(
        "examples/pond/otter.png", panel=FOOT, across=2, mounting=sw.Mounting(card=("14 in", "14 in"))
    )
    (seam,) = plan.fit.column_seams
    book = pdfplumber.open(io.BytesIO(plan.to_pdf("letter")))
    titled = {
        title: [page for page in book.pages if page.extract_text().splitlines()[0].startswith(title)]
        for title in ["Cover", "Template", "Card"]
    }
    said = f"The seam is between columns {seam} and {seam + 1}."
    assert said in words(titled["Cover"])
    assert all(said in words([page]) for page in titled["Template"])
    card = [page for page in titled["Card"] if "BACK" in page.extract_text()]
    assert "joint of the card" in words(card) and "Dashed: two sheets of card meet there." in words(card)
    gluing = words([page for page in titled["Card"] if page not in card])
    assert "Sheets of card meet at" in gluing and "1 in or more beside the seams" in gluing


def test_dashes_stand_where_sheets_of_card_meet() -> None:
    grid = sw.Grid(np.zeros((10, 20), int), INK[:1])
    mounting = sw.Mounting(card=("3 in", "3 in"))
    small = sw.Panel("2 1/2 in", "2 1/2 in")
    plan = sw.plan(grid, panel=small, pitch="1/4 in", across=2, down=1, mounting=mounting)
    # Sheets of 3 in would meet 1/4 in beside the seam, and then at the end of the figure.
    assert plan.fit.column_seams == [10]
    joints = [Fraction(place) / Fraction(INCH) for place in plan.backing["upright_joints_mm"]]
    assert joints == pytest.approx([1.5, 4])
    book = pdfplumber.open(io.BytesIO(plan.to_pdf("letter")))
    (page,) = [page for page in book.pages if "BACK" in page.extract_text()]
    left = min(line["x0"] for line in page.lines if line["linewidth"] == pytest.approx(1.4))
    dashes = {round(line["x0"] - left, 3) for line in page.lines if line["linewidth"] == pytest.approx(0.8)}
    # From behind, the card of 5 1/2 in begins with what is its right edge from the front.
    assert sorted(dashes) == pytest.approx([(5.25 - 4) * 72, (5.25 - 1.5) * 72], abs=0.01)
