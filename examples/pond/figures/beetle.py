"""A great diving beetle seen from above, oars out."""

from __future__ import annotations

from lattice import Cells, blob, ellipse, mirrored, trail, tube
from picture import Picture

PALETTE = {
    "k": "#0f1a16",  # darkest line
    "e": "#29402c",  # line in the light
    "d": "#2e4b36",  # wing case in shade
    "m": "#47704a",  # wing case
    "l": "#7aa468",  # wing case in the light
    "y": "#e3b23c",  # rim
    "h": "#f6dd84",  # rim in the light
    "b": "#6e4a1f",  # leg
    "t": "#a8752f",  # leg in the light
    "w": "#ffffff",  # glint
}

WIDTH = 27


def draw() -> Picture:
    """Draw the beetle, head up."""
    picture = Picture(PALETTE)
    for left in (_legs(), [mirrored(leg, WIDTH) for leg in _legs()]):
        for leg in left:
            picture.shade(leg, "tbb", lit=(1, 1), dim=(0, 0))
    _body(picture)
    picture.outline([("lmdkewyh", "ek"), ("bt", "kk")])
    picture.mend("k")
    return picture


def _legs() -> list[Cells]:
    """Give the three legs at the left: two that hold and one that rows."""
    return [
        tube([(9, 11), (5, 9), (3, 5.5)], [1.2, 1.0, 0.8]),
        tube([(8, 17), (4, 17), (1.5, 20)], [1.2, 1.0, 0.8]),
        tube([(8, 23), (4, 26), (2.5, 31), (1.5, 37)], [1.4, 1.5, 1.7, 0.8]),
    ]


def _body(picture: Picture) -> None:
    """Draw head, shield and the two wing cases with their yellow rim."""
    middle = WIDTH / 2
    picture.fill(ellipse(middle, 24.5, 9, 13.6), "y")
    picture.shade(ellipse(middle, 24, 7.4, 12.6), "lmd", lit=(1, 1), dim=(2, 2))
    picture.fill(((13, row) for row in range(12, 37)), "k")
    for x in (10, 17):
        picture.tint(trail([(x, 15.5), (x, 31)]), "d", "lm")
    shield = blob([(8.5, 13), (8, 9.5), (middle, 8), (19, 9.5), (18.5, 13), (middle, 13.6)])
    picture.shade(shield, "lmd", lit=(0, 1), dim=(1, 1), edge="k")
    picture.tint(ellipse(9, 11, 1, 2.2) | ellipse(18, 11, 1, 2.2), "y", "lmd")
    picture.shade(blob([(9.5, 8), (10, 5), (middle, 4), (17, 5), (17.5, 8), (middle, 8.4)]), "mmd", edge="k")
    for x in (9, 16):
        picture.stamp(x, 5, "wk\nkk")
    for feeler in ([(10.5, 4), (8, 2), (7, 0.5)], [(16.5, 4), (19, 2), (20, 0.5)]):
        picture.fill(trail(feeler), "b")
    picture.tint(trail([(6.5, 17), (5, 22), (5, 26)]), "h", "y")
