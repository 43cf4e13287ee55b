"""A moorhen on her nest, under an arch of reeds you can see through."""

from __future__ import annotations

from lattice import blob, ellipse, polygon, trail, tube
from picture import Picture

PALETTE = {
    "k": "#14161f",  # darkest line
    "e": "#2a3040",  # line in the light
    "d": "#3a4356",  # feather in shade
    "m": "#566278",  # feather
    "l": "#8593a6",  # feather in the light
    "w": "#ffffff",  # white dashes, glint
    "r": "#d8352c",  # shield
    "y": "#ffcf3a",  # beak tip
    "b": "#5d3d20",  # line of the nest
    "t": "#a5793c",  # nest in shade
    "s": "#d3aa5c",  # nest
    "c": "#f0d690",  # nest in the light
    "n": "#1f4a2a",  # line of the reeds
    "g": "#4f9440",  # reed
    "h": "#98c858",  # reed in the light
}

BEAK = """
....rr.
...rrr.
...rr..
..rrr..
yyrrr..
.yyr...
"""


def draw() -> Picture:
    """Draw the moorhen, facing left."""
    picture = Picture(PALETTE)
    _reeds(picture)
    _bird(picture)
    _chick(picture)
    _nest(picture)
    picture.outline([("mdlkew", "ek"), ("ry", "kk"), ("bstc", "bb"), ("ngh", "nn")])
    picture.mend("n")
    return picture


def _reeds(picture: Picture) -> None:
    """Draw the reeds that lean together over the nest."""
    left = tube([(4, 36), (2, 22), (7, 9), (23, 3), (31, 1)], [1.5, 1.5, 1.5, 1.3, 0.6])
    right = tube([(42, 36), (44, 22), (39, 9), (30, 4), (22, 3)], [1.5, 1.5, 1.5, 1.3, 1.0])
    for reed in (right, left):
        picture.shade(reed, "hgg", lit=(1, 1), dim=(0, 0), edge="n")


def _bird(picture: Picture) -> None:
    """Draw the bird, with white dashes along her side."""
    body = blob([(16, 22), (22, 21), (31, 21), (37, 17), (37, 22), (35, 29), (24, 33), (16, 29)])
    neck = tube([(15.5, 14), (17, 19), (20, 25)], [2.8, 3.0, 4.6])
    head = ellipse(15.5, 13, 4.2, 3.8)
    picture.shade(body | neck | head, "lmd", lit=(1, 1), dim=(1, 2))
    picture.fill(polygon([(35, 23), (38.5, 18), (38, 24), (36, 28)]), "w")
    picture.stamp(8, 9, BEAK)
    picture.stamp(14, 12, "wk\nkk")
    for x, y in ((22, 27), (26, 26), (30, 25)):
        picture.fill([(x, y), (x + 1, y), (x + 2, y)], "w")


def _chick(picture: Picture) -> None:
    """Draw the chick riding on her back."""
    chick = ellipse(29, 19, 3.6, 3.2) | ellipse(27, 15.5, 2.6, 2.6)
    picture.shade(chick, "mee", lit=(1, 1), dim=(0, 0), edge="k")
    picture.stamp(23, 15, "yrr")
    picture.stamp(26, 14, "w")


def _nest(picture: Picture) -> None:
    """Draw the woven bowl."""
    bowl = blob(
        [
            (3, 30),
            (13, 29.4),
            (23, 29.4),
            (33, 29.4),
            (43, 30),
            (40, 36),
            (30, 39),
            (16, 39),
            (6, 36),
        ]
    )
    picture.shade(bowl, "cst", lit=(1, 1), dim=(1, 2), edge="b")
    for x in range(6, 40, 6):
        picture.tint(trail([(x, 32), (x + 3, 34)]), "t", "s")
        picture.tint(trail([(x + 4, 35), (x + 1, 37)]), "t", "s")
