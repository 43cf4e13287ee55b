"""A frog sitting up and looking straight at you."""

from __future__ import annotations

from picture import Picture

PALETTE = {
    "k": "#17302a",  # darkest line
    "d": "#1f5637",  # line in the light
    "g": "#3d8f3f",  # green in shade
    "m": "#5fb84a",  # green
    "l": "#9be05c",  # green in the light
    "c": "#f4f2b8",  # throat and belly
    "b": "#d3cf82",  # belly in shade
    "y": "#ffd23f",  # eye
    "p": "#ef8f86",  # cheek
    "w": "#ffffff",  # glint
}

DRAWING = """
..dddd....dddd..
.dllmmd..dlmmgk.
.dywkyddddywkyk.
.dykkymllmykkyk.
.dlyymmmmmmyygk.
dllmmmmmmmmmmggk
dlpmmmmmmmmmmpgk
dlmkmmmmmmmmkmgk
.dmmkkkkkkkkmgk.
..dmccccccccgk..
.dldmccccccgkgk.
dlmdmccccccgkmgk
dlmmdmccccgkmmgk
dllmdmdbbkgkmmgk
dlmlmdmkkmkmlmgk
.dddddkkkkkkkkk.
"""


def draw() -> Picture:
    """Draw the frog."""
    picture = Picture(PALETTE)
    picture.stamp(0, 0, DRAWING)
    return picture
