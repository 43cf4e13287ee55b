"""A marsh marigold: two golden flowers and a bud over round leaves."""

from __future__ import annotations

import math

from lattice import blob, ellipse, trail, tube
from picture import Picture

PALETTE = {
    "k": "#16351f",  # darkest line
    "d": "#22613a",  # leaf in shade, stem
    "m": "#3f8f46",  # leaf
    "l": "#84c25a",  # leaf in the light
    "n": "#8a4a10",  # line of the flowers
    "o": "#e09317",  # petal in shade
    "y": "#ffcc29",  # petal
    "h": "#fff08a",  # petal in the light
    "r": "#bb6a14",  # heart
}


def draw() -> Picture:
    """Draw the marsh marigold."""
    picture = Picture(PALETTE)
    _green(picture)
    _flower(picture, 8.5, 10.5, 4.3)
    _flower(picture, 21.5, 16.5, 3.6)
    _bud(picture)
    picture.outline([("dmlk", "dk"), ("oyhrn", "nn")])
    picture.mend("k")
    return picture


def _green(picture: Picture) -> None:
    """Draw the stems and three leaves."""
    for stem in (
        [(10, 14), (12, 24), (15, 36)],
        [(21, 19), (19.5, 27), (16, 36)],
        [(23.5, 6), (17, 17), (15.5, 26), (16, 36)],
    ):
        picture.shade(tube(stem, [1.1] * len(stem)), "mdd", dim=(1, 0))
    left = blob([(2, 27), (6, 23), (11, 25), (14, 30), (11, 34), (5, 33)])
    right = blob([(30, 27), (26, 24), (21, 26), (18, 31), (22, 35), (28, 33)])
    front = blob([(9, 36), (13, 31.5), (16, 33), (19, 31.5), (23, 36), (19, 40), (13, 40)])
    for leaf, vein in (
        (left, [(13, 30), (5, 27.5)]),
        (right, [(19, 31), (27, 28)]),
        (front, [(16, 33), (16, 38)]),
    ):
        picture.shade(leaf, "lmd", lit=(1, 1), dim=(1, 2), edge="k")
        picture.tint(trail(vein), "l", "md")


def _flower(picture: Picture, x: float, y: float, size: float) -> None:
    """Draw five petals, the lines between them and the heart."""
    around = [math.radians(turn) for turn in range(-90, 270, 72)]
    for turn in around:
        middle = (x + math.cos(turn) * size, y + math.sin(turn) * size)
        petal = ellipse(*middle, size * 0.86, size * 0.76, math.degrees(turn))
        picture.shade(petal, "hyo", lit=(1, 1), dim=(1, 1))
    for turn in around:
        between = turn + math.radians(36)
        end = (x + math.cos(between) * size * 1.3, y + math.sin(between) * size * 1.3)
        picture.tint(trail([(x, y), end]), "o", "hyo")
    picture.shade(ellipse(x, y, size * 0.44, size * 0.44), "rrn", dim=(1, 1))


def _bud(picture: Picture) -> None:
    """Draw the bud on the tallest stem."""
    picture.shade(ellipse(23.5, 4, 2.6, 3.4), "hyo", lit=(1, 1), dim=(1, 1))
    picture.shade(ellipse(23.5, 7, 2.6, 1.3), "lmd", lit=(1, 0), dim=(1, 0))
