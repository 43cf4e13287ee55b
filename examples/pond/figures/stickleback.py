"""A stickleback in his bright spring coat, three spines up."""

from __future__ import annotations

from lattice import blob, ellipse, polygon, trail
from picture import Picture

PALETTE = {
    "k": "#11263a",  # darkest line
    "e": "#1d4f5e",  # line in the light
    "d": "#2d7a80",  # back in shade
    "m": "#4fa79d",  # back
    "l": "#9fd8bd",  # flank
    "r": "#b52e2e",  # throat in shade
    "o": "#e8563f",  # throat
    "p": "#f9a27c",  # throat in the light
    "a": "#7fd0ea",  # eye
    "f": "#e4d9a0",  # fin
    "g": "#a8945a",  # fin in shade
    "w": "#ffffff",  # glint
}


def draw() -> Picture:
    """Draw the stickleback, head to the left."""
    picture = Picture(PALETTE)
    _fins(picture)
    _body(picture)
    _head(picture)
    picture.outline([("lmdekaw", "ek"), ("opr", "rk"), ("fg", "ek")])
    return picture


def _fins(picture: Picture) -> None:
    """Draw the tail, the fins along back and belly and the three spines."""
    tail = polygon([(36, 10.5), (44, 4), (42.5, 11), (44, 18), (36, 13)])
    picture.shade(tail, "ffg", dim=(0, 3))
    for ray in (8, 11, 14):
        picture.tint(trail([(38, 11), (43, ray)]), "g", "f")
    picture.shade(polygon([(24, 6), (32, 3), (34, 9), (25, 9)]), "ffg", dim=(1, 2))
    picture.shade(polygon([(24, 15), (33, 13), (32, 19.5), (26, 18)]), "ffg", dim=(1, 2))
    for x, high in ((12, 2), (16, 1.2), (20, 3)):
        picture.fill(polygon([(x - 1, 7), (x + 2.4, high), (x + 2.2, 7)]), "m")


def _body(picture: Picture) -> None:
    """Draw the body, dark above, pale along the flank, red below."""
    body = blob(
        [
            (2, 12),
            (7, 7.5),
            (15, 5.2),
            (24, 6.5),
            (33, 10),
            (38, 11.2),
            (38, 13),
            (32, 14),
            (22, 17.5),
            (12, 18),
            (5, 15.5),
        ]
    )
    picture.shade(body, "mml", lit=(1, 1), dim=(1, 6))
    back = blob([(6, 8), (15, 5), (24, 6.4), (34, 10), (38, 11.2), (33, 10.9), (24, 9), (14, 8), (8, 9)])
    picture.tint(back, "d", "mlk")
    throat = blob([(2, 13), (6, 13.8), (12, 14.4), (20, 15), (26, 15.2), (20, 18), (12, 18.6), (5, 16)])
    picture.tint(throat, "o", "ml")
    picture.tint(blob([(6, 16), (14, 17), (22, 16.6), (20, 18.6), (12, 19), (6, 17)]), "r", "oml")
    picture.tint(ellipse(25, 16.5, 2, 1.2), "o", "lm")
    picture.tint(trail([(4, 14), (9, 14.6)]), "p", "o")
    for x in (22, 25, 28, 31):
        picture.tint(trail([(x, 9.5), (x + 0.6, 13)]), "m", "l")


def _head(picture: Picture) -> None:
    """Draw the gill, the eye, the mouth and the fin at the side."""
    picture.tint(trail([(13, 8.5), (14.4, 11.5), (13, 15.5)]), "e", "dmlop")
    picture.stamp(6, 8, ".aaa.\naakwa\naakka\n.aaa.")
    picture.tint(trail([(2, 13), (4, 13)]), "k", "dmlopr")
    picture.shade(polygon([(16, 11), (22, 10), (22, 15), (17, 14)]), "ffg", lit=(1, 1), dim=(1, 1), edge="e")
    picture.tint(trail([(18, 12.5), (21, 12.5)]), "g", "f")
