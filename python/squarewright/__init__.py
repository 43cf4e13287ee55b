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
    Blend,
    Cut,
    CutPlan,
    Fit,
    FitPanel,
    Grid,
    Length,
    Margins,
    Mark,
    Paint,
    Painting,
    Panel,
    Picture,
    Plan,
    PotStep,
    Reading,
    Recipe,
    Recovery,
    Remedy,
    Stock,
    Strengthened,
    WeakSpot,
    WeakSpots,
    blend,
    calibrate,
    fit,
    inches,
    mix,
    mix_in_one_pot,
    mm,
    pin,
    pixelate,
    plan,
    plan_cuts,
    recover,
    strengthened,
    weak_spots,
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
    StockError,
)
from squarewright.pictures import read_picture
from squarewright.stocks import read_stock

__all__ = [
    "Alternative",
    "ArgumentError",
    "Blend",
    "Cut",
    "CutPlan",
    "Fit",
    "FitPanel",
    "Grid",
    "GridError",
    "InternalError",
    "Length",
    "Margins",
    "Mark",
    "OutputError",
    "Paint",
    "Painting",
    "Panel",
    "Picture",
    "PictureError",
    "PictureWarning",
    "PlaceError",
    "Plan",
    "PotStep",
    "Reading",
    "Recipe",
    "Recovery",
    "Remedy",
    "SizeError",
    "SquarewrightError",
    "Stock",
    "StockError",
    "Strengthened",
    "WeakSpot",
    "WeakSpots",
    "__version__",
    "blend",
    "calibrate",
    "fit",
    "inches",
    "mix",
    "mix_in_one_pot",
    "mm",
    "pin",
    "pixelate",
    "plan",
    "plan_cuts",
    "read_picture",
    "read_stock",
    "recover",
    "strengthened",
    "weak_spots",
]

if _DEBUG_BUILD:
    _warnings.warn(
        "squarewright was built without optimisation and is slow; build it with --release",
        RuntimeWarning,
        stacklevel=2,
    )
