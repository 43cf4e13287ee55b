"""A duckling afloat, all down and curiosity."""

from __future__ import annotations

from lattice import blob, ellipse, trail
from picture import Picture

PALETTE = {
    "k": "#2e1f1a",  # darkest line
    "e": "#6b4517",  # line in the light
    "b": "#7d5a2b",  # cap, back
    "d": "#d99b2b",  # down in shade
    "m": "#f6c945",  # down
    "l": "#ffe98a",  # down in the light
    "o": "#e2762f",  # bill
    "r": "#a44a1f",  # bill in shade
    "n": "#1f5f86",  # line of the water
    "u": "#3f9cc2",  # water
    "a": "#93d6e6",  # water in the light
    "w": "#ffffff",  # glint
}


def draw() -> Picture:
    """Draw the duckling, looking left."""
    picture = Picture(PALETTE)
    _body(picture)
    _head(picture)
    _water(picture)
    picture.outline([("lmdbekw", "ek"), ("or", "rr"), ("nua", "nn")])
    return picture


def _body(picture: Picture) -> None:
    """Draw the round body, the stub of a tail and the small wing."""
    body = blob(
        [
            (9, 19),
            (14, 16),
            (22, 17),
            (28, 16.5),
            (32, 13.5),
            (32.5, 19),
            (29, 25),
            (22, 27),
            (12, 26),
            (8, 23),
        ]
    )
    picture.shade(body, "lmd", lit=(1, 1), dim=(1, 2))
    back = blob([(19, 17), (25, 17.5), (32, 13.5), (32, 17), (27, 19), (21, 19)])
    picture.tint(back, "b", "lmd")
    wing = blob([(17, 20), (22, 18.5), (27, 20), (26, 23), (20, 24)])
    picture.shade(wing, "lmd", lit=(1, 1), dim=(1, 1), edge="d")
    picture.tint(trail([(20, 22), (25, 21.5)]), "d", "m")


def _head(picture: Picture) -> None:
    """Draw the head with its cap, the stripe through the eye and the bill."""
    picture.shade(ellipse(13.5, 11, 7.2, 7), "lmd", lit=(1, 1), dim=(1, 2))
    picture.tint(blob([(9, 4), (14, 3.5), (19, 6.5), (21, 12), (18.5, 12), (15, 7.4), (9, 6)]), "b", "lmd")
    picture.tint(trail([(7, 11), (10, 10.4)]), "b", "lmd")
    picture.tint(trail([(14, 10.5), (18, 11.5)]), "b", "lmd")
    picture.shade(
        blob([(1, 12.6), (4, 11), (7, 10.2), (8.6, 12.2), (7.6, 14.6), (4, 15), (1.4, 14.6)]),
        "oor",
        dim=(0, 2),
    )
    picture.tint(trail([(2, 13), (7, 12.6)]), "r", "or")
    picture.stamp(10, 9, ".kk.\nkwkk\nkkkk\n.kk.")
    picture.tint(ellipse(11.5, 14.8, 1.6, 1.2), "o", "lmd")


def _water(picture: Picture) -> None:
    """Draw the water line that hides the feet, and a ripple."""
    water = blob(
        [
            (1, 27),
            (7, 25.2),
            (14, 25.6),
            (21, 25.2),
            (27, 25.6),
            (33, 25.2),
            (38, 27),
            (32, 30),
            (18, 31),
            (6, 30),
        ]
    )
    picture.shade(water, "auu", lit=(0, 1), dim=(0, 1))
    picture.tint(trail([(8, 28), (13, 28)]), "a", "u")
    picture.tint(trail([(22, 28.5), (30, 28.5)]), "a", "u")
