"""The controls that the page draws: what each is called, how far it goes and when it makes sense."""

from collections.abc import Sequence
from typing import TypeAlias

from squarewright._core import Panel, Picture

Control: TypeAlias = dict[str, object]

MADE = (
    "door",
    "columns",
    "colours",
    "brushwork",
    "calm",
    "smallest_patch",
    "figure",
    "crop",
    "seed",
)
"""The settings that make the grid."""

ALL = (*MADE, "merge", "panel", "across")
"""All settings that the explorer has; those of the grid first."""

_MOST_COLUMNS, _GRID_COLUMNS = 128, 512


def described(picture: Picture, columns: int, panels: Sequence[Panel], is_read: bool) -> list[Control]:
    """Describe the controls, from top to bottom.

    Parameters
    ----------
    picture : Picture
        What is explored; no more columns than it has pixels.
    columns : int
        Those to start with, which the slider reaches.
    panels : sequence of Panel
        The boards to choose from.
    is_read : bool
        Whether the picture has cells that can be read.

    Returns
    -------
    list of dict
        Ready for JSON. ``door`` is the one for which a control makes sense, ``own`` what each brushwork takes
        while nothing is said, ``resets`` the controls about which nothing is said any more.
    """
    most = min(max(_MOST_COLUMNS, columns), picture.width, _GRID_COLUMNS)
    doors = [["recovered", "by reading its cells"], ["pixelated", "by pixelating it"]]
    brushes = [
        ["easy", "easy: calm areas"],
        ["broad", "broad: few areas"],
        ["every cell", "every cell by itself"],
    ]
    own_calm, own_patch = {"easy": 1, "broad": 1.2, "every cell": 0}, {"easy": 2, "broad": 4, "every cell": 1}
    pixelating: list[Control] = [
        _range("columns", "Columns", min(8, most), most),
        _range("colours", "Colours, at most", 2, 64),
        _choice("brushwork", "Brushwork", brushes) | {"resets": ["calm", "smallest_patch"]},
        _range("calm", "Calm", 0, 5, 0.05) | {"own": own_calm},
        _range("smallest_patch", "Smallest patch, in cells", 1, 12) | {"own": own_patch},
        {
            "name": "figure",
            "kind": "check",
            "label": "Leave the ground round the figure bare",
            "on": "find",
            "off": "whole",
        },
    ]
    return [
        *([_choice("door", "Made", doors)] if is_read else []),
        *({**control, "door": "pixelated"} for control in pixelating),
        _range("merge", "Join colours that look alike", 0, 20, 0.5),
        _choice("panel", "Panel", [[place, _called(panel)] for place, panel in enumerate(panels)]),
        _range("across", "Panels side by side", 1, 6),
    ]


def _range(name: str, label: str, least: float, most: float, step: float = 1) -> Control:
    return {"name": name, "kind": "range", "label": label, "min": least, "max": most, "step": step}


def _choice(name: str, label: str, options: Sequence[Sequence[object]]) -> Control:
    return {"name": name, "kind": "choice", "label": label, "options": options}


def _called(panel: Panel) -> str:
    thick = f", {panel.thickness} thick" if panel.thickness else ""
    return f"{panel.width} × {panel.height}{thick}"
