"""Figures share panels by their true shapes: as few as there can be, never too near, the same every time."""

import os
import pickle
import subprocess
import sys
import time
import xml.etree.ElementTree as ET
from fractions import Fraction
from itertools import combinations
from math import gcd, lcm
from pathlib import Path

import numpy as np
import pytest
import rectpack
from scipy import ndimage

import squarewright as sw
from solvers import fewest_panels

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = ["lily", "frog", "newt", "dragonfly", "bulrush", "kingfisher", "moorhen", "heron", "otter"]
FOOT = sw.Panel("12 in", "12 in")
ELL = sw.Grid([[0, -1], [0, 0]], ["#336699"])


def solid(rows, columns):
    return sw.Grid(np.zeros((rows, columns), np.int64), ["#336699"])


def pond(count=9):
    grids = [sw.recover(POND / f"{name}.png").grid for name in FIGURES]
    return [grids[place % len(grids)] for place in range(count)]


def blot(chance, side):
    """Make a ragged figure with holes and bare edges."""
    rows, columns = chance.integers(2, side, 2)
    cells = np.where(chance.random((rows, columns)) < 0.6, 0, -1)
    cells[chance.integers(rows), chance.integers(columns)] = 0
    return sw.Grid(cells, ["#336699"])


def close(grid, turns):
    """Give the cells of a figure as they lie: within their smallest box, turned clockwise."""
    filled = np.asarray(grid.cells) >= 0
    rows, columns = np.flatnonzero(filled.any(1)), np.flatnonzero(filled.any(0))
    return np.rot90(filled[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1], -turns)


def bitmaps(nested, grids, pitches, panel, unit):
    """Paint each figure of a panel on a bitmap of its own, a pixel for each `unit`."""
    size = [int(side.inches / unit) for side in (panel.height, panel.width)]
    for figure in nested.figures:
        scale = pitches[figure.index].inches / unit
        assert scale.denominator == 1
        cells = np.kron(close(grids[figure.index], figure.quarter_turns), np.ones((int(scale),) * 2, bool))
        top, left = figure.y.inches / unit, figure.x.inches / unit
        assert top.denominator == left.denominator == 1
        assert cells.shape == (figure.height.inches / unit, figure.width.inches / unit)
        canvas = np.zeros(size, bool)
        window = canvas[int(top) : int(top) + cells.shape[0], int(left) : int(left) + cells.shape[1]]
        assert window.shape == cells.shape, "a figure lies off the panel"
        window |= cells
        yield canvas


def common(lengths):
    """Give the largest length, in inches, that goes into all of them."""
    values = [length.inches for length in lengths if length.inches]
    bottom = lcm(*(value.denominator for value in values))
    return Fraction(gcd(*(int(value * bottom) for value in values)), bottom)


def check(nesting, grids, pitches, gap="1/4 in", margin="0 in", step="1/8 in"):
    """Check, by bitmaps of our own, that all figures lie on panels once, apart and inside."""
    gap, margin, step = sw.Length(gap), sw.Length(margin), sw.Length(step)
    panel = nesting.panel
    unit = common([*pitches, gap, margin, step, panel.width, panel.height])
    placed = sorted(figure.index for nested in nesting.panels for figure in nested.figures)
    assert placed == list(range(len(grids)))
    assert nesting.count == len(nesting.panels) >= nesting.lower_bound >= 1
    rounded = int(-(-gap.inches // step.inches) * step.inches / unit)
    apart, edge = int(gap.inches / unit), int(margin.inches / unit)
    for nested in nesting.panels:
        assert all(
            (spot / step).denominator == 1 for figure in nested.figures for spot in (figure.x, figure.y)
        )
        taken = np.zeros([int(side.inches / unit) for side in (panel.height, panel.width)], bool)
        far = taken.copy()
        for figure in bitmaps(nested, grids, pitches, panel, unit):
            assert not (taken & figure).any(), "two figures come too near to each other"
            inside = figure[edge : figure.shape[0] - edge, edge : figure.shape[1] - edge]
            assert inside.sum() == figure.sum(), "a figure lies in the margin"
            taken |= ndimage.maximum_filter(figure, 2 * apart + 1)
            # A gap that is no whole count of the lattice is rounded up, to a step at the most.
            far |= ndimage.maximum_filter(figure, 2 * rounded + 1)
        left_over(nested, taken, far, unit)


def left_over(nested, taken, far, unit):
    """Check that off-cuts are free, and that the first is the largest there is."""
    free = np.pad(np.cumsum(np.cumsum(far, 0), 1), ((1, 0), (1, 0)))
    seen = np.zeros(taken.shape, bool)
    areas = []
    for offcut in nested.offcuts:
        assert min(offcut.width, offcut.height) >= sw.Length("2 in")
        sides = (offcut.y, offcut.y + offcut.height, offcut.x, offcut.x + offcut.width)
        top, bottom, left, right = (side.inches / unit for side in sides)
        window = (slice(int(np.ceil(top)), int(bottom)), slice(int(np.ceil(left)), int(right)))
        assert not taken[window].any() and not seen[window].any()
        seen[window] = True
        areas.append((bottom - top) * (right - left))
    assert areas == sorted(areas, reverse=True)
    least = int(np.ceil(2 / unit))
    largest = areas[0] if areas else 0
    for height in range(least, taken.shape[0] + 1):
        for width in {least, max(least, int(largest // height) + 1)}:
            if width <= taken.shape[1] and height * width > largest:
                sums = free[height:, width:] - free[:-height, width:] - free[height:, :-width]
                assert (sums + free[:-height, :-width] > 0).all(), "a larger off-cut is free"


@pytest.mark.parametrize(
    ("block", "figures", "panels"), [("2 in", 12, 1), ("2 in", 13, 2), ("4 in", 2, 1), ("4 in", 3, 2)]
)
def test_corners_of_three_squares_interlock(block, figures, panels):
    """12 of them fill a square of 6 × 6 (39 squares are 13), and 3 never one of 3 × 3 (Golomb 1954)."""
    nesting = sw.nest([ELL] * figures, FOOT, pitch=block, gap="0 in")
    assert (nesting.count, nesting.proven) == (panels, True)
    check(nesting, [ELL] * figures, [sw.Length(block)] * figures, "0 in")


# Hopper and Turton 2001, doi 10.1016/S0377-2217(99)00357-4, problem C1-P1 as in 2DPackLib: 20 wide, 20 high.
C1_P1 = [(2, 12), (7, 12), (8, 6), (3, 6), (3, 5), (5, 5), (3, 12), (3, 7), (5, 7), (2, 6), (3, 2), (4, 2)]
C1_P1 += [(3, 4), (4, 4), (9, 2), (11, 2)]


@pytest.mark.parametrize("height", [22, 21, 20])
def test_sixteen_rectangles_fill_their_panel_as_their_authors_did(height):
    grids = [solid(rows, columns) for columns, rows in C1_P1]
    nesting = sw.nest(grids, sw.Panel("20 in", f"{height} in"), pitch="1 in", gap="0 in", step="1 in")
    assert nesting.count == 1
    check(nesting, grids, [sw.inches(1)] * 16, "0 in", step="1 in")


@pytest.mark.parametrize("seed", range(50))
def test_few_rectangles_take_as_few_panels_as_an_exact_solver_finds(seed):
    """Source of the answer: CP-SAT of OR-Tools, on sizes by chance."""
    chance = np.random.default_rng(seed)
    side = int(chance.integers(6, 13))
    sizes = [tuple(map(int, pair)) for pair in chance.integers(1, side + 1, (chance.integers(3, 9), 2))]
    if seed % 2:
        sizes = [tuple(max(1, length * 2 // 3) for length in pair) for pair in sizes]
    grids = [solid(rows, columns) for columns, rows in sizes]
    panel = sw.Panel(f"{side} in", f"{side} in")
    nesting = sw.nest(grids, panel, pitch="1 in", gap="0 in", step="1 in")
    assert nesting.count == fewest_panels(sizes, side)
    assert nesting.proven
    check(nesting, grids, [sw.inches(1)] * len(grids), "0 in", step="1 in")


@pytest.mark.parametrize("seed", range(30))
def test_true_shapes_never_take_more_panels_than_their_boxes(seed):
    """Source: rectpack, the best of its 45 ways, on boxes with their gap in steps of 1/8 in."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(5, 25))
    grids = [solid(*map(int, chance.integers(4, 33, 2))) for _ in range(count)]
    if seed % 2:
        grids = [blot(chance, 32) for _ in range(count)]
    nesting = sw.nest(grids, FOOT, pitch="3/16 in")
    boxes = [
        tuple(int(np.ceil(Fraction(3 * cells, 2))) + 2 for cells in close(grid, 0).shape) for grid in grids
    ]
    ways = [
        (kind, order)
        for kind in (*MAXRECTS, *SKYLINES, *GUILLOTINES)
        for order in (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_PERI)
    ]
    assert nesting.count <= min(boxed(boxes, kind, order) for kind, order in ways)
    check(nesting, grids, [sw.Length("3/16 in")] * count)


MAXRECTS = [rectpack.MaxRectsBl, rectpack.MaxRectsBssf, rectpack.MaxRectsBaf, rectpack.MaxRectsBlsf]
SKYLINES = [rectpack.SkylineBl, rectpack.SkylineBlWm, rectpack.SkylineMwf, rectpack.SkylineMwfl]
SKYLINES += [rectpack.SkylineMwfWm, rectpack.SkylineMwflWm]
GUILLOTINES = [rectpack.GuillotineBssfSas, rectpack.GuillotineBafSas, rectpack.GuillotineBafLlas]
GUILLOTINES += [rectpack.GuillotineBssfMaxas, rectpack.GuillotineBlsfLas]


def boxed(boxes, kind, order):
    packer = rectpack.newPacker(pack_algo=kind, sort_algo=order, rotation=True)
    for box in boxes:
        packer.add_rect(*box)
    # The panel has 96 steps a side, and a gap beyond its edge does no harm.
    packer.add_bin(98, 98, count=len(boxes))
    packer.pack()
    assert len(packer.rect_list()) == len(boxes)
    return len(packer)


@pytest.mark.parametrize("seed", range(20))
def test_figures_keep_their_gap_and_lie_inside(seed):
    chance = np.random.default_rng(seed)
    count = int(chance.integers(2, 16))
    grids = [blot(chance, 24) for _ in range(count)]
    texts = [str(chance.choice(["1/8 in", "3/16 in", "1/4 in", "3/32 in"])) for _ in range(count)]
    gap = str(chance.choice(["0 in", "1/16 in", "1/4 in", "6 mm", "1/3 in"]))
    margin = str(chance.choice(["0 in", "1/16 in", "1/2 in"]))
    step = str(chance.choice(["1/8 in", "1/16 in", "1/4 in"]))
    panel = sw.Panel(*chance.choice(["8 in", "11 15/16 in", "10 3/8 in"], 2))
    turning = bool(chance.integers(2))
    nesting = sw.nest(
        grids, panel, pitch=texts, gap=gap, margin=margin, step=step, turning=turning, seed=seed
    )
    # 6 mm and inches share no pixel of a useful size.
    bare = "15/64 in" if gap == "6 mm" else gap
    check(nesting, grids, [sw.Length(text) for text in texts], bare, margin, step)
    figures = [figure for nested in nesting.panels for figure in nested.figures]
    assert turning or not any(figure.quarter_turns for figure in figures)


@pytest.mark.parametrize(
    ("pitch", "gap"), [("2.7 mm", "6 mm"), (sw.inches(12) / 44, "0 in"), ("3 mm", "1/4 in")]
)
def test_cells_without_a_common_measure_keep_their_gap_too(pitch, gap):
    """Every two cells of two figures, by exact fractions."""
    grids, pitch, gap = pond()[:4] * 2, sw.Length(pitch), sw.Length(gap)
    nesting = sw.nest(grids, FOOT, pitch=pitch, gap=gap)
    assert sum(len(nested.figures) for nested in nesting.panels) == 8
    bottom = lcm(pitch.inches.denominator, gap.inches.denominator, 8)
    cell, apart, side = (int(length.inches * bottom) for length in (pitch, gap, sw.inches(12)))
    for nested in nesting.panels:
        spots = []
        for figure in nested.figures:
            rows, columns = np.nonzero(close(grids[figure.index], figure.quarter_turns))
            left, top = int(figure.x.inches * bottom), int(figure.y.inches * bottom)
            spots.append((left + columns * cell, top + rows * cell))
            assert min(xy.min() for xy in spots[-1]) >= 0 and max(xy.max() for xy in spots[-1]) + cell <= side
        for one, two in combinations(spots, 2):
            far = [abs(a[:, None] - b[None, :]) >= cell + apart for a, b in zip(one, two, strict=True)]
            assert (far[0] | far[1]).all()


def test_twenty_figures_are_nested_while_the_maker_waits():
    grids = [grid for grid in pond(23) if len(grid.cells[0]) < 64][:20]
    start = time.process_time()
    nesting = sw.nest(grids, FOOT, pitch="3/16 in")
    assert time.process_time() - start <= 2
    check(nesting, grids, [sw.Length("3/16 in")] * 20)


def test_a_small_figure_lies_in_the_hollow_of_a_large_one():
    frame = np.zeros((12, 12), np.int64)
    frame[2:10, 2:10] = -1
    grids = [sw.Grid(frame, ["#336699"]), solid(7, 7)]
    nesting = sw.nest(grids, FOOT, pitch="1 in", gap="1/2 in")
    assert nesting.count == 1 and nesting.proven
    assert [(str(figure.x), str(figure.y)) for figure in nesting.panels[0].figures][1] == (
        "2 1/2 in",
        "2 1/2 in",
    )
    assert sw.nest(grids, FOOT, pitch="1 in", gap="9/16 in").count == 2


SAME = """
import sys, pickle, hashlib, squarewright as sw
from pathlib import Path
paths = [path for path in sorted(Path(sys.argv[1]).glob("*.png")) if "-" not in path.name]
grids = [sw.recover(path).grid for path in paths]
nesting = sw.nest(grids, sw.Panel("12 in", "12 in"), pitch="1/8 in")
print(len(grids), hashlib.sha256(pickle.dumps(nesting)).hexdigest())
"""


def test_one_thread_and_two_nest_alike():
    def told(threads):
        environment = os.environ | {"RAYON_NUM_THREADS": threads}
        command = [sys.executable, "-c", SAME, str(POND)]
        return subprocess.run(command, env=environment, capture_output=True, text=True, check=True).stdout

    assert told("1") == told("2") != ""


def test_another_seed_is_allowed_and_the_same_seed_gives_the_same():
    grids = pond()
    first, second = (sw.nest(grids, FOOT, pitch="1/8 in", seed=7) for _ in range(2))
    assert first == second
    check(first, grids, [sw.Length("1/8 in")] * 9)


def test_a_nesting_tells_what_it_is():
    grids = [solid(4, 8), solid(4, 4), ELL]
    nesting = sw.nest(grids, FOOT, pitch=["1 in", "1 in", "1/2 in"])
    assert repr(nesting) == "Nesting(3 figures on 1 panel of 12 in x 12 in, the fewest)"
    nested = nesting.panels[0]
    assert repr(nested).startswith("NestedPanel(3 figures, ")
    assert str(nested.figures[0].width) in ("8 in", "4 in")
    assert repr(nested.figures[0]).startswith("NestedFigure(")
    assert repr(nested.offcuts[0]) == "OffCut(7 3/4 in x 7 3/4 in at 4 1/4 in, 4 1/4 in)"
    for value in (nesting, nested, nested.figures[0], nested.offcuts[0]):
        assert pickle.loads(pickle.dumps(value)) == value
    assert repr(sw.nest(pond(), FOOT, pitch="1/8 in")).endswith("1 or more needed)")


def test_the_drawing_shows_every_figure_in_its_true_shape():
    grids = pond()
    nesting = sw.nest(grids, FOOT, pitch="1/8 in")
    drawing = ET.fromstring(nesting._repr_svg_())
    space = {"svg": "http://www.w3.org/2000/svg"}
    words = [text.text for text in drawing.findall(".//svg:text", space)]
    assert {str(number) for number in range(1, 10)} | {"Panel 1", "Panel 2"} <= set(words)
    offcut = nesting.panels[-1].offcuts[0]
    assert f"{offcut.width} x {offcut.height}" in words
    shades = {path.get("fill") for path in drawing.findall(".//svg:path", space)}
    assert {"#" + bytes(rgb).hex() for grid in grids for rgb in grid.palette} <= shades


def test_an_offcut_says_which_figures_it_could_hold():
    offcut = sw.nest([solid(12, 12)], FOOT, pitch="1/2 in").panels[0].offcuts[0]
    assert (str(offcut.width), str(offcut.height)) == ("5 3/4 in", "12 in")
    grids = [solid(5, 12), solid(12, 5), solid(6, 6), ELL]
    assert offcut.fits(grids, pitch="1 in") == [0, 1, 3]
    assert offcut.fits(grids, pitch="1 in", turning=False) == [1, 3]
    assert offcut.fits(grids, pitch="1 in", margin="1/2 in") == [3]
    assert offcut.fits(grids, pitch=["1 in", "1 in", "1/2 in", "3 in"]) == [0, 1, 2]


@pytest.mark.parametrize(
    ("settings", "told"),
    [
        ({"pitch": "1 in", "gap": "-1/8 in"}, "SIZE-BAD: gap cannot be -1/8 in"),
        ({"pitch": "1 in", "margin": "-1 mm"}, "SIZE-BAD: margin cannot be"),
        ({"pitch": "1 in", "margin": "6 in"}, "SIZE-FIT: .* margins leave no room"),
        ({"pitch": "1 in", "step": "0 in"}, "SIZE-BAD: step cannot be"),
        ({"pitch": "1 in", "step": "0.01 mm"}, "VALUE-BAD: step must be a 2048th"),
        ({"pitch": "1 in", "smallest_offcut": "0 in"}, "SIZE-BAD: smallest_offcut"),
        ({"pitch": 1}, "SIZE-BAD: pitch cannot be 1, which has no unit"),
        ({"pitch": "0 in"}, "SIZE-BAD: pitch"),
        ({"pitch": ["1 in"]}, r"VALUE-BAD: pitch must be one length, or as many as there are grids \(2\)"),
        ({"pitch": "1 in", "seed": -1}, "VALUE-BAD: seed"),
        ({"pitch": "4 in"}, "SIZE-FIT: grids\\[1\\] is 12 in x 16 in.*on several panels first"),
        ({"pitch": "3 in", "margin": "1/4 in"}, "SIZE-FIT: grids\\[1\\] .* with margins of 1/4 in"),
    ],
)
def test_what_cannot_be_is_refused(settings, told):
    with pytest.raises((sw.SizeError, sw.ArgumentError), match=told):
        sw.nest([ELL, solid(4, 3)], FOOT, **settings)


@pytest.mark.parametrize("grids", [[], [ELL] * 501, ELL, [ELL, None], "heron", None])
def test_what_is_no_list_of_figures_is_refused(grids):
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD: grids must be a list of"):
        sw.nest(grids, FOOT, pitch="1 in")


def test_a_grid_of_bare_cells_alone_never_gets_as_far():
    with pytest.raises(sw.GridError, match=r"GRID-BAD: .*every cell is bare"):
        sw.nest([sw.Grid([[-1, -1]], ["#336699"])], FOOT, pitch="1 in")


def test_a_figure_that_fits_turned_alone_says_so():
    board = sw.Panel("12 in", "6 in")
    assert sw.nest([solid(12, 6)], board, pitch="1 in").panels[0].figures[0].quarter_turns == 1
    with pytest.raises(sw.SizeError, match=r"SIZE-FIT: .*allow turning"):
        sw.nest([solid(12, 6)], board, pitch="1 in", turning=False)
