"""A dragonfly seen from above, wings spread in the sun."""

from __future__ import annotations

from lattice import ellipse, mirrored, trail, tube
from picture import Picture

PALETTE = {
    "k": "#152238",  # darkest line
    "e": "#2f6f8f",  # line of the wings
    "v": "#7fb9d6",  # vein
    "a": "#bfe6f2",  # wing
    "w": "#f2fdff",  # wing in the light
    "d": "#1f5fb0",  # body in shade
    "m": "#3b93e0",  # body
    "l": "#8fd0ff",  # body in the light
    "g": "#2f9a5a",  # eye in shade
    "n": "#7fe08a",  # eye
}

WIDTH = 32


def draw() -> Picture:
    """Draw the dragonfly, head up."""
    picture = Picture(PALETTE)
    fore = tube([(16, 8), (22, 5.5), (27, 4), (29.5, 3.5)], [0.8, 1.8, 1.8, 1.2])
    hind = tube([(16, 9.5), (21, 12), (26, 14.5), (28.5, 15.5)], [0.8, 2.2, 2.2, 1.2])
    for wing in (hind, fore):
        for side in (mirrored(wing, WIDTH), wing):
            picture.shade(side, "waa", lit=(1, 1), dim=(0, 0), edge="e")
    picture.outline([("vaw", "ee")])
    _veins(picture)
    _body(picture)
    return picture


def _veins(picture: Picture) -> None:
    """Draw a vein along each wing and the dark spot near its tip."""
    paths = [
        trail([(17, 8), (22, 5.5), (28, 4)]),
        trail([(17, 10), (22, 12.5), (27, 15)]),
    ]
    for path in paths:
        picture.tint(path | mirrored(path, WIDTH), "v", "aw")
    spots = frozenset([(27, 3), (28, 3), (27, 15), (28, 15)])
    picture.fill(spots | mirrored(spots, WIDTH), "e")


def _body(picture: Picture) -> None:
    """Draw the tail with its bands, the chest and the great eyes."""
    tail = tube([(16, 10), (16, 17), (16, 23)], [1.2, 1.0, 1.2])
    chest = ellipse(16, 8, 2.2, 3.2)
    picture.shade(tail | chest, "lmd", lit=(1, 0), dim=(1, 0), edge="k")
    picture.outline([("lmd", "kk")])
    for y in (13, 16, 19):
        picture.tint([(x, y) for x in (15, 16)], "e", "lmd")
    picture.stamp(13, 2, ".kkkk.\nknnngk\nknggkk\n.kkkk.")
