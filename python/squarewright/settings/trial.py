"""Settings are tried on the smallest of figures, so that bad ones are found before a picture is opened."""

from typing import Any

from squarewright import _core
from squarewright._core import Fit, Grid, Mounting, Painting, Panel, Picture, Plan
from squarewright.contents import PLAN_FILES
from squarewright.errors import ArgumentError, GridError, SizeError, SquarewrightError
from squarewright.printing import Printing
from squarewright.settings.kinds import WrongTypeError

_FITTING = {"ruler", "pitches", "pitch", "width", "height", "across", "down", "margin"}
_COLOURS = {"raw", "ground"}
_PIXELATING = {"columns", "rows", "colours", "brushwork", "palette", "candidates", "figure"}
_PIXELATING |= {"smallest_patch", "calm", "seed"}
_PLANNING = {"ending", "paints", "background", "hand", "marking", "transfer", "clearance", "rates"}


def run(key: str, value: Any) -> None:  # noqa: ANN401 -- of any kind
    """Try one value by itself.

    Parameters
    ----------
    key : str
        The setting.
    value : object
        As its kind gives it.

    Raises
    ------
    SquarewrightError
        What the core has against it. What hangs on the picture, such as a size, shows with the picture alone.
    WrongTypeError
        When the core takes another type.
    """
    try:
        _try(key, value)
    except (ArgumentError, SizeError, GridError) as error:
        if error.code != "SIZE-FIT":
            raise
    except SquarewrightError:
        # The smallest of pictures is too small for many columns, and for more of that kind.
        return
    except (TypeError, ValueError, OverflowError):
        raise WrongTypeError from None


def _try(key: str, value: Any) -> None:  # noqa: ANN401 -- of any kind
    if key in _FITTING:
        _fit({key: value})
    elif key == "panel":
        Panel(*value)
    elif key in {"thickness", "diagonal"}:
        Panel("12 in", "12 in", **{key: value})
    elif key in _COLOURS:
        _core.Paint("a colour", value)
    elif key in _PIXELATING:
        _pixelate({key: list(value) if isinstance(value, tuple) else value})
    elif key in _PLANNING:
        _plan({key: dict(value) if key == "rates" else value})
    elif key == "decimal":
        _core.Stock._read(b"name,colour\nwhite,#ffffff\n", "paints.csv", value)
    elif key == "painting":
        Painting(**value)
    elif key == "mounting":
        _plan({"mounting": Mounting(**value)})
    elif key == "files":
        _refuse_other_files(value)
    elif key in Printing.__annotations__:
        _print({key: value})


def _fit(settings: dict[str, Any]) -> Fit:
    return _core.fit(_grid(), Panel("12 in", "12 in"), **settings)


def _pixelate(settings: dict[str, Any]) -> Grid:
    pixels = bytes([0, 0, 0, 255, 255, 255, 255, 255] * 2)
    return _core.pixelate(Picture.from_rgba(pixels, 2, 2), **{"columns": 2, **settings})


def _plan(settings: dict[str, Any]) -> Plan:
    return _core.plan(_grid(), panel=Panel("12 in", "12 in"), **settings)


def _print(settings: dict[str, Any]) -> bytes:
    return _plan({}).to_pdf(**{"pages": "cover", **settings})


def _grid() -> Grid:
    return Grid([[0]], ["#000000"])


def _refuse_other_files(given: tuple[str, ...]) -> None:
    known = ", ".join(PLAN_FILES)
    for name in given or ("nothing",):
        if name not in PLAN_FILES:
            raise ArgumentError(
                "VALUE-BAD", f"files must be some of {known}, got {name}", "Name one of these."
            )
