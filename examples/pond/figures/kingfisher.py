"""A kingfisher on a twig, bright as a jewel."""

from __future__ import annotations

from lattice import Cells, blob, ellipse, polygon, tube
from picture import Picture

PALETTE = {
    "k": "#10243f",  # darkest line
    "e": "#14496b",  # line in the light
    "d": "#12708f",  # blue in shade
    "m": "#1c9fb5",  # blue
    "l": "#5fd3d3",  # blue in the light
    "r": "#b3471f",  # orange in shade
    "o": "#ee7d2d",  # orange
    "y": "#ffb057",  # orange in the light
    "w": "#ffffff",  # throat
    "b": "#4a2f25",  # line of the twig
    "t": "#8a5a3c",  # twig
    "s": "#b98556",  # twig in the light
}


def draw() -> Picture:
    """Draw the kingfisher, facing left."""
    picture = Picture(PALETTE)
    _twig(picture)
    _body(picture)
    _head(picture)
    picture.outline([("lmdke", "ek"), ("oryw", "rk"), ("tsb", "bb")])
    return picture


def _twig(picture: Picture) -> None:
    """Draw the perch."""
    twig = tube([(4, 32), (14, 31), (26, 32), (38, 30)], [1.2, 1.6, 1.6, 1.2])
    picture.shade(twig, "stb", lit=(0, 1), dim=(0, 1))


def _body(picture: Picture) -> None:
    """Draw the tail, the breast, the wing and the feet."""
    picture.shade(polygon([(31, 24), (39, 33), (37, 36), (29, 31)]), "mdd", edge="k")
    breast = blob([(17, 14), (14, 21), (17, 28), (23, 31), (30, 29), (32, 22), (27, 13)])
    picture.shade(breast, "yor", lit=(1, 1), dim=(1, 2))
    wing = blob([(25, 14), (31, 17), (35, 24), (36, 30), (30, 28), (24, 23), (22, 18)])
    picture.shade(wing, "lmd", lit=(1, 1), dim=(1, 2), edge="e")
    picture.tint(wing & dots(27, 20), "l", "m")
    for x in (18, 23):
        picture.stamp(x, 29, "rrrrr\nryoyr\nryryr\n.r.r.")


def _head(picture: Picture) -> None:
    """Draw the big head, its cheek patches and the dagger of a beak."""
    head = ellipse(22, 10.5, 8, 7)
    picture.shade(head, "lmd", lit=(1, 1), dim=(1, 2), edge="e")
    picture.tint(ellipse(20, 16, 4.5, 2), "w", "lmd")
    picture.tint(ellipse(23, 12, 4.5, 2.2), "o", "lmd")
    picture.shade(polygon([(0, 14.5), (15, 8.5), (15, 14.5)]), "eek", dim=(0, 2))
    picture.tint(ellipse(23, 7, 5, 3) & dots(20, 5), "l", "m")
    picture.stamp(16, 8, "wkk\nkkk\nkkk")


def dots(x: int, y: int) -> Cells:
    """Scatter single cells evenly, in staggered rows, from the given cell on."""
    return frozenset((x + across, y + down) for down in range(0, 12, 2) for across in range(down % 4, 16, 4))
