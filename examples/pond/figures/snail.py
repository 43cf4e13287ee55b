"""A pond snail carrying its spiral house."""

from __future__ import annotations

from lattice import blob, ellipse, trail, tube
from picture import Picture

PALETTE = {
    "k": "#2b1a1f",  # darkest line
    "e": "#5b3226",  # line in the light
    "d": "#8f4f2c",  # shell in shade
    "m": "#c27a3e",  # shell
    "l": "#e9b066",  # shell in the light
    "h": "#fbe0a4",  # shine
    "s": "#6f7f52",  # foot in shade
    "f": "#9db06a",  # foot
    "g": "#cfd990",  # foot in the light
    "n": "#39452f",  # line of the foot
    "w": "#ffffff",  # glint
}


def draw() -> Picture:
    """Draw the snail, head to the left."""
    picture = Picture(PALETTE)
    _foot(picture)
    _shell(picture)
    picture.outline([("dmlhek", "ek"), ("sfgnw", "nn")])
    picture.mend("n")
    return picture


def _foot(picture: Picture) -> None:
    """Draw the foot that creeps, the neck and the two feelers."""
    for tip, root in (((2.5, 6.5), (5.5, 14)), ((10.5, 5.5), (8.5, 14))):
        picture.shade(tube([tip, root], [0.9, 0.9]), "gff", dim=(1, 0))
        picture.shade(ellipse(tip[0], tip[1], 1.2, 1.2), "gff", dim=(1, 1))
    sole = blob([(3, 14), (9, 13), (12, 18), (20, 21), (32, 22), (37, 25), (30, 27), (10, 27), (4, 23)])
    picture.shade(sole, "gfs", lit=(1, 1), dim=(1, 2))
    picture.stamp(5, 16, "wn\nnn")
    picture.tint(trail([(4, 20.5), (6, 21.5), (8, 21)]), "n", "gfs")


def _shell(picture: Picture) -> None:
    """Draw the shell and wind its seam inwards."""
    picture.shade(ellipse(23, 13, 11.5, 10.5), "lmd", lit=(1, 2), dim=(2, 3), edge="e")
    seam = [
        (11.5, 16),
        (17, 21.5),
        (26, 21),
        (31, 14.5),
        (28.5, 7.5),
        (21.5, 6),
        (16.5, 10),
        (17.5, 15.5),
        (22.5, 17.5),
        (26, 13.5),
        (23.5, 10.5),
        (21, 12),
    ]
    picture.tint(trail(seam), "e", "lmd")
    picture.tint(trail([(17.5, 4.5), (22, 3.2), (26, 3.8)]), "h", "lmd")
    picture.tint(trail([(20, 8.5), (23, 8)]), "l", "lmd")
