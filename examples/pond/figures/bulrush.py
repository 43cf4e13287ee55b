"""Bulrushes: two brown velvet heads among long green blades."""

from __future__ import annotations

from lattice import Point, tube
from picture import Picture

PALETTE = {
    "k": "#2c1a14",  # line of the heads
    "b": "#5a3220",  # head in shade
    "n": "#8a5230",  # head
    "s": "#bd8048",  # head in the light
    "e": "#173d2b",  # line of the blades
    "d": "#2c6b3a",  # blade in shade
    "g": "#58a044",  # blade
    "l": "#a2d05c",  # blade in the light
    "y": "#e8d58a",  # spike
}


def draw() -> Picture:
    """Draw the clump, roots down."""
    picture = Picture(PALETTE)
    _blade(picture, [(9, 50), (7, 38), (3, 26), (1, 15)])
    _blade(picture, [(11, 50), (14, 39), (16, 30), (17, 21)])
    _rush(picture, 12, 13, 13)
    _rush(picture, 7, 4, 10)
    _blade(picture, [(9, 50), (7, 44), (3, 39), (0, 37)])
    _blade(picture, [(12, 50), (14, 45), (17, 41), (19, 39)])
    picture.outline([("lgde", "ee"), ("snbky", "kk")])
    return picture


def _blade(picture: Picture, path: list[Point]) -> None:
    """Draw one leaf, broad at the root and sharp at the tip."""
    leaf = tube(path, [1.4, 1.4, 1.0, 0.5])
    picture.shade(leaf, "lgd", lit=(1, 0), dim=(0, 0), edge="e")


def _rush(picture: Picture, x: int, top: int, root: int) -> None:
    """Draw one stem with its head and its spike."""
    stem = tube([(x + 0.5, top), (x + 0.5, 34), (root, 50)], [1.4, 1.4, 1.4])
    picture.shade(stem, "lgd", lit=(1, 0), dim=(1, 0), edge="e")
    picture.fill([(x, top - y) for y in range(2, 5)], "y")
    head = tube([(x + 0.5, top + 2), (x + 0.5, top + 12)], [2.4, 2.4])
    picture.shade(head, "snb", lit=(1, 1), dim=(1, 1), edge="k")
