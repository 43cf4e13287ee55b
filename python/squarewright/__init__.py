"""From a picture to printed sheets for a hand-painted, hand-cut panel.

Lengths carry their unit (``"3/16 in"``, ``"8 mm"``), positions are (row, column), and nothing that is given
back ever changes.
"""

import warnings as _warnings

from squarewright._core import (
    DEBUG_BUILD as _DEBUG_BUILD,
)
from squarewright._core import (
    VERSION as __version__,
)
from squarewright._core import (
    Alternative,
    Fit,
    FitPanel,
    Grid,
    Length,
    Margins,
    Mark,
    Panel,
    Picture,
    Plan,
    Reading,
    Recovery,
    fit,
    inches,
    mm,
    pixelate,
    plan,
    recover,
)
from squarewright.errors import (
    ArgumentError,
    GridError,
    InternalError,
    OutputError,
    PictureError,
    PictureWarning,
    PlaceError,
    SizeError,
    SquarewrightError,
)
from squarewright.pictures import read_picture

__all__ = [
    "Alternative",
    "ArgumentError",
    "Fit",
    "FitPanel",
    "Grid",
    "GridError",
    "InternalError",
    "Length",
    "Margins",
    "Mark",
    "OutputError",
    "Panel",
    "Picture",
    "PictureError",
    "PictureWarning",
    "PlaceError",
    "Plan",
    "Reading",
    "Recovery",
    "SizeError",
    "SquarewrightError",
    "__version__",
    "fit",
    "inches",
    "mm",
    "pixelate",
    "plan",
    "read_picture",
    "recover",
]

if _DEBUG_BUILD:
    _warnings.warn(
        "squarewright was built without optimisation and is slow; build it with --release",
        RuntimeWarning,
        stacklevel=2,
    )
