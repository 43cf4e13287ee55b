"""From a picture to printed sheets for a hand-painted, hand-cut panel.

Lengths carry their unit (``"3/16 in"``, ``"8 mm"``), positions are (row, column), and nothing that is given
back ever changes.
"""

import importlib as _importlib
import warnings as _warnings
from typing import TYPE_CHECKING as _TYPE_CHECKING

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
    Mounting,
    Paint,
    Painting,
    Panel,
    Picture,
    Plan,
    PotStep,
    Purchase,
    Reading,
    Recipe,
    Recovery,
    Remedy,
    Stock,
    Strengthened,
    WeakSpot,
    WeakSpots,
    blend,
    buy,
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
    ways,
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
    SettingsError,
    SizeError,
    SquarewrightError,
    StockError,
)
from squarewright.pictures import read_picture
from squarewright.stocks import read_stock

if _TYPE_CHECKING:
    from squarewright.bulk import plan_many
    from squarewright.settings import Settings, read_settings

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
    "Mounting",
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
    "Purchase",
    "Reading",
    "Recipe",
    "Recovery",
    "Remedy",
    "Settings",
    "SettingsError",
    "SizeError",
    "SquarewrightError",
    "Stock",
    "StockError",
    "Strengthened",
    "WeakSpot",
    "WeakSpots",
    "__version__",
    "blend",
    "buy",
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
    "plan_many",
    "read_picture",
    "read_settings",
    "read_stock",
    "recover",
    "strengthened",
    "ways",
    "weak_spots",
]

_LATER = {
    "Settings": "squarewright.settings",
    "plan_many": "squarewright.bulk",
    "read_settings": "squarewright.settings",
}
"""Names that are loaded when they are first asked for, so that the package starts fast."""


def __getattr__(name: str) -> object:
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    globals()[name] = value = getattr(_importlib.import_module(_LATER[name]), name)
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_LATER})


if _DEBUG_BUILD:
    _warnings.warn(
        "squarewright was built without optimisation and is slow; build it with --release",
        RuntimeWarning,
        stacklevel=2,
    )
