"""A water lily flower resting on its pad."""

from __future__ import annotations

from picture import Picture

PALETTE = {
    "k": "#7a1f4f",  # line of the flower
    "r": "#c9487f",  # petal in shade
    "p": "#f08db4",  # petal
    "w": "#ffdcea",  # petal in the light
    "y": "#ffd447",  # heart
    "d": "#1c5138",  # line of the pad
    "g": "#3a9150",  # pad
    "l": "#78c765",  # pad in the light
}

DRAWING = """
.....kk.....
.kk.kwpk.kk.
kwpkkwpkkprk
kwppkwpkpprk
kkwppwpppkkk
kwwpppyprrrk
.kkwpyyyrkk.
ddlkkyykkgdd
dllllkkggggd
dlgllllgggdd
.ddlllgggdd.
...dddddd...
"""


def draw() -> Picture:
    """Draw the lily."""
    picture = Picture(PALETTE)
    picture.stamp(0, 0, DRAWING)
    return picture
