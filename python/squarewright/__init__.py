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
    NestedFigure,
    NestedPanel,
    Nesting,
    OffCut,
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
    WallPlan,
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
    nest,
    pin,
    pixelate,
    plan_cuts,
    recover,
    strengthened,
    walk,
    ways,
    weak_spots,
)
from squarewright.errors import (
    ArgumentError,
    GridError,
    InternalError,
    OutputError,
    PackageError,
    PictureError,
    PictureWarning,
    PlaceError,
    ProjectError,
    SettingsError,
    SizeError,
    SquarewrightError,
    StockError,
)
from squarewright.pictures import read_picture
from squarewright.planning import plan
from squarewright.stocks import read_stock

if _TYPE_CHECKING:
    from squarewright.bulk import plan_many
    from squarewright.comparing import Comparison, Tile, compare
    from squarewright.explorer import explore
    from squarewright.ranking import Ranked, Ranking, rank
    from squarewright.schemas import plan_schema, wall_schema
    from squarewright.settings import Settings, read_settings
    from squarewright.wall import Pack, Progress, Taken, Wall, WallFigure, read_progress, read_wall

__all__ = [
    "Alternative",
    "ArgumentError",
    "Blend",
    "Comparison",
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
    "NestedFigure",
    "NestedPanel",
    "Nesting",
    "OffCut",
    "OutputError",
    "Pack",
    "PackageError",
    "Paint",
    "Painting",
    "Panel",
    "Picture",
    "PictureError",
    "PictureWarning",
    "PlaceError",
    "Plan",
    "PotStep",
    "Progress",
    "ProjectError",
    "Purchase",
    "Ranked",
    "Ranking",
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
    "Taken",
    "Tile",
    "Wall",
    "WallFigure",
    "WallPlan",
    "WeakSpot",
    "WeakSpots",
    "__version__",
    "blend",
    "buy",
    "calibrate",
    "compare",
    "explore",
    "fit",
    "inches",
    "mix",
    "mix_in_one_pot",
    "mm",
    "nest",
    "pin",
    "pixelate",
    "plan",
    "plan_cuts",
    "plan_many",
    "plan_schema",
    "rank",
    "read_picture",
    "read_progress",
    "read_settings",
    "read_stock",
    "read_wall",
    "recover",
    "strengthened",
    "walk",
    "wall_schema",
    "ways",
    "weak_spots",
]

_LATER = {
    "Comparison": "squarewright.comparing",
    "Pack": "squarewright.wall",
    "Progress": "squarewright.wall",
    "Ranked": "squarewright.ranking",
    "Ranking": "squarewright.ranking",
    "Settings": "squarewright.settings",
    "Taken": "squarewright.wall",
    "Tile": "squarewright.comparing",
    "Wall": "squarewright.wall",
    "WallFigure": "squarewright.wall",
    "compare": "squarewright.comparing",
    "explore": "squarewright.explorer",
    "plan_many": "squarewright.bulk",
    "plan_schema": "squarewright.schemas",
    "rank": "squarewright.ranking",
    "read_progress": "squarewright.wall",
    "read_settings": "squarewright.settings",
    "read_wall": "squarewright.wall",
    "wall_schema": "squarewright.schemas",
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
