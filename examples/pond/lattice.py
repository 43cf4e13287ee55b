"""Shapes on the cell lattice: each returns the set of cells it covers.

A cell is named by its column and row, counted from the top left. A shape
covers a cell when it covers the cell's centre, so nothing is ever half painted.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

Cell = tuple[int, int]
Cells = frozenset[Cell]
Point = tuple[float, float]

_SIDES: tuple[Cell, ...] = ((0, -1), (-1, 0), (1, 0), (0, 1))


def polygon(points: Sequence[Point]) -> Cells:
    """Cover the inside of a straight-sided outline."""
    left = math.floor(min(x for x, _ in points))
    right = math.ceil(max(x for x, _ in points))
    top = math.floor(min(y for _, y in points))
    bottom = math.ceil(max(y for _, y in points))
    box = ((x, y) for y in range(top, bottom) for x in range(left, right))
    return frozenset(cell for cell in box if _inside(cell, points))


def blob(points: Sequence[Point]) -> Cells:
    """Cover the inside of a smooth outline that passes through the points."""
    return polygon(_curve(points, closed=True))


def ellipse(x: float, y: float, across: float, down: float, tilt: float = 0.0) -> Cells:
    """Cover an ellipse given by its centre, its two radii and a tilt in degrees."""
    cosine, sine = math.cos(math.radians(tilt)), math.sin(math.radians(tilt))
    reach = math.ceil(max(across, down)) + 1
    found: set[Cell] = set()
    for row in range(math.floor(y) - reach, math.floor(y) + reach + 1):
        for column in range(math.floor(x) - reach, math.floor(x) + reach + 1):
            dx, dy = column + 0.5 - x, row + 0.5 - y
            along, over = dx * cosine + dy * sine, dy * cosine - dx * sine
            if (along / across) ** 2 + (over / down) ** 2 <= 1.0:
                found.add((column, row))
    return frozenset(found)


def tube(points: Sequence[Point], radii: Sequence[float]) -> Cells:
    """Cover a smooth path whose radius changes from point to point."""
    spine = _curve(points, closed=False)
    steps = (len(spine) - 1) // (len(points) - 1)
    found: set[Cell] = set()
    for index, (x, y) in enumerate(spine):
        start = min(index // steps, len(radii) - 2)
        share = (index - start * steps) / steps
        radius = radii[start] * (1 - share) + radii[start + 1] * share
        found |= ellipse(x, y, radius, radius)
    return frozenset(found)


def trail(points: Sequence[Point]) -> Cells:
    """Cover a path one cell wide, stepping by edges so that it never breaks."""
    found: set[Cell] = set()
    last: Cell | None = None
    for x, y in _curve(points, closed=False):
        cell = (math.floor(x), math.floor(y))
        if last is not None and cell[0] != last[0] and cell[1] != last[1]:
            found.add((last[0], cell[1]))
        found.add(cell)
        last = cell
    return frozenset(found)


def shifted(cells: Iterable[Cell], across: int, down: int) -> Cells:
    """Move the cells by whole steps."""
    return frozenset((x + across, y + down) for x, y in cells)


def mirrored(cells: Iterable[Cell], width: int) -> Cells:
    """Reflect the cells left to right within the width."""
    return frozenset((width - 1 - x, y) for x, y in cells)


def around(cells: Cells) -> Cells:
    """Give the cells just outside, those that share an edge with the shape."""
    near = {(x + dx, y + dy) for x, y in cells for dx, dy in _SIDES}
    return frozenset(near - cells)


def _inside(cell: Cell, points: Sequence[Point]) -> bool:
    """Tell whether the cell's centre lies inside the outline (even-odd rule)."""
    x, y = cell[0] + 0.5, cell[1] + 0.5
    inside = False
    for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def _curve(points: Sequence[Point], *, closed: bool, steps: int = 24) -> list[Point]:
    """Thread a smooth (Catmull-Rom) curve through the points."""
    count = len(points)
    if closed:
        framed = [points[-1], *points, points[0], points[1 % count]]
    else:
        framed = [points[0], *points, points[-1]]
    path: list[Point] = []
    for four in zip(framed, framed[1:], framed[2:], framed[3:], strict=False):
        path += [_between(four, step / steps) for step in range(steps)]
    return path if closed else [*path, points[-1]]


def _between(four: tuple[Point, Point, Point, Point], share: float) -> Point:
    """Find the point part-way along the middle span of four guide points."""
    weights = (
        -0.5 * share + share**2 - 0.5 * share**3,
        1.0 - 2.5 * share**2 + 1.5 * share**3,
        0.5 * share + 2.0 * share**2 - 1.5 * share**3,
        -0.5 * share**2 + 0.5 * share**3,
    )
    x = sum(weight * point[0] for weight, point in zip(weights, four, strict=True))
    y = sum(weight * point[1] for weight, point in zip(weights, four, strict=True))
    return (x, y)
