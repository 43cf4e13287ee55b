"""Cut plans, held against shapely, which builds the faces that the cuts make (GEOS, its polygonizer)."""

import csv
import io
import itertools
import json
import pickle
import time
from fractions import Fraction
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from shapely import STRtree
from shapely.affinity import translate
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.ops import polygonize, unary_union

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FOOT = sw.Panel("12 in", "12 in", thickness="1/4 in")
INCH = 25.4
CLEARANCE = INCH / 8


def drawn(*rows: str) -> sw.Grid:
    cells = [[0 if letter == "#" else -1 for letter in row] for row in rows]
    return sw.Grid(cells, ["#336699"])


def blob(seed: int, size: int = 32) -> np.ndarray:
    """Smooth noise above its middle: blobs with bays, holes and islands, trimmed to what is solid."""
    noise = np.random.default_rng(seed).random((size, size))
    for _ in range(3):
        wide = np.pad(noise, 2, mode="edge")
        noise = sum(np.roll(wide, shift, axis) for axis in (0, 1) for shift in (-2, -1, 0, 1, 2))[2:-2, 2:-2]
    # The middle stands out, so that most figures have one large part.
    y, x = np.mgrid[-1 : 1 : size * 1j, -1 : 1 : size * 1j]
    noise = (noise - noise.mean()) / noise.std() + 1.2 - 2.2 * (x**2 + y**2)
    solid = noise > 0
    rows, columns = np.flatnonzero(solid.any(1)), np.flatnonzero(solid.any(0))
    return solid[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def figure(seed: int) -> tuple[sw.Grid, sw.Fit]:
    """Give a random figure of 16 to 48 cells on a panel of a foot, with 1 in or more all round."""
    grid = sw.Grid(np.where(blob(seed, 16 + seed % 33), 0, -1), ["#336699"])
    return grid, sw.fit(grid, FOOT, margin="1 in")


def cells_of(grid: sw.Grid, fit: sw.Fit, panel: int = 0):
    piece = fit.panels[panel]
    pitch, left, top = float(fit.pitch.mm), float(piece.left.mm), float(piece.top.mm)
    (first, last), (up, down) = piece.columns, piece.rows
    part = grid.cells[up:down, first:last]
    boxes = [
        box(left + c * pitch, top + r * pitch, left + (c + 1) * pitch, top + (r + 1) * pitch)
        for r, c in zip(*np.nonzero(part >= 0), strict=True)
    ]
    return unary_union(boxes)


def line(cut: sw.Cut, over: float = 0.0) -> LineString:
    """Give a cut, run over at both ends by `over` millimetres as a hand does in the waste."""
    (x, y), (far_x, far_y) = cut.start_mm, cut.end_mm
    share = over / max(float(cut.length.mm), 1e-9)
    dx, dy = (far_x - x) * share, (far_y - y) * share
    return LineString([(x - dx, y - dy), (far_x + dx, far_y + dy)])


def faces(cuts, panel) -> list[Polygon]:
    rim = box(0, 0, float(panel.width.mm), float(panel.height.mm)).exterior
    return list(polygonize(unary_union([rim, *cuts])))


def straight(plan: sw.CutPlan) -> list[sw.Cut]:
    return [cut for cut in plan.cuts if cut.kind in {"coarse", "bay"}]


def strokes(plan: sw.CutPlan) -> list[sw.Cut]:
    return [cut for cut in plan.cuts if cut.kind in {"hole", "stroke"}]


def filled(shape):
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    return unary_union([Polygon(part.exterior) for part in parts])


def rims(shape) -> list:
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    return [ring for part in parts for ring in (part.exterior, *part.interiors)]


def same_lines(one, other) -> bool:
    """Tell whether two sets of lines lie on each other, to a ten-thousandth of a millimetre."""
    apart = (one.difference(other.buffer(1e-4)), other.difference(one.buffer(1e-4)))
    return all(rest.length < 1e-3 for rest in apart)


def test_two_hundred_figures_come_out_whole_and_the_coarse_cuts_take_most_of_the_waste() -> None:
    shares, holes_too = [], []
    for seed in range(200):
        grid, fit = figure(seed)
        plan = sw.plan_cuts(grid, fit, clearance="1/8 in")
        solid = cells_of(grid, fit)
        grown = solid.buffer(CLEARANCE, join_style="mitre").intersection(box(0, 0, 12 * INCH, 12 * INCH))
        for cut in straight(plan):
            assert line(cut).intersection(grown.buffer(-1e-4)).is_empty, (seed, cut)
        # Every edge once: the strokes lie on the outline, cover it, and are no longer than it.
        along = strokes(plan)
        covered = unary_union([line(cut) for cut in along])
        assert same_lines(covered, solid.boundary), seed
        total = sum(float(cut.length.mm) for cut in along)
        assert total == pytest.approx(solid.length, abs=1e-4), seed
        assert float(plan.outline.mm) == pytest.approx(solid.length, abs=1e-4)
        assert plan.strokes == len(along)
        corners = sum(len(ring.simplify(0).coords) - 1 for ring in rims(solid))
        assert plan.turns >= corners - 2 * len(rims(solid)), seed
        # The faces of all cuts: the figure is whole faces, as many as it has parts.
        found = faces([line(cut, 0.01) for cut in straight(plan)] + [line(cut) for cut in along], FOOT)
        inside = [face for face in found if solid.contains(face.representative_point())]
        parts = list(solid.geoms) if isinstance(solid, MultiPolygon) else [solid]
        assert len(inside) == len(parts), seed
        assert unary_union(inside).symmetric_difference(solid).area < 1e-3, seed
        # What the straight cuts alone take off, of the waste outside the clearance.
        pieces = faces([line(cut, 0.01) for cut in straight(plan)], FOOT)
        off = sum(piece.area for piece in pieces if piece.intersection(solid).area < 1e-6)
        sheet = 144 * INCH**2
        shares.append(off / (sheet - filled(grown).area))
        holes_too.append(off / (sheet - grown.area))
    print(f"coarse cuts take off {np.mean(shares):.3f}, {np.mean(holes_too):.3f} with holes as waste")
    assert np.mean(shares) >= 0.85
    assert np.mean(holes_too) >= 0.85


def test_the_random_figures_are_a_fair_lot() -> None:
    lot = [figure(seed) for seed in range(200)]
    solids = [cells_of(*one) for one in lot[:60]]
    assert sum(isinstance(solid, MultiPolygon) for solid in solids) >= 5
    assert sum(any(ring.is_ccw for ring in rims(solid)[1:]) or len(rims(solid)) > 1 for solid in solids) >= 5


# Counted by hand: runs by the corners at their ends; one between two inside corners is two strokes.
@pytest.mark.parametrize(
    ("rows", "pitch", "ends", "length"),
    [
        ((".#.", "###", ".#."), "3 in", {"open": 4, "one inside": 8}, 36),
        (("##.##",) * 3 + ("#####",) * 2, "2 in", {"open": 5, "one inside": 2, "both inside": 2}, 52),
        (("#####", "#...#", "#...#", "#...#", "#####"), "2 in", {"open": 4, "both inside": 8}, 64),
        (tuple("#" * n + "." * (9 - n) for n in range(1, 10)), "1 in", {"open": 11, "one inside": 9}, 36),
    ],
)
def test_runs_are_classed_by_their_corners(rows, pitch, ends, length) -> None:
    grid = drawn(*rows)
    panel = sw.Panel("14 in", "14 in")
    plan = sw.plan_cuts(grid, sw.fit(grid, panel, pitch=pitch))
    found: dict[str, int] = {}
    for cut in strokes(plan):
        found[cut.ends] = found.get(cut.ends, 0) + 1
    if rows[0] == "#........":
        # 20 runs, none of them between two inside corners.
        assert sum(found.values()) == 20 and "both inside" not in found
    else:
        assert found == ends
    assert plan.outline.inches == length


def test_the_order_is_holes_then_coarse_then_bays_then_outline_and_weak_parts_last() -> None:
    for seed in range(40):
        grid, fit = figure(seed)
        solid = np.argwhere(grid.cells >= 0)
        weak = [[tuple(solid[0])], [tuple(cell) for cell in solid[-3:]]]
        plan = sw.plan_cuts(grid, fit, weak=weak)
        rank = {"hole": 0, "coarse": 1, "bay": 2, "stroke": 3}
        kinds = [rank[cut.kind] for cut in plan.cuts]
        assert kinds == sorted(kinds)
        outline = [cut.weak for cut in plan.cuts if cut.kind == "stroke"]
        assert outline == sorted(outline) and outline[-1]
        # The weakest of all is the very last: it is the first cell in reading order.
        pitch, piece = float(fit.pitch.mm), fit.panels[0]
        x = float(piece.left.mm) + (solid[0][1] + 0.5) * pitch
        y = float(piece.top.mm) + (solid[0][0] + 0.5) * pitch
        last = line(plan.cuts[-1])
        assert last.distance(LineString([(x, y), (x, y + 1e-9)])) <= pitch * 0.51
        assert [cut.number for cut in plan.cuts] == list(range(1, len(plan.cuts) + 1))
        assert plan.cuts[0].fresh_edge
        assert next(cut for cut in plan.cuts if cut.weak and cut.kind == "stroke").fresh_edge


def mirrored(cut: sw.Cut) -> tuple:
    (x, y), (far_x, far_y) = cut.start, cut.end
    wide = sw.Length("12 in")
    return cut.kind, (wide - x, y), (wide - far_x, far_y), cut.length, cut.ends, cut.stabs, cut.fresh_edge


def told(cut: sw.Cut) -> tuple:
    return cut.kind, cut.start, cut.end, cut.length, cut.ends, cut.stabs, cut.fresh_edge


def even(seed: int) -> tuple[sw.Grid, sw.Fit]:
    """Give a figure in the very middle of its panel, so that mirrors and turns leave it there."""
    solid = blob(seed, 24)
    rows, columns = (even + even % 2 for even in solid.shape)
    solid = np.pad(solid, ((0, rows - solid.shape[0]), (0, columns - solid.shape[1])))
    side = max(rows, columns)
    solid = np.pad(solid, (((side - rows) // 2,), ((side - columns) // 2,)))
    grid = sw.Grid(np.where(solid, 0, -1), ["#336699"])
    return grid, sw.fit(grid, FOOT, pitch="3/8 in")


def test_the_left_hand_works_in_a_mirror() -> None:
    for seed in range(25):
        grid, fit = even(seed)
        right = sw.plan_cuts(grid, fit)
        left = sw.plan_cuts(grid.mirrored(), fit, hand="left")
        assert [mirrored(cut) for cut in right.cuts] == [told(cut) for cut in left.cuts], seed


def test_pulls_go_towards_the_maker_and_away_from_the_other_hand() -> None:
    for hand, level in (("right", "right"), ("left", "left")):
        for seed in range(10):
            plan = sw.plan_cuts(*figure(seed), hand=hand)
            for cut in plan.cuts:
                if cut.kind == "coarse" or cut.ends == "open":
                    assert cut.pull == level or cut.pull.startswith("down"), (hand, cut)


def test_turns_and_mirrors_change_no_total() -> None:
    for seed in range(25):
        grid, fit = even(seed)
        first = sw.plan_cuts(grid, fit)
        for other in (grid.mirrored(), grid.rotated(1), grid.rotated(2), grid.rotated(3)):
            plan = sw.plan_cuts(other, fit)
            assert plan.outline == first.outline and plan.stabs == first.stabs
            assert (plan.strokes, plan.turns) == (first.strokes, first.turns)
            if len(rims(cells_of(grid, fit))) == 1:
                assert float(plan.coarse.mm) == pytest.approx(float(first.coarse.mm), abs=1e-3), seed


def test_an_inside_corner_is_never_overrun() -> None:
    for seed in range(30):
        grid, fit = figure(seed)
        solid = cells_of(grid, fit)
        for cut in strokes(sw.plan_cuts(grid, fit)):
            (x, y), (far_x, far_y) = cut.start_mm, cut.end_mm
            long = float(cut.length.mm)
            ahead = ((far_x - x) / long, (far_y - y) / long)
            end = translate(LineString([(0, 0), ahead]), far_x, far_y)
            begin = translate(LineString([(0, 0), (-ahead[0], -ahead[1])]), x, y)
            inside = solid.buffer(-1e-6)
            if cut.ends != "both inside":
                assert end.intersection(inside).is_empty, cut
            if cut.ends == "open":
                assert begin.intersection(inside).is_empty, cut
            else:
                assert not begin.intersection(solid.buffer(1e-6)).is_empty, cut


def test_cuts_do_not_cross_each_other() -> None:
    for seed in range(40):
        lines = [line(cut) for cut in straight(sw.plan_cuts(*figure(seed)))]
        tree = STRtree(lines)
        for a, b in zip(*tree.query(lines, predicate="crosses"), strict=True):
            # A cut may begin or end on another; rounded to 7 nm it may seem to cross it there.
            shared = lines[a].intersection(lines[b])
            ends = min(shared.distance(end) for one in (a, b) for end in lines[one].boundary.geoms)
            assert ends < 1e-4, (seed, a, b)


def test_a_figure_on_two_panels_has_two_plans() -> None:
    grid = sw.recover(POND / "otter.png").grid
    fit = sw.fit(grid, FOOT, across=2)
    plan = sw.plan_cuts(grid, fit)
    assert {cut.panel for cut in plan.cuts} == {0, 1}
    for panel in (0, 1):
        solid = cells_of(grid, fit, panel)
        own = [cut for cut in plan.cuts if cut.panel == panel]
        assert [cut.number for cut in own] == list(range(1, len(own) + 1))
        covered = unary_union([line(cut) for cut in own if cut.ends])
        rim = box(0, 0, 12 * INCH, 12 * INCH).exterior
        assert same_lines(covered, solid.boundary.difference(rim.buffer(1e-6)))
    assert plan.on_edge > sw.Length("0 in")


def test_little_to_cut_and_nothing_to_cut() -> None:
    one = drawn("#")
    plan = sw.plan_cuts(one, sw.fit(one, FOOT, pitch="1 in"))
    assert [cut.kind for cut in plan.cuts] == ["coarse"] * 4 + ["stroke"] * 4
    full = sw.plan_cuts(one, sw.fit(one, FOOT, pitch="12 in"))
    assert (full.cuts, full.on_edge.inches) == ([], 48)
    assert full.notes == ["The figure reaches every edge of this panel: nothing to cut."]
    # A figure that fills its hull: four straight cuts, four strokes, no bay.
    block = drawn(*["#" * 8] * 8)
    plan = sw.plan_cuts(block, sw.fit(block, FOOT, pitch="1 in"))
    assert [cut.kind for cut in plan.cuts] == ["coarse"] * 4 + ["stroke"] * 4
    # On the second panel there is no figure.
    half = drawn(*["####...." for _ in range(4)])
    plan = sw.plan_cuts(half, sw.fit(half, sw.Panel("4 in", "4 in"), pitch="1 in", across=2))
    assert plan.cuts == []
    assert plan.notes[1] == "No part of the figure lies on this panel: nothing to cut."


def test_noise_of_512_cells_gets_a_clear_word_in_bounded_time() -> None:
    noise = np.where(np.random.default_rng(0).random((512, 512)) < 0.5, 0, -1)
    grid = sw.Grid(noise, ["#336699"])
    for panel, pitch in ((FOOT, "3/128 in"), (sw.Panel("4.9 m", "4.9 m"), "3/8 in")):
        fit = sw.fit(grid, panel, pitch=pitch)
        start = time.perf_counter()
        plan = sw.plan_cuts(grid, fit)
        assert time.perf_counter() - start < 2
        assert plan.cuts == [] and plan.strokes > 100_000
        (note,) = plan.notes
        assert f"{plan.strokes} strokes" in note and "too many to cut by hand" in note


def test_the_most_strokes_that_are_planned_take_bounded_time() -> None:
    noise = np.where(np.random.default_rng(0).random((66, 66)) < 0.5, 0, -1)
    grid = sw.Grid(noise, ["#336699"])
    fit = sw.fit(grid, sw.Panel("6 ft", "6 ft"), pitch="3/4 in")
    start = time.perf_counter()
    plan = sw.plan_cuts(grid, fit)
    assert time.perf_counter() - start < 2
    assert 3_000 < plan.strokes == len(strokes(plan)) <= 4_000


def test_a_figure_of_64_cells_takes_50_ms_at_most() -> None:
    solid = blob(3, 76)[:64, :64]
    grid = sw.Grid(
        np.where(np.pad(solid, ((0, 64 - solid.shape[0]), (0, 64 - solid.shape[1]))), 0, -1), ["#369"]
    )
    fit = sw.fit(grid, FOOT)
    times = []
    for _ in range(15):
        start = time.perf_counter()
        sw.plan_cuts(grid, fit)
        times.append(time.perf_counter() - start)
    print(f"64 × 64: {min(times) * 1000:.1f} ms")
    assert min(times) <= 0.050


@pytest.mark.parametrize(
    ("settings", "error", "words"),
    [
        ({"clearance": "1/32 in"}, sw.ArgumentError, "clearance must be 1/16 in or more"),
        ({"clearance": 3}, sw.SizeError, "clearance"),
        ({"hand": "both"}, sw.ArgumentError, 'hand must be "right" or "left"'),
        ({"light_cut": "0 in"}, sw.SizeError, "light cut"),
        ({"thickness": "-1 in"}, sw.SizeError, "thickness"),
        ({"smallest_piece": "0 mm"}, sw.SizeError, "smallest piece"),
        ({"fresh_edge": "0 mm"}, sw.SizeError, "fresh edge"),
        ({"weak": [[(9, 0)]]}, sw.ArgumentError, "row 9 column 0"),
    ],
)
def test_bad_settings_are_refused(settings, error, words) -> None:
    grid = drawn("##", ".#")
    with pytest.raises(error, match=words):
        sw.plan_cuts(grid, sw.fit(grid, FOOT), **settings)


def test_a_fit_of_another_grid_is_refused() -> None:
    with pytest.raises(
        sw.ArgumentError, match="fit must be a fit of 1 rows × 2 columns, got 2 rows × 2 columns"
    ):
        sw.plan_cuts(drawn("##"), sw.fit(drawn("##", ".#"), FOOT))


def test_light_cuts_and_fresh_edges_follow_from_thickness_and_travel() -> None:
    grid, fit = figure(1)
    plan = sw.plan_cuts(grid, fit)
    assert {cut.light_cuts for cut in plan.cuts} == {4}
    assert {cut.light_cuts for cut in sw.plan_cuts(grid, fit, thickness="3/8 in").cuts} == {6}
    assert {cut.light_cuts for cut in sw.plan_cuts(grid, fit, light_cut="1 mm").cuts} == {7}
    bare = sw.fit(grid, sw.Panel("12 in", "12 in"), margin="1 in")
    assert {cut.light_cuts for cut in sw.plan_cuts(grid, bare).cuts} == {None}
    limit, travel = Fraction(240), Fraction(0)
    for cut in plan.cuts:
        begins = cut.fresh_edge
        assert begins or travel < limit
        travel = (0 if begins else travel) + cut.length.inches * cut.light_cuts
    assert plan.fresh_edges == sum(cut.fresh_edge for cut in plan.cuts)


def test_a_plan_carries_its_cuts_through_json_and_csv() -> None:
    plan = sw.plan(POND / "frog.png", panel=FOOT, hand="left", clearance="1/4 in", pitch="1/2 in")
    assert plan.cuts == sw.plan_cuts(plan.grid, plan.fit, hand="left", clearance="1/4 in")
    again = sw.Plan.from_json(plan.to_json())
    assert again == plan and again.cuts == plan.cuts and pickle.loads(pickle.dumps(plan)).cuts == plan.cuts
    stored = json.loads(plan.to_json())["cuts"]
    assert stored["cutting"]["hand"] == "left" and len(stored["panels"][0]["cuts"]) == len(plan.cuts)
    rows = list(csv.DictReader(io.StringIO(plan.cuts_csv())))
    assert [int(row["cut"]) for row in rows] == [cut.number for cut in plan.cuts.cuts]
    assert [float(row["to_x_mm"]) for row in rows] == pytest.approx([cut.end_mm[0] for cut in plan.cuts.cuts])
    square = sw.plan(POND / "frog.png", panel=FOOT, ending="whole square")
    assert square.cuts is None and len(square.cuts_csv().splitlines()) == 1
    assert sw.Plan.from_json(square.to_json()) == square


def test_sentences_say_where_and_how() -> None:
    grid = drawn("##.##", "##.##", "##.##", "#####", "#####")
    plan = sw.plan_cuts(grid, sw.fit(grid, FOOT, pitch="2 in"))
    said = [cut.sentence for cut in plan.cuts]
    assert said[0].startswith("Cut 1: ") and "Fresh edge first." in said[0]
    assert any("straight across, from the left edge" in one for one in said)
    assert any(": across a bay" in one for one in said)
    assert any("set the tip into the inside corner" in one and "to the middle" in one for one in said)
    assert str(plan.cuts[0]) == said[0] and repr(plan.cuts[0]).startswith("Cut(1, coarse")
    hole = drawn("###", "#.#", "###")
    first = sw.plan_cuts(hole, sw.fit(hole, FOOT, pitch="3 in")).cuts[0]
    assert first.kind == "hole" and "Stab into the waste first." in first.sentence


def test_every_pair_of_parts_that_a_line_can_separate_is_separated() -> None:
    grid = drawn("##....##", "##....##", "........", "...##...", "...##...")
    fit = sw.fit(grid, FOOT, pitch="1 in")
    pieces = faces([line(cut, 0.01) for cut in straight(sw.plan_cuts(grid, fit))], FOOT)
    solid = cells_of(grid, fit)
    held = [sum(piece.intersects(part.buffer(-1)) for part in solid.geoms) for piece in pieces]
    assert sorted(held)[-3:] == [1, 1, 1]


def test_parts_that_hook_into_each_other_are_left_together_and_untouched() -> None:
    hooks = drawn("#####..", "#...#..", "#.#.#.#", "..#...#", "..#####")
    fit = sw.fit(hooks, FOOT, pitch="1 in")
    plan = sw.plan_cuts(hooks, fit)
    solid = cells_of(hooks, fit)
    assert all(line(cut).distance(solid) >= CLEARANCE - 1e-4 for cut in straight(plan))
    assert len(list(itertools.takewhile(lambda cut: cut.kind == "coarse", plan.cuts))) >= 4


@pytest.mark.parametrize("name", ["heron", "frog", "dragonfly", "lily"])
def test_the_book_shows_every_straight_cut_by_its_number_and_carries_its_cautions(name) -> None:
    plan = sw.plan(POND / f"{name}.png", panel=FOOT)
    with pdfplumber.open(io.BytesIO(plan.to_pdf())) as book:
        sheets = [page for page in book.pages if (page.extract_text() or "").startswith("Cutting")]
        arrows = [page for page in book.pages if (page.extract_text() or "").startswith("Outline strokes")]
        words = sheets[0].extract_words(extra_attrs=["size"])
        text = " ".join("\n".join(page.extract_text() for page in sheets).split())
    numbers = {int(word["text"]) for word in words if word["size"] < 9 and word["text"].isdigit()}
    assert {cut.number for cut in straight(plan.cuts)} <= numbers
    assert len(arrows) == 1
    for caution in ("Ask for help with tight corners", "no promise of safety", "Not for children", "glove"):
        assert caution in text
    for cut in straight(plan.cuts):
        assert cut.sentence.split(", ", 1)[1] in text


def test_a_whole_square_has_no_cut_plan() -> None:
    plan = sw.plan(POND / "lily.png", panel=FOOT, ending="whole square")
    with pdfplumber.open(io.BytesIO(plan.to_pdf())) as book:
        assert not any((page.extract_text() or "").startswith("Cutting") for page in book.pages)
