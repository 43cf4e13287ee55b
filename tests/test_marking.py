"""Sparse marking and the counted walk, against masks worked out in plain numpy."""

import csv
import io
from pathlib import Path

import numpy as np
import pytest

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
FIGURES = sorted(path for path in POND.glob("*.png") if "-" not in path.stem)
PANEL = sw.Panel("12 in", "12 in")


def masks(count: int, seed: int, most: int = 24) -> list[np.ndarray]:
    """Draw figures by chance, from sparse to dense, some of even blocks, with holes and corner joints."""
    chance = np.random.default_rng(seed)
    found = []
    while len(found) < count:
        mask = chance.random(chance.integers(1, most, 2)) < chance.uniform(0.1, 0.9)
        if len(found) % 2:
            mask = np.kron(mask, np.ones(chance.integers(1, 6, 2), dtype=bool))
        if mask.any():
            found.append(mask)
    return found


def grid(mask: np.ndarray) -> sw.Grid:
    return sw.Grid(np.where(mask, 0, -1), ["#1d2430"])


def plans() -> list[sw.Plan]:
    """Plan all demo figures and a hundred by chance, on one panel and on several."""
    found = []
    for number, cells in enumerate([sw.recover(path).grid for path in FIGURES] + masks(100, seed=3)):
        figure = cells if isinstance(cells, sw.Grid) else grid(cells)
        rows, columns = figure.cells.shape
        across = 2 if number % 3 == 1 and columns > 3 else None
        down = 2 if number % 4 == 1 and rows > 3 else None
        large = sw.Panel("40 in", "40 in")
        found.append(sw.plan(figure, panel=large, across=across, down=down, marking="sparse"))
    return found


PLANS = plans()


def parts(plan: sw.Plan) -> list[tuple[np.ndarray, dict, int, int]]:
    """Cut the mask up as the panels do: each part, its lines, and its first row and column."""
    mask = plan.grid.cells >= 0
    return [
        (mask[lines["rows"][0][0] : lines["rows"][-1][0], left : lines["columns"][-1][0]], lines, top, left)
        for lines in plan.marking["panels"]
        for top, left in [(lines["rows"][0][0], lines["columns"][0][0])]
    ]


def corners(mask: np.ndarray) -> np.ndarray:
    """Find the places where the boundary turns: the four cells around are no straight edge, nor all alike."""
    wide = np.pad(mask, 1)
    a, b, c, d = wide[:-1, :-1], wide[:-1, 1:], wide[1:, :-1], wide[1:, 1:]
    straight = ((a == b) & (c == d)) | ((a == c) & (b == d))
    return np.argwhere(~straight)


def test_there_are_panels_enough_to_mean_something() -> None:
    assert len(FIGURES) >= 8
    assert sum(len(plan.marking["panels"]) > 1 for plan in PLANS) > 20


def test_every_corner_of_the_outline_lies_where_two_drawn_lines_cross() -> None:
    found = 0
    for plan in PLANS:
        for mask, lines, top, left in parts(plan):
            columns = {index: (start, end) for index, start, end in lines["columns"]}
            rows = {index: (start, end) for index, start, end in lines["rows"]}
            for row, column in corners(mask) + np.array((top, left)):
                start, end = columns[column]
                assert start <= row <= end
                start, end = rows[row]
                assert start <= column <= end
                found += 1
    assert found > 5_000


def test_what_is_kept_is_what_the_outline_runs_along_and_every_fifth() -> None:
    for plan in PLANS:
        wide = np.pad(plan.grid.cells >= 0, 1)
        upright, level = wide[1:-1, 1:] != wide[1:-1, :-1], wide[1:, 1:-1] != wide[:-1, 1:-1]
        lines = cells = every = full = 0
        for mask, kept, top, left in parts(plan):
            (height, width), own = mask.shape, []
            for edges, first, across, count, length in (
                (upright.T, left, top, width, height),
                (level, top, left, height, width),
            ):
                for index in range(first, first + count + 1):
                    runs = np.flatnonzero(edges[index, across : across + length])
                    if index % 5 == 0 or index in (first, first + count):
                        own.append((index, across, across + length))
                    elif len(runs):
                        own.append((index, across + runs[0], across + runs[-1] + 1))
            assert kept["columns"] + kept["rows"] == own
            lines += len(own)
            cells += sum(end - start for _, start, end in own)
            every += height + width + 2
            full += (width + 1) * height + (height + 1) * width
        marking, metre = plan.marking, float(plan.fit.pitch.mm) / 1e3
        assert (marking["lines"], marking["lines_saved"]) == (lines, every - lines)
        assert (marking["marks"], marking["marks_saved"]) == (2 * lines, 2 * (every - lines))
        assert marking["metres"] == pytest.approx(cells * metre)
        assert marking["metres_saved"] == pytest.approx((full - cells) * metre)
        rates = plan.hours["rates"]
        for end in (0, 1):
            each = 2 * rates["mark"]["minutes"][end] + rates["line"]["minutes"][end]
            assert marking["minutes_saved"][end] == pytest.approx((every - lines) * each)


def test_the_hours_shrink_by_what_is_saved() -> None:
    for path in FIGURES[:4]:
        figure = sw.recover(path).grid
        full, sparse = (sw.plan(figure, panel=PANEL, marking=marking) for marking in ("all", "sparse"))
        assert full.marking["lines_saved"] == full.marking["metres_saved"] == 0
        for end in (0, 1):
            less = full.hours["stages"]["mark"]["work"][end] - sparse.hours["stages"]["mark"]["work"][end]
            assert less * 60 == pytest.approx(sparse.marking["minutes_saved"][end])
            assert sparse.marking["minutes_saved"][end] > 0


def test_the_list_of_marks_holds_the_kept_ones() -> None:
    for plan in PLANS[:20]:
        table = list(csv.DictReader(io.StringIO(plan.marks_csv())))
        for panel in plan.marking["panels"]:
            place = (str(panel["across"] + 1), str(panel["down"] + 1))
            own = [line for line in table if (line["panel_across"], line["panel_down"]) == place]
            for edges, key in (("top and bottom", "columns"), ("left and right", "rows")):
                listed = [line for line in own if line["edges"] == edges]
                assert [
                    tuple(int(line[name]) for name in ("mark", "from", "to")) for line in listed
                ] == panel[key]


def test_marking_survives_being_written_and_read() -> None:
    plan = PLANS[3]
    again = sw.Plan.from_json(plan.to_json())
    assert again == plan and again.marking == plan.marking
    with pytest.raises(sw.ArgumentError, match="marking"):
        sw.plan(plan.grid, panel=PANEL, marking="some")


STEPS = {"right": (0, 1), "down": (1, 0), "left": (0, -1), "up": (-1, 0)}


def rebuilt(walks: list[dict], shape: tuple[int, int]) -> np.ndarray:
    """Fill what the walks go round: every upright step turns over all cells to its right."""
    mask = np.zeros(shape, dtype=bool)
    for walk in walks:
        row, column = walk["start"]
        for count, way in walk["runs"]:
            down, right = STEPS[way]
            for _ in range(count):
                if down:
                    mask[min(row, row + down), column:] ^= True
                row, column = row + down, column + right
        assert (row, column) == walk["start"]
    return mask


def test_the_walk_gives_the_mask_back() -> None:
    figures = [sw.recover(path).grid.cells >= 0 for path in FIGURES] + masks(100, seed=4)
    holes = 0
    for mask in figures:
        walks = sw.walk(grid(mask))
        assert (rebuilt(walks, mask.shape) == mask).all()
        wide = np.pad(mask, 1)
        sides = (wide[1:] != wide[:-1]).sum() + (wide[:, 1:] != wide[:, :-1]).sum()
        assert sum(count for walk in walks for count, _ in walk["runs"]) == sides
        behind = sw.walk(grid(mask), mirrored=True)
        assert (rebuilt(behind, mask.shape) == mask[:, ::-1]).all()
        for one in (walks, behind):
            # Outer contours come first; each goes right from the leftmost of its topmost corners.
            assert [walk["hole"] for walk in one] == sorted(walk["hole"] for walk in one)
            assert all(walk["runs"][0][1] == "right" and walk["runs"][-1][1] == "up" for walk in one)
            for walk in one:
                ways = [way for _, way in walk["runs"]]
                assert all(a != b for a, b in zip(ways, ways[1:] + ways[:1], strict=True))
        holes += sum(walk["hole"] for walk in walks)
    assert holes > 50
