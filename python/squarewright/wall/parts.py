"""What a wall is made of: its figures, the places that are taken, and how its panels are sold."""

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from squarewright._core import Length
from squarewright.errors import ArgumentError, SizeError
from squarewright.names import escaped, shown
from squarewright.settings import kinds
from squarewright.settings.kinds import Table
from squarewright.settings.value import KINDS

LengthLike = Length | str


def length(value: object, field: str, above_zero: bool) -> Length:
    """Read a length.

    Parameters
    ----------
    value : object
        A Length, or text with a unit.
    field : str
        What it is meant for.
    above_zero : bool
        Whether zero is too little, and not only what is below.

    Returns
    -------
    Length

    Raises
    ------
    SizeError
        ``SIZE-BAD`` for anything else.
    """
    read: Any = value
    try:
        found = Length(read)
    except SizeError as error:
        raise SizeError("SIZE-BAD", f"{field} cannot be {value!r}", error.hint) from None
    zero = Length("0 in")
    if found < zero or (above_zero and found == zero):
        hint = f"Write a length {'above zero' if above_zero else 'of zero or more'}."
        raise SizeError("SIZE-BAD", f"{field} cannot be {found}", hint)
    return found


OF_THE_WALL = frozenset(
    {
        *("panel", "thickness", "diagonal", "stock", "decimal", "pinned", "files"),
        *("paper", "pages", "units", "large_print", "ink", "language", "bars"),
    }
)
"""Settings that hold for the whole wall: no figure has its own."""


@dataclass(frozen=True)
class Taken:
    """A part of the wall that is not free.

    Parameters
    ----------
    name : str
        What is there: a door, a switch, a shelf.
    x, y : Length or str
        From the left and from the top edge of the wall to the box round it.
    width, height : Length or str
        Its sides.

    Raises
    ------
    SizeError
        ``SIZE-BAD`` for what is no length, or a side that is not above zero.
    """

    name: str
    x: LengthLike
    y: LengthLike
    width: LengthLike
    height: LengthLike

    def __post_init__(self) -> None:
        for side in ("x", "y", "width", "height"):
            is_side = side in {"width", "height"}
            object.__setattr__(self, side, length(getattr(self, side), f"{self.name}: {side}", is_side))


@dataclass(frozen=True)
class Pack:
    """How panels are sold, and how many are at hand.

    Parameters
    ----------
    panels : int, default 4
        Panels in a pack.
    price : float, optional
        What a pack costs, such as 12.99.
    currency : str, default ""
        Of what: that of the paints.
    owned : int, default 0
        Panels at hand.
    offcuts : sequence of str or of pairs of lengths
        Off-cuts of such panels at hand, such as ``"5in x 11in"``: they are used before a new panel is.

    Raises
    ------
    ArgumentError, SizeError
        ``VALUE-BAD`` and ``SIZE-BAD`` for what cannot be.
    """

    panels: int = 4
    price: float | None = None
    currency: str = ""
    owned: int = 0
    offcuts: tuple[Any, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "offcuts", _sizes(self.offcuts))
        whole = {"panels": (self.panels, 1), "owned": (self.owned, 0)}
        for name, (value, least) in whole.items():
            if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= _MANY:
                raise _bad(f"{name} must be a whole number of {least} or more", value)
        if self.price is None:
            return
        if not isinstance(self.price, int | float) or not 0 <= self.price <= _MANY * 1000:
            raise _bad("price must be zero or more", self.price)
        if abs(self.price * 100 - round(self.price * 100)) > _HAIR:
            raise _bad("price must have two decimals at the most", self.price)

    @property
    def hundredths(self) -> int | None:
        """What a pack costs, in hundredths: cents, pence."""
        return None if self.price is None else round(self.price * 100)


def _sizes(given: object) -> tuple[tuple[Length, Length], ...]:
    try:
        read: Any = kinds.SIZES.read(given)
    except kinds.WrongTypeError:
        raise _bad(f"offcuts must be {kinds.SIZES.says}", given) from None
    return tuple(
        (length(width, "offcuts", above_zero=True), length(height, "offcuts", above_zero=True))
        for width, height in read
    )


_MANY = 1000
_HAIR = 1e-6


@dataclass(frozen=True)
class WallFigure:
    """A figure of a wall.

    Parameters
    ----------
    picture : path, Picture, Grid, bytes, ndarray or Pillow image
        What it is made from.
    name : str, optional
        Its name, one of a kind on the wall; by default that of the file.
    copies : int, default 1
        How many there are of it.
    mirror : bool, default False
        Whether it looks the other way.
    place : pair of lengths or "anywhere", default "anywhere"
        From the left and from the top edge of the wall to the box round it.
    settings : mapping, optional
        Settings of this figure, by name: they go before those of the wall.

    Raises
    ------
    ArgumentError, SizeError
        ``VALUE-BAD`` and ``SIZE-BAD`` for what cannot be.

    Examples
    --------
    >>> WallFigure("heron.png", place=("10 in", "2 ft"), settings={"columns": 48}).name
    'heron'
    """

    picture: Any
    name: str = ""
    copies: int = 1
    mirror: bool = False
    place: tuple[LengthLike, LengthLike] | str = "anywhere"
    settings: Mapping[str, Any] = field(default_factory=Table)

    def __post_init__(self) -> None:
        name = self.name or _called(self.picture)
        if not isinstance(name, str):
            raise _bad("name must be text", name)
        object.__setattr__(self, "name", escaped(name).strip() or "figure")
        if not isinstance(self.copies, int) or isinstance(self.copies, bool) or not 1 <= self.copies <= MOST:
            raise _bad(f"copies must be a whole number from 1 to {MOST}", self.copies)
        if not isinstance(self.mirror, bool):
            raise _bad("mirror must be true or false", self.mirror)
        object.__setattr__(self, "place", _placed(self.place))
        if self.place != "anywhere" and self.copies > 1:
            raise _bad(
                "a figure with copies hangs anywhere: name each copy by itself, not copies", self.copies
            )
        object.__setattr__(self, "settings", _own(self.settings))


MOST = 500
"""The most figures of a wall."""


def _called(picture: object) -> str:
    named = picture if isinstance(picture, str | os.PathLike) else getattr(picture, "name", None)
    if isinstance(named, str | bytes | os.PathLike) and named:
        return shown(Path(os.fsdecode(named)).stem)
    return "figure"


def _placed(place: object) -> tuple[Length, Length] | str:
    if place is None or place == "anywhere":
        return "anywhere"
    if isinstance(place, str) or not isinstance(place, tuple | list) or len(place) != 2:
        raise _bad('place must be "anywhere" or two lengths', place)
    x, y = place
    return length(x, "x", False), length(y, "y", False)


def _own(settings: Mapping[str, Any]) -> Table:
    plain: dict[str, Any] = {}
    for key, value in settings.items():
        if key in OF_THE_WALL:
            raise ArgumentError(
                "VALUE-BAD", f"{key} is no setting of one figure", "Set it for the whole wall."
            )
        if key not in KINDS:
            raise ArgumentError("VALUE-BAD", f"{key} is no setting", "See Settings for all of them.")
        try:
            plain[key] = KINDS[key].read(value)
        except kinds.WrongTypeError:
            raise _bad(f"{key} must be {KINDS[key].says}", value) from None
    return Table(plain)


def _bad(must: str, got: object) -> ArgumentError:
    return ArgumentError("VALUE-BAD", f"{must}, got {got!r}", "Change that value and try again.")
