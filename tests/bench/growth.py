"""How times grow: each size is several times the one before, and the exponent says with which power."""

from collections.abc import Callable, Iterator
from functools import partial
from itertools import pairwise
from math import log
from statistics import median

import material
import numpy as np
from PIL import Image
from rounds import seconds, shown

import squarewright as sw

PANEL = sw.Panel("4 ft", "4 ft")

Series = tuple[str, list[tuple[str, float, Callable[[], object]]]]
"""What grows, and for each size its name, the number that grows and the work."""


def series() -> Iterator[Series]:
    """Give one series after another, so that only one is in memory."""
    photos = [material.photo(1000 * times, 750 * times) for times in (1, 2, 4)]
    yield "pixels, pixelate 60 × 45", [_photo(pixels) for pixels in photos]
    copies = [
        Image.fromarray(material.figure(64)).resize((side, side), Image.Resampling.BICUBIC)
        for side in (512, 1024, 2048)
    ]
    yield "pixels, recover 64 × 64, blended", [_copy(np.asarray(copy)) for copy in copies]
    yield "cells, pixelate 3 megapixels", [_columns(photos[1], side) for side in (32, 64, 128, 256)]
    figures = [sw.recover(material.figure(side)).grid for side in (32, 64, 128, 256)]
    yield "cells, plan and book", [_cells(grid, _book) for grid in figures]
    yield "cells, cut plan", [_cells(grid, _cuts) for grid in figures]
    yield "cells, weak spots", [_cells(grid, partial(sw.weak_spots, pitch="1/8 in")) for grid in figures]
    yield "colours, pixelate 3 megapixels", [_colours(photos[1], count) for count in (8, 16, 32, 64)]
    stock = material.thirty_paints()
    yield "colours, buy from 30 paints", [_bought(stock, count) for count in (6, 12, 24)]
    grids = material.grids()
    yield "figures, nest", [_figures(grids, count) for count in (5, 20, 80)]


def _photo(pixels: np.ndarray) -> tuple[str, float, Callable[[], object]]:
    count = pixels.shape[0] * pixels.shape[1]
    return f"{count / 1e6:.2g} MP", count, lambda: sw.pixelate(pixels, columns=60, colours=16)


def _copy(pixels: np.ndarray) -> tuple[str, float, Callable[[], object]]:
    count = pixels.shape[0] * pixels.shape[1]
    return f"{count / 1e6:.2g} MP", count, lambda: sw.recover(pixels)


def _columns(pixels: np.ndarray, side: int) -> tuple[str, float, Callable[[], object]]:
    return f"{side}²", side * side, lambda: sw.pixelate(pixels, columns=side, rows=side, colours=16)


def _cells(grid: sw.Grid, work: Callable[[sw.Grid], object]) -> tuple[str, float, Callable[[], object]]:
    return f"{grid.columns}²", grid.columns * grid.rows, lambda: work(grid)


def _book(grid: sw.Grid) -> bytes:
    return sw.plan(grid, panel=PANEL).to_pdf()


def _cuts(grid: sw.Grid) -> sw.CutPlan:
    return sw.plan_cuts(grid, sw.fit(grid, panel=PANEL))


def _colours(pixels: np.ndarray, count: int) -> tuple[str, float, Callable[[], object]]:
    return str(count), count, lambda: sw.pixelate(pixels, columns=96, colours=count)


def _bought(stock: sw.Stock, count: int) -> tuple[str, float, Callable[[], object]]:
    return str(count), count, lambda: sw.buy(material.COLOURS[:count], stock, tolerance=3)


def _figures(grids: list[sw.Grid], count: int) -> tuple[str, float, Callable[[], object]]:
    many = [grids[place % len(grids)] for place in range(count)]
    return str(count), count, lambda: sw.nest(many, PANEL, pitch="1/8 in")


def exponent(sizes: list[tuple[float, float]]) -> float:
    """Give the slope from the first to the last size, both as logarithms."""
    (small, short), *_, (large, long) = sizes
    return log(long / short) / log(large / small)


def table(turns: int) -> None:
    """Print one line for each series: the medians in order, the steepest step and the exponent over all."""
    print("| what grows | from … to | times | exponent | steepest step |\n|---|---|---|---|---|")
    for what, steps in series():
        taken = [(size, median(seconds(work) for _ in range(turns))) for _, size, work in steps]
        steepest = max(exponent(list(pair)) for pair in pairwise(taken))
        names = ", ".join(name for name, *_ in steps)
        times = ", ".join(shown(time) for _, time in taken)
        print(f"| {what} | {names} | {times} | {exponent(taken):.2f} | {steepest:.2f} |", flush=True)
