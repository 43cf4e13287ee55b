"""Card, edges, weight, fixings, steps and hours, against shapely and closed forms."""

import io
import json
import math

import numpy as np
import pdfplumber
import pytest
import shapely
from shapely import affinity
from shapely.geometry import Point, Polygon, box

import squarewright as sw

PANEL = sw.Panel("12 in", "12 in", thickness="1/4 in")
HERON = "examples/pond/heron.png"
INCH = 25.4


@pytest.fixture(scope="module")
def heron() -> sw.Plan:
    return sw.plan(HERON, panel=PANEL, stock=sw.Stock.basic())


def figures(count: int, seed: int) -> list[np.ndarray]:
    """Draw figures by chance, from sparse to dense, with corner joints, notches and holes."""
    chance = np.random.default_rng(seed)
    found = []
    while len(found) < count:
        shape = chance.integers(2, 14, 2)
        cells = np.where(chance.random(shape) < chance.uniform(0.3, 0.9), 0, -1)
        if (cells >= 0).any():
            found.append(cells)
    return found


def planned(cells: np.ndarray, **settings: object) -> sw.Plan:
    return sw.plan(sw.Grid(cells, ["#1d2430"]), panel=PANEL, **settings)


def board(plan: sw.Plan) -> shapely.Geometry:
    """Put the cells together; they are placed as exactly as the plan places them."""
    pitch = float(plan.fit.pitch.mm)
    places = np.argwhere(plan.grid.cells >= 0)
    return shapely.unary_union(
        [box(c * pitch, r * pitch, (c + 1) * pitch, (r + 1) * pitch) for r, c in places]
    )


def surface(contours: list[dict]) -> shapely.Geometry:
    """Fill outer lines and take holes away; lines that touch themselves are made simple."""
    outer = [Polygon(c["places"]).buffer(0) for c in contours if not c["hole"]]
    holes = [Polygon(c["places"]).buffer(0) for c in contours if c["hole"]]
    return shapely.unary_union(outer).difference(shapely.unary_union(holes))


def apart(one: shapely.Geometry, other: shapely.Geometry) -> float:
    return one.symmetric_difference(other).area


def test_square_offsets_are_those_of_shapely() -> None:
    for cells in figures(60, seed=7):
        margin = 0.25 * INCH
        plan = planned(cells, mounting=sw.Mounting(smallest_hole="0 in"))
        theirs = board(plan).buffer(margin, join_style="mitre", mitre_limit=2)
        # A mitre leaves a corner joint as two squares that overlap; the same squares grow from every cell.
        pitch = float(plan.fit.pitch.mm)
        grown = [
            box(c * pitch - margin, r * pitch - margin, (c + 1) * pitch + margin, (r + 1) * pitch + margin)
            for r, c in np.argwhere(cells >= 0)
        ]
        ours = surface(plan.backing["contours"])
        assert apart(ours, shapely.unary_union(grown)) < 1e-3
        assert ours.area == pytest.approx(theirs.area, rel=1e-6)
        assert apart(ours, theirs) < 1e-3
        assert plan.backing["area_cm2"] * 100 == pytest.approx(theirs.area, rel=1e-6)


def test_round_offsets_are_those_of_shapely() -> None:
    for cells in figures(40, seed=8):
        plan = planned(cells, mounting=sw.Mounting(corners="round", smallest_hole="0 in"))
        theirs = board(plan).buffer(0.25 * INCH, quad_segs=64)
        ours = surface(plan.backing["contours"])
        # Chords of both stay within a thousandth of the margin of the arc.
        room = 2e-3 * 0.25 * INCH * theirs.length
        assert apart(ours, theirs) < room
        assert plan.backing["cut_mm"] == pytest.approx(theirs.length, rel=2e-3)


def test_the_card_is_larger_than_the_figure_until_it_is_trimmed() -> None:
    for number, cells in enumerate(figures(60, seed=9)):
        corners = ("square", "round")[number % 2]
        plan = planned(cells, mounting=sw.Mounting(corners=corners, margin="1/8 in"))
        figure, card = board(plan), surface(plan.backing["contours"])
        assert card.contains(figure.buffer(0.124 * INCH, quad_segs=32))
        # The two lines never cross, nor come nearer than the margin.
        assert card.boundary.distance(figure.boundary) >= 0.1249 * INCH
        assert plan.backing["glued_cm2"] * 100 == pytest.approx(figure.area, rel=1e-6)
        assert plan.backing["trim_mm"] == pytest.approx(sides(cells) * float(plan.fit.pitch.mm), rel=1e-6)


def sides(cells: np.ndarray) -> int:
    padded = np.pad(cells >= 0, 1)
    return sum(int((padded & ~np.roll(padded, step, axis)).sum()) for axis in (0, 1) for step in (1, -1))


def test_trimmed_card_holds_what_meets_at_corners_and_nothing_else() -> None:
    from scipy import ndimage

    for cells in figures(80, seed=10):
        plan = planned(cells)
        webs = [box(x, y, x + side, y + side) for x, y, side in plan.backing["webs"]]
        trimmed = shapely.unary_union([board(plan), *webs]).buffer(0)
        pieces = len(trimmed.geoms) if trimmed.geom_type == "MultiPolygon" else 1
        assert pieces == ndimage.label(cells >= 0, np.ones((3, 3)))[1] == plan.backing["parts"]
        bare = ndimage.label(cells >= 0)[1]
        assert bare >= pieces


def test_a_whole_square_stays_one_piece() -> None:
    for cells in figures(10, seed=11):
        plan = planned(cells, ending="whole square")
        assert plan.backing["parts"] == 1 and not plan.backing["webs"]
        card = surface(plan.backing["contours"])
        assert card.area == pytest.approx((12.5 * INCH) ** 2)
        assert planned(cells, ending="whole square", backing=False).backing is None


def test_mirrored_is_the_card_from_behind(heron: sw.Plan) -> None:
    width = float(heron.fit.width.mm)
    front, back = (surface(heron.backing[key]) for key in ("contours", "mirrored"))
    turned = affinity.translate(affinity.scale(front, -1, 1, origin=(0, 0)), width)
    assert apart(back, turned) < 1e-3
    assert apart(back, front) > 100, "the heron looks one way"


def test_small_holes_stay_closed_and_are_counted() -> None:
    ring = np.zeros((5, 5), dtype=int)
    ring[2, 2] = -1
    plan = planned(ring)
    hole = float(plan.fit.pitch.mm) - 0.5 * INCH
    assert hole > INCH
    assert plan.backing["closed_holes"] == 0
    assert sum(contour["hole"] for contour in plan.backing["contours"]) == 1
    closed = planned(ring, mounting=sw.Mounting(smallest_hole="2 in"))
    assert closed.backing["closed_holes"] == 1
    assert not any(contour["hole"] for contour in closed.backing["contours"])


def test_balance_and_weight_are_those_of_shapely() -> None:
    for cells in figures(40, seed=12):
        plan = planned(cells)
        figure, hanging = board(plan), plan.hanging
        assert hanging["balance_mm"] == pytest.approx((figure.centroid.x, figure.centroid.y), abs=1e-4)
        grams = [figure.area * 0.25 * INCH / 1000 * density for density in (0.15, 0.20, 0.25)]
        assert hanging["board_grams"] == pytest.approx(grams, rel=1e-6)
        assert hanging["card_grams"][1] == pytest.approx(figure.area * 500e-6, rel=1e-6)
        assert plan.backing["glue_ml"][1] == pytest.approx(figure.area * 170e-6, rel=1e-6)
        low, likely, high = plan.weight
        assert low < likely < high and plan.weight == hanging["grams"]
        assert hanging["rated_grams"] == pytest.approx(4 * high)
        assert hanging["fixings"] == max(2, math.ceil(4 * high / 450))


def test_fixings_lie_well_inside_and_hang_it_level() -> None:
    hung = 0
    for cells in figures(80, seed=13):
        plan = planned(cells)
        # A rounding of places to whole units is far below a thousandth of a millimetre.
        inner, hanging = board(plan).buffer(-4.999), plan.hanging
        if hanging["hook_mm"]:
            assert inner.contains(Point(hanging["hook_mm"]))
            assert hanging["hook_mm"][0] == pytest.approx(hanging["balance_mm"][0])
            assert hanging["hook_mm"][1] <= hanging["balance_mm"][1] + 1e-6
        if hanging["pair_mm"]:
            hung += 1
            left, right = hanging["pair_mm"]
            assert inner.contains(Point(left)) and inner.contains(Point(right))
            assert left[1] == right[1] <= hanging["balance_mm"][1] + 1e-6
            assert (left[0] + right[0]) / 2 == pytest.approx(hanging["balance_mm"][0], abs=1e-4)
    assert hung > 20


def test_edges_of_board_and_card_reach_the_jars(heron: sw.Plan) -> None:
    length = sides(heron.grid.cells) * float(heron.fit.pitch.mm)
    assert sum(edge["length_mm"] for edge in heron.edges) == pytest.approx(length)
    assert all(edge["depth_mm"] == pytest.approx(0.375 * INCH) for edge in heron.edges)
    bare = sw.plan(heron.grid, panel=PANEL, stock=sw.Stock.basic(), backing=False)
    assert all(edge["depth_mm"] == pytest.approx(0.25 * INCH) for edge in bare.edges)
    card = sum(jar["area_cm2"] for jar in heron.jars) - sum(jar["area_cm2"] for jar in bare.jars)
    assert card == pytest.approx(length * 0.125 * INCH / 100)
    outline = sw.plan(heron.grid, panel=PANEL, painting=sw.Painting(edges="outline"))
    assert len(outline.edges) < len(heron.edges)
    assert sum(edge["length_mm"] for edge in outline.edges) == pytest.approx(length)
    assert sw.plan(heron.grid, panel=PANEL, edges=False).edges == []
    assert sw.plan(heron.grid, panel=PANEL, ending="whole square").edges == []


def test_steps_stand_in_the_order_of_the_trade(heron: sw.Plan) -> None:
    # Common practice.
    order = (
        "marks, inner lines, outer lines, trace outline, check tracing, paint, paint dries, clean up, cut, "
    )
    order += "glue, glue dries, trim, edges, hang"
    assert heron.steps == heron.hours["steps"]
    steps = [step["step"] for step in heron.steps]
    places = [steps.index(step) for step in order.split(", ")]
    assert places == sorted(places)
    assert list(heron.hours["stages"]) == heron.stages
    waits = [step["step"] for step in heron.steps if step["wait_minutes"][1] > 0]
    assert waits == ["primer dries", "paint dries", "glue dries", "edges dry"]
    assert "edges" not in sw.plan(heron.grid, panel=PANEL, ending="whole square").stages


def test_hours_add_up_and_follow_what_one_stage_took(heron: sw.Plan) -> None:
    hours = heron.hours
    for kind in ("work", "wait"):
        for end in (0, 1):
            stages = sum(stage[kind][end] for stage in hours["stages"].values())
            steps = sum(step[f"{kind}_minutes"][end] for step in hours["steps"]) / 60
            assert hours[kind][end] == pytest.approx(stages) == pytest.approx(steps)
    low, high = hours["stages"]["mark"]["work"]
    slow = heron.with_rate("mark", 60 * 3 * (low + high) / 2).hours
    assert slow["pace"] == pytest.approx(3)
    assert slow["stages"]["mark"]["work"] == pytest.approx((1.5 * (low + high),) * 2)
    for stage, before in hours["stages"].items():
        after = slow["stages"][stage]
        assert after["wait"] == before["wait"]
        if stage != "mark":
            assert after["work"] == pytest.approx([3 * end for end in before["work"]])
    assert heron.hours == hours, "a plan never changes"


def test_more_patches_and_colours_take_longer(heron: sw.Plan) -> None:
    calm = np.zeros((16, 16), dtype=int)
    busy = np.indices(calm.shape).sum(axis=0) % 2
    palette = ["#1d2430", "#f2c14e"]
    one, two = (sw.plan(sw.Grid(cells, palette), panel=PANEL).hours for cells in (calm, busy))
    for end in (0, 1):
        assert two["stages"]["paint"]["work"][end] > 2 * one["stages"]["paint"]["work"][end]
        assert two["stages"]["trace"]["work"][end] > 2 * one["stages"]["trace"]["work"][end]
        assert two["stages"]["cut"]["work"] == one["stages"]["cut"]["work"]


def test_rates_are_settings(heron: sw.Plan) -> None:
    rates = heron.hours["rates"]
    assert all(0 <= rate["minutes"][0] <= rate["minutes"][1] for rate in rates.values())
    twice = {name: tuple(2 * end for end in rate["minutes"]) for name, rate in rates.items()}
    plan = sw.plan(heron.grid, panel=PANEL, stock=sw.Stock.basic(), rates=twice)
    assert plan.hours["work"] == pytest.approx([2 * end for end in heron.hours["work"]])


def test_mounting_survives_the_json(heron: sw.Plan) -> None:
    mounting = sw.Mounting(margin="1/2 in", corners="round", card=("20 in", "30 in"), rating=5)
    plan = sw.plan(heron.grid, panel=PANEL, mounting=mounting, rates={"patch": (1, 2)}).with_rate("cut", 90)
    again = sw.Plan.from_json(plan.to_json())
    assert again == plan
    assert (again.backing, again.hanging, again.hours) == (plan.backing, plan.hanging, plan.hours)
    written = json.loads(plan.to_json())
    assert written["backing"]["mm2"] == pytest.approx(plan.backing["area_cm2"] * 100)
    assert written["hanging"]["grams"]["high"] == pytest.approx(plan.hanging["grams"][2])
    stronger = plan.strengthened()
    assert stronger.hours["rates"] == plan.hours["rates"]
    assert stronger.hanging["rated_grams"] == pytest.approx(5 * stronger.hanging["grams"][2])


@pytest.mark.parametrize(
    ("setting", "code", "word"),
    [
        ({"margin": "0 in"}, "SIZE-BAD", "margin"),
        ({"margin": "4 in"}, "VALUE-BAD", "margin"),
        ({"corners": "fancy"}, "VALUE-BAD", "corners"),
        ({"card": ("1 in", "12 in")}, "VALUE-BAD", "card"),
        ({"web": "-1 in"}, "SIZE-BAD", "web"),
        ({"glue": (3, 2, 1)}, "VALUE-BAD", "glue"),
        ({"density": (0.1, math.nan, 0.3)}, "VALUE-BAD", "density"),
        ({"rating": 0.5}, "VALUE-BAD", "rating"),
        ({"fixing_grams": math.inf}, "VALUE-BAD", "fixing_grams"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_by_name(setting: dict, code: str, word: str) -> None:
    with pytest.raises(sw.SquarewrightError, match=word) as caught:
        sw.Mounting(**setting)
    assert caught.value.code == code


@pytest.mark.parametrize(
    ("stage", "minutes", "word"), [("fly", 3, "stage"), ("frame", 3, "stage"), ("cut", 0, "minutes")]
)
def test_a_time_that_cannot_be_is_refused(heron: sw.Plan, stage: str, minutes: float, word: str) -> None:
    with pytest.raises(sw.ArgumentError, match=word):
        heron.with_rate(stage, minutes)


def test_a_rate_that_is_none_is_refused(heron: sw.Plan) -> None:
    for rates in ({"hop": (1, 2)}, {"mark": (2, 1)}):
        with pytest.raises(sw.ArgumentError, match="rates"):
            sw.plan(heron.grid, panel=PANEL, rates=rates)


def printed(plan: sw.Plan, title: str, paper: str = "letter") -> list:
    book = pdfplumber.open(io.BytesIO(plan.to_pdf(paper)))
    return [page for page in book.pages if (page.extract_text() or "").splitlines()[0].startswith(title)]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("corners", ["square", "round"])
def test_the_card_is_printed_from_behind_at_true_size(paper: str, corners: str) -> None:
    heron = sw.plan(HERON, panel=PANEL, pitch="1/10 in", mounting=sw.Mounting(corners=corners))
    (page,) = [page for page in printed(heron, "Card", paper) if "BACK" in page.extract_text()]
    thick = [line for line in page.lines if line["linewidth"] == pytest.approx(1.4)]
    sides = [shapely.LineString(line["pts"]) for line in thick]
    drawn = shapely.unary_union(sides)
    behind = surface(heron.backing["mirrored"])
    points = affinity.scale(behind, 72 / INCH, 72 / INCH, origin=(0, 0)).boundary
    left, top, right, bottom = points.bounds
    assert np.subtract(drawn.bounds[2:], drawn.bounds[:2]) == pytest.approx(
        (right - left, bottom - top), abs=0.01
    )
    moved = affinity.translate(points, drawn.bounds[0] - left, drawn.bounds[1] - top)
    assert moved.hausdorff_distance(drawn) < 0.02
    assert drawn.length == pytest.approx(heron.backing["cut_mm"] / INCH * 72, rel=1e-3)


def test_large_cards_lie_on_several_pages_and_none_of_it_is_lost(heron: sw.Plan) -> None:
    sheets = [page for page in printed(heron, "Card") if "BACK" in page.extract_text()]
    assert len(sheets) > 1
    # Neighbours share what lies in their overlap, so at least the whole outline is drawn.
    length = sum(
        shapely.LineString(line["pts"]).length
        for page in sheets
        for line in page.lines
        if line["linewidth"] == pytest.approx(1.4)
    )
    whole = heron.backing["cut_mm"] / INCH * 72
    assert whole < length < 1.5 * whole
    words = " ".join(page.extract_text() for page in sheets)
    assert words.count("hook") >= 1 and words.count("fixing") >= 2


def test_every_step_has_a_box_and_the_pages_carry_their_cautions(heron: sw.Plan) -> None:
    framed = [rect for page in printed(heron, "All steps") for rect in page.rects if rect["stroke"]]
    boxes = sum(abs(rect["width"] - 9) < 0.01 for rect in framed)
    assert boxes == len(heron.hours["steps"])
    (gluing,) = printed(heron, "Card and glue")
    (hanging,) = printed(heron, "Hanging")
    gluing, hanging = (" ".join(page.extract_text().split()) for page in (gluing, hanging))
    for word in ("Waxed paper", "overnight", "label", "blade"):
        assert word in gluing
    for word in ("4 times", "cables and pipes", "qualified", "Weigh it"):
        assert word in hanging
    assert f"({heron.hanging['grams'][1]:.0f} g)" in hanging
    bare = sw.plan(heron.grid, panel=PANEL, backing=False)
    assert not printed(bare, "Card")
    assert "crumbles" in printed(bare, "Hanging")[0].extract_text()
    square = sw.plan(heron.grid, panel=PANEL, ending="whole square")
    assert not any("BACK" in page.extract_text() for page in printed(square, "Card"))
    assert "12 1/2 in × 12 1/2 in" in printed(square, "Card and glue")[0].extract_text().replace("\xa0", " ")
    assert "Frame: 12 1/8 in" in " ".join(printed(square, "Hanging")[0].extract_text().split())
