"""An otter floating on its back with a fish on its chest."""

from __future__ import annotations

from lattice import blob, ellipse, trail, tube
from picture import Picture

PALETTE = {
    "k": "#22160f",  # darkest line
    "e": "#43291b",  # line in the light
    "d": "#6b4229",  # fur in shade
    "m": "#93613b",  # fur
    "l": "#bd8a57",  # fur in the light
    "b": "#cfa878",  # belly in shade
    "c": "#ecd2a2",  # belly
    "w": "#ffffff",  # glint, foam
    "o": "#f0803c",  # fish
    "y": "#ffc16b",  # fish in the light
    "r": "#a8431f",  # line of the fish
    "n": "#1f5f86",  # line of the water
    "u": "#3f9cc2",  # water
    "a": "#93d6e6",  # water in the light
}

TAIL = """
....rrr
..rryor
rroyor.
royor..
ooor...
royor..
rroyor.
..rroor
....rrr
"""


def draw() -> Picture:
    """Draw the otter, head to the left."""
    picture = Picture(PALETTE)
    _body(picture)
    _feet(picture)
    _fish(picture)
    _head(picture)
    _water(picture)
    picture.outline([("mdlkebcw", "ek"), ("oyr", "rr"), ("nua", "nn")])
    return picture


def _body(picture: Picture) -> None:
    """Draw the long body, the tail and the pale belly."""
    trunk = blob([(16, 17), (28, 13), (42, 12), (56, 13), (68, 17), (72, 22), (60, 26), (16, 26)])
    tail = tube([(66, 21.5), (78, 21), (87, 17.5), (92, 10)], [5.4, 3.6, 2.6, 1.2])
    picture.shade(trunk | tail, "lmd", lit=(1, 1), dim=(1, 2))
    belly = blob(
        [
            (22, 15.5),
            (32, 13),
            (46, 12.5),
            (58, 15),
            (60, 17),
            (50, 19),
            (36, 20),
            (24, 20),
        ]
    )
    picture.shade(belly, "ccb", dim=(1, 2))


def _feet(picture: Picture) -> None:
    """Draw the webbed hind feet, toes in the air."""
    for x, lean in ((73, 14), (63, -6)):
        foot = ellipse(x, 11, 4.6, 7.4, lean) | ellipse(x - lean / 8, 17, 3.4, 4)
        picture.shade(foot, "lmd", dim=(1, 1), edge="k")
        for toe in (-1.5, 1.5):
            line = trail([(x + toe + lean / 8, 5), (x + toe * 0.7, 10)])
            picture.tint(line, "e", "lmd")


def _fish(picture: Picture) -> None:
    """Draw the fish and the paws that hold it."""
    picture.shade(ellipse(44, 6.5, 3, 3), "lmd", edge="e")
    fish = ellipse(41, 10.5, 7.5, 3.6)
    picture.shade(fish, "yor", edge="r")
    picture.outline([("oyr", "rr")])
    picture.stamp(47, 7, TAIL)
    picture.stamp(35, 9, "wk\nkk")
    picture.fill([(38, y) for y in range(9, 12)], "r")
    arm = tube([(27, 21), (34, 19), (41, 13.5)], [3.2, 2.8, 2.6])
    picture.shade(arm, "lmd", edge="e")


def _head(picture: Picture) -> None:
    """Draw the round head, the muzzle and the smile."""
    for x in (4, 22):
        picture.shade(ellipse(x, 5, 2.6, 2.6), "lmd", edge="k")
        picture.fill(ellipse(x, 5, 1, 1), "e")
    head = ellipse(13, 11.5, 11, 9.5)
    picture.shade(head, "lmd", lit=(1, 1), dim=(2, 2), edge="k")
    picture.shade(ellipse(13, 15, 7.6, 4.8), "ccb", lit=(0, 0), dim=(1, 1))
    picture.stamp(11, 10, "kwkk\nkkkk\n.kk.\n.kk.")
    picture.stamp(9, 14, "k..kk..k\n.kk..kk.")
    for x in (6, 17):
        picture.stamp(x, 8, "wkk\nkkk\nkkk")
    for x in (7, 18):
        picture.stamp(x, 14, "e\n.\ne")


def _water(picture: Picture) -> None:
    """Draw the water the otter lies in."""
    crests = [(x, 23 if x % 24 else 25) for x in range(12, 96, 12)]
    water = blob([(1, 26), *crests, (95, 26), (84, 29), (48, 30), (12, 29)])
    picture.shade(water, "aun", lit=(0, 1), dim=(0, 1))
