"""How a picture becomes a grid: what the controls say, as calls and as code from the same arguments."""

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from squarewright import _core
from squarewright._core import Grid, Length, Panel, Picture
from squarewright.errors import ArgumentError

DOORS = ("recovered", "pixelated")
_LEFT_OUT: dict[str, Any] = {
    "brushwork": "easy",
    "calm": None,
    "smallest_patch": None,
    "figure": "whole",
    "crop": None,
    "seed": 0,
}
"""What ``pixelate`` takes by itself, which code need not say."""


@dataclass(frozen=True)
class Drawn:
    """A grid with what there is to know about it."""

    grid: Grid
    confidence: float | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Making:
    """What the controls say about the grid; the names are those of ``pixelate`` where it has them."""

    door: str
    columns: int
    colours: int
    brushwork: str
    calm: float | None
    smallest_patch: int | None
    figure: str
    crop: tuple[int, int, int, int] | None
    seed: int

    @property
    def call(self) -> tuple[str, dict[str, Any]]:
        """The function that makes the grid, and its arguments besides the picture.

        Raises
        ------
        ArgumentError
            ``VALUE-BAD`` for a door that is not there.
        """
        if self.door not in DOORS:
            what = f"door must be {' or '.join(DOORS)}, got {self.door}"
            raise ArgumentError("VALUE-BAD", what, "Change that value and try again.")
        if self.door == "recovered":
            return "recover", {} if self.crop is None else {"region": self.crop}
        others = {name: getattr(self, name) for name in _LEFT_OUT}
        said = {name: value for name, value in others.items() if value != _LEFT_OUT[name]}
        return "pixelate", {"columns": self.columns, "colours": self.colours, **said}

    def draw(self, picture: Picture) -> Drawn:
        """Make the grid.

        Raises
        ------
        SquarewrightError
            As ``pixelate`` and ``recover``.
        """
        function, arguments = self.call
        if function == "recover":
            found = _core.recover(picture, **arguments)
            return Drawn(found.grid, found.confidence, tuple(found.warnings))
        grid = _core.pixelate(picture, **arguments)
        return Drawn(grid, None, tuple(grid.warnings))


def code(
    source: object, making: Making, merge: float, panel: Panel, settings: Mapping[str, Any], has_stock: bool
) -> str:
    """Write Python that makes the same grid, and its plan.

    Parameters
    ----------
    source : object
        What was given as the picture; a path stands in the code, anything else is called ``picture`` there.
    making : Making
        What the controls say.
    merge : float
        The difference up to which colours are joined.
    panel : Panel
        The board.
    settings : mapping
        Further arguments of ``plan``.
    has_stock : bool
        Whether a list of paints was given; it is called ``stock`` in the code.

    Returns
    -------
    str
    """
    return "\n".join(_lines(source, making, merge, panel, settings, has_stock)) + "\n"


def _lines(
    source: object, making: Making, merge: float, panel: Panel, settings: Mapping[str, Any], has_stock: bool
) -> Iterator[str]:
    yield "import squarewright as sw"
    yield ""
    if isinstance(source, str | os.PathLike):
        yield f"picture = {os.fsdecode(source)!r}"
    else:
        yield "# picture: what you gave to explore"
    if has_stock:
        yield "# stock: the list of paints that you gave to explore"
    function, arguments = making.call
    made = f"sw.{function}({', '.join(['picture', *_keywords(arguments)])})"
    yield f"grid = {made}.grid" if function == "recover" else f"grid = {made}"
    if merge:
        yield f"grid = grid.merged({merge!r})"
    yield f"panel = sw.{panel!r}"
    stock = ["stock=stock"] if has_stock else []
    yield f"plan = sw.plan({', '.join(['grid', 'panel=panel', *_keywords(settings), *stock])})"


def _keywords(arguments: Mapping[str, Any]) -> list[str]:
    return [f"{name}={_value(value)}" for name, value in arguments.items()]


def _value(value: object) -> str:
    return repr(str(value)) if isinstance(value, Length) else repr(value)
