"""A newt with a jagged crest and a spotted orange belly.

The outermost toe of each foot hangs on by a corner alone.
"""

from __future__ import annotations

from picture import Picture

PALETTE = {
    "k": "#1d1a2e",  # darkest line, spots
    "e": "#38335a",  # line in the light
    "d": "#4d4a78",  # back in shade
    "m": "#6d6fa0",  # back
    "l": "#9aa3cf",  # back in the light
    "o": "#f9a03c",  # belly, toes
    "r": "#d2622b",  # belly in shade
    "c": "#6fd0b4",  # crest
    "t": "#2f7d7c",  # line of the crest
    "w": "#ffffff",  # glint
}

BODY = """
..........t...t...t...t............tt
.........tct.tct.tct.tct.........ttct
..eeee...tccttccttccttcctt.....ttccck
.elllleettcccccccccccccccctttttccccmk
elmmmmllelcccccccccccccccccccccccmmk.
elmwkmmmllllllllllllllcccccclllmmmk..
emmkkmmmmmmmmmmmmmmmmmmlllllmmmmmk...
emmmmmkmmmmmmmmmmmmmmmmmmmmmmmddk....
kkkkkkmmmmmkmmmmkmmmmkmmmmmddddk.....
.koooooookoooookoooooommddddkkk......
..krrrrrrrrrrrrrrrrrrdddkkkk.........
...kkkkkkkkkkkkkkkkkkkkk.............
"""

LEG = """
..elmmk
..elmdk
..elmk.
.elmmk.
.elmmk.
o.o.o..
"""


def draw() -> Picture:
    """Draw the newt, head to the left."""
    picture = Picture(PALETTE)
    picture.stamp(0, 0, BODY)
    for x in (5, 17):
        picture.stamp(x, 8, LEG)
    return picture
