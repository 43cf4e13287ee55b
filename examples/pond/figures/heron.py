"""A grey heron standing tall, waiting for its supper."""

from __future__ import annotations

from lattice import blob, ellipse, polygon, trail, tube
from picture import Picture

PALETTE = {
    "k": "#1a2233",  # darkest line
    "e": "#36435c",  # line in the light, long feathers
    "d": "#5b6b85",  # grey in shade
    "m": "#8496ae",  # grey
    "l": "#b4c3d3",  # grey in the light
    "s": "#cfd6e0",  # white in shade
    "w": "#ffffff",  # white
    "o": "#c8641f",  # beak in shade
    "y": "#f6a832",  # beak, eye
    "b": "#6b4a2f",  # leg in shade
    "t": "#b98a4e",  # leg
}


def draw() -> Picture:
    """Draw the heron, facing left."""
    picture = Picture(PALETTE)
    _body(picture)
    _head(picture)
    picture.outline([("lmdeksw", "ek"), ("oy", "bb")])
    picture.mend("e")
    _legs(picture)
    return picture


def _legs(picture: Picture) -> None:
    """Draw the far leg, then the near one, each with a knobbly knee and long toes."""
    for x, top, length in ((25, 40, 18), (20, 40, 20)):
        knee, heel = top + 8, top + length
        picture.fill([(x, y) for y in range(top, heel)], "t")
        picture.fill([(x + 1, y) for y in range(top, heel)], "b")
        picture.stamp(x, knee, "ttb\nttb")
        picture.stamp(x - 3, heel - 1, "..ttbb.\nttbtbbb")


def _body(picture: Picture) -> None:
    """Draw the body, the folded wing and the long feathers of breast and tail."""
    body = blob([(15, 27), (18, 23), (25, 25), (29, 32), (31, 38), (28, 40), (22, 40), (17, 36)])
    picture.shade(body, "wsl", lit=(1, 1), dim=(1, 2))
    tail = polygon([(30, 33), (38.5, 43), (35.5, 44), (27, 39)])
    picture.shade(tail, "ded", edge="e")
    wing = blob([(18, 26), (23, 24), (28, 28), (34, 36), (34, 39), (27, 37), (20, 34), (17, 30)])
    picture.shade(wing, "lmd", lit=(1, 2), dim=(1, 3), edge="e")
    for x, y in ((20, 31), (25, 33), (24, 28), (29, 34)):
        picture.tint(trail([(x, y), (x + 3, y + 2)]), "d", "m")


def _head(picture: Picture) -> None:
    """Draw the folded neck, the head, the crest and the beak."""
    neck = tube(
        [(15, 7), (18, 11), (17, 16), (14, 20), (14, 25), (17, 30)],
        [2.6, 2.2, 2.2, 2.6, 3.0, 3.2],
    )
    picture.shade(neck, "wsl", lit=(1, 0), dim=(2, 0), edge="e")
    for x, y in ((17, 13), (15, 18), (13, 22), (13, 26)):
        picture.fill([(x, y), (x, y + 1)], "e")
    head = ellipse(13.5, 6, 4.8, 4)
    picture.shade(head, "wws", dim=(1, 1))
    crest = tube([(12, 3.8), (17, 4.5), (21, 6.5), (25, 9.5)], [0.7, 1.3, 1.0, 0.5])
    picture.fill(crest, "e")
    picture.shade(polygon([(-1, 9), (10, 5), (10, 9)]), "yyo", dim=(0, 1))
    picture.stamp(10, 5, "yk\nyy")
