"""The settings of a plan in one value: what ``plan``, ``pixelate`` and printing take, as plain data."""
# ruff: noqa: RUF009 -- the fields are made by a function of ours

import dataclasses
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, cast

from squarewright import _core, names, planning
from squarewright._core import Length, Mounting, Painting, Panel, Plan, Recipe, Stock
from squarewright.contents import PLAN_FILES
from squarewright.errors import ArgumentError
from squarewright.printing import Printing
from squarewright.settings import kinds
from squarewright.settings.kinds import Kind, Table
from squarewright.stocks import read_stock

_PLANNING = (
    *("ruler", "pitches", "pitch", "width", "height", "across", "down", "margin"),
    *("ending", "backing", "edges", "paints", "raw", "ground", "background", "hand"),
    *("marking", "transfer", "clearance"),
)
"""The keywords of ``plan`` that are passed on as they are."""

LengthLike = Length | str
ColourLike = str | tuple[int, int, int]


def _setting(kind: Kind, default: object = None) -> Any:  # noqa: ANN401 -- of the field's type
    return field(default=default, metadata={"kind": kind})


@dataclass(frozen=True, kw_only=True, repr=False)
class Settings:
    """What a plan is made with, apart from its picture.

    All are keywords of ``plan``, ``pixelate`` and ``Plan.to_pdf`` and mean what they mean there; others are:

    Parameters
    ----------
    panel : Panel, str or pair of lengths
        The board: ``"12in x 12in"``; a plan needs one.
    thickness, diagonal : length, optional
        The other measures of the board.
    stock : Stock or path, optional
        The paints, or the file that lists them; ``decimal`` is as for ``read_stock``.
    pinned : mapping, optional
        Recipes of your own, by colour: ``{"#5b7a3a": {"lemon yellow": 3, "black": 1}}``.
    painting, mounting : mapping, optional
        Keywords of ``Painting`` and ``Mounting``.
    pixelate : bool, default False
        Whether the picture is pixelated instead of read cell by cell.
    allow_damaged : bool, default False
        Whether what can be read of a damaged picture is used.
    strengthen : bool, default False
        Whether cells are added that make the figure hold together.
    files : sequence of str
        Which files of a plan are written; by default all.

    Raises
    ------
    ArgumentError
        ``VALUE-BAD`` when a value is of the wrong type.
    SizeError
        ``SIZE-BAD`` when the panel does not have two sides.

    Examples
    --------
    >>> settings = Settings(panel="12in x 12in", pixelate=True, columns=48)
    >>> settings.columns, settings.origins["columns"], settings.origins["rows"]
    (48, 'code', 'default')
    """

    panel: Panel | str | tuple[LengthLike, LengthLike] | None = _setting(kinds.PANEL)
    thickness: LengthLike | None = _setting(kinds.LENGTH)
    diagonal: LengthLike | None = _setting(kinds.LENGTH)
    ruler: LengthLike = _setting(kinds.LENGTH, "1/16 in")
    pitches: str | tuple[LengthLike, ...] | None = _setting(kinds.LENGTHS)
    pitch: LengthLike | None = _setting(kinds.LENGTH)
    width: LengthLike | None = _setting(kinds.LENGTH)
    height: LengthLike | None = _setting(kinds.LENGTH)
    across: int | None = _setting(kinds.COUNT)
    down: int | None = _setting(kinds.COUNT)
    margin: LengthLike = _setting(kinds.LENGTH, "0 in")
    ending: str = _setting(kinds.WORD, "cut out")
    backing: bool = _setting(kinds.FLAG, True)
    edges: bool = _setting(kinds.FLAG, True)
    paints: str = _setting(kinds.WORD, "mixed")
    raw: ColourLike | None = _setting(kinds.COLOUR)
    ground: ColourLike | None = _setting(kinds.COLOUR)
    background: ColourLike = _setting(kinds.COLOUR, "auto")
    stock: Stock | str | Path | None = _setting(kinds.STOCK)
    decimal: str = _setting(kinds.TEXT, ".")
    pinned: Mapping[str, Mapping[str, int]] = _setting(kinds.RECIPES, Table())
    hand: str = _setting(kinds.WORD, "right")
    marking: str = _setting(kinds.WORD, "all")
    transfer: str | None = _setting(kinds.WORD)
    clearance: LengthLike = _setting(kinds.LENGTH, "1/8 in")
    painting: Mapping[str, Any] = _setting(kinds.NUMBERS, Table())
    mounting: Mapping[str, Any] = _setting(kinds.NUMBERS, Table())
    rates: Mapping[str, tuple[float, float]] = _setting(kinds.RATES, Table())
    allow_damaged: bool = _setting(kinds.FLAG, False)
    strengthen: bool = _setting(kinds.FLAG, False)
    pixelate: bool = _setting(kinds.FLAG, False)
    columns: int | None = _setting(kinds.COUNT)
    rows: int | None = _setting(kinds.COUNT)
    colours: int = _setting(kinds.COUNT, 12)
    brushwork: str = _setting(kinds.WORD, "easy")
    palette: tuple[ColourLike, ...] | None = _setting(kinds.COLOURS)
    candidates: tuple[ColourLike, ...] | None = _setting(kinds.COLOURS)
    figure: str = _setting(kinds.WORD, "whole")
    crop: tuple[int, int, int, int] | None = _setting(kinds.BOX)
    smallest_patch: int | None = _setting(kinds.COUNT)
    calm: float | None = _setting(kinds.NUMBER)
    seed: int = _setting(kinds.COUNT, 0)
    paper: str = _setting(kinds.TEXT, "letter")
    pages: str | tuple[str, ...] | None = _setting(kinds.WORDS)
    units: str | None = _setting(kinds.TEXT)
    large_print: bool = _setting(kinds.FLAG, False)
    ink: str = _setting(kinds.TEXT, "colour")
    language: str = _setting(kinds.TEXT, "en")
    bars: tuple[LengthLike, LengthLike, LengthLike] | None = _setting(kinds.BARS)
    files: str | tuple[str, ...] = _setting(kinds.WORDS, PLAN_FILES)
    _given: Mapping[str, tuple[Any, str]] = field(default=Table(), repr=False, compare=False)

    def __post_init__(self) -> None:
        if isinstance(self.panel, Panel):
            for measure in ("thickness", "diagonal"):
                if getattr(self, measure) is None:
                    object.__setattr__(self, measure, getattr(self.panel, measure))
        for key, kind in KINDS.items():
            value = getattr(self, key)
            if value is not None or DEFAULTS[key] is not None:
                object.__setattr__(self, key, _plain(key, kind, value))

    def __repr__(self) -> str:
        own = [key for key in KINDS if getattr(self, key) != DEFAULTS[key]]
        return f"Settings({', '.join(f'{key}={getattr(self, key)!r}' for key in own)})"

    @property
    def origins(self) -> Mapping[str, str]:
        """Where each value comes from, by its key, which in a table is such as ``painting.coats``."""
        return Table({key: self._origin(key, value) for key, value in _flat(self)})

    def _origin(self, key: str, value: object) -> str:
        given = self._given.get(key)
        if given is not None and given[0] == value:
            return given[1]
        return "default" if key in DEFAULTS and value == DEFAULTS[key] else "code"

    @property
    def digest(self) -> str:
        """The SHA-256, in hexadecimal digits, of all that can change what is written: paints, not paths."""
        import hashlib

        stock = self.read_stock()
        told: dict[str, Any] = {key: value for key, value in _flat(self) if key not in {"stock", "decimal"}}
        told["files"] = sorted(set(self.files))
        told["stock"] = None if stock is None else [stock.to_toml(), stock.typical]
        return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()

    @property
    def board(self) -> Panel:
        """The panel.

        Raises
        ------
        ArgumentError
            ``VALUE-BAD`` when there is none.
        """
        if self.panel is None:
            hint = 'Give the board as you measured it: "12in x 12in".'
            raise ArgumentError("VALUE-BAD", "panel is not set", hint)
        width, height = cast("tuple[str, str]", self.panel)
        return Panel(width, height, thickness=self.thickness, diagonal=self.diagonal)

    @property
    def printing(self) -> Printing:
        """The keywords of ``Plan.to_pdf``."""
        return cast("Printing", {key: getattr(self, key) for key in Printing.__annotations__})

    @property
    def pixelating(self) -> dict[str, Any]:
        """The keywords of ``pixelate``."""
        keys = ("columns", "rows", "colours", "brushwork", "palette", "candidates", "figure", "crop")
        return {key: _listed(getattr(self, key)) for key in (*keys, "smallest_patch", "calm", "seed")}

    @property
    def planning(self) -> dict[str, Any]:
        """The keywords of ``plan`` with the panel; errors are those of ``board`` and ``read_stock``."""
        stock = self.read_stock()
        return {
            "panel": self.board,
            **{key: getattr(self, key) for key in _PLANNING},
            "stock": stock,
            "pinned": self._recipes(stock),
            "painting": Painting(**self.painting),
            "mounting": Mounting(**self.mounting),
            "rates": dict(self.rates) or None,
        }

    def read_stock(self) -> Stock | None:
        """Give the paints, out of their file when that was named; errors are those of ``read_stock``."""
        if self.stock is None or isinstance(self.stock, Stock):
            return self.stock
        return read_stock(self.stock, decimal=self.decimal)

    def plan(
        self,
        picture_or_grid: object,
        *,
        name: str | None = None,
        progress: Callable[[float], object] | None = None,
    ) -> Plan:
        """Plan a figure with these settings.

        Parameters
        ----------
        picture_or_grid : Picture, Grid, path, bytes, ndarray or Pillow image
            The picture; it is pixelated first when the settings say so and it is no grid.
        name : str, optional
            The name that the pages bear.
        progress : callable, optional
            Called with the share that is done of each step.

        Returns
        -------
        Plan

        Raises
        ------
        SquarewrightError
            As ``plan``, ``pixelate``, ``read_stock`` and ``Plan.strengthened``.
        """
        figure = picture_or_grid
        if self.pixelate and not isinstance(figure, _core.Grid):
            figure = _core.pixelate(figure, **self.pixelating, progress=progress)
        plan = planning.plan(figure, **self.planning, name=name, progress=progress)
        return plan.strengthened() if self.strengthen else plan

    def _recipes(self, stock: Stock | None) -> list[Recipe] | None:
        if not self.pinned:
            return None
        if stock is None:
            raise ArgumentError("VALUE-BAD", "pinned needs a stock", "Name your list of paints.")
        return [_core.pin(colour, dict(parts), stock) for colour, parts in self.pinned.items()]

    def to_toml(self) -> str:
        """Write the settings as a settings file, with where each comes from behind it."""
        origins = self.origins
        lines = []
        for key, value in _flat(self):
            held = f"# {key} is not set" if value is None else f"{key} = {_toml(value)}  # {origins[key]}"
            lines.append(names.escaped(held))
        return "\n".join([*lines, ""])


def _listed(value: object) -> object:
    """Give a list of colours as the core takes it."""
    return list(value) if isinstance(value, tuple) and value and not isinstance(value[0], int) else value


def _plain(key: str, kind: Kind, value: object) -> object:
    try:
        return kind.read(value)
    except kinds.WrongTypeError:
        what = f"{key} must be {kind.says}, got {value!r}"
        raise ArgumentError("VALUE-BAD", what, "Change that value and try again.") from None


def _flat(settings: Settings) -> Iterator[tuple[str, Any]]:
    """Give all settings with their values, those in a table one by one."""
    for key in KINDS:
        value = getattr(settings, key)
        if isinstance(value, Table):
            yield from flattened(key, value)
        else:
            yield key, value


def flattened(key: str, table: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """Give what stands in a table under keys with a dot, ``painting.coats``."""
    for inner, value in table.items():
        if isinstance(value, Mapping):
            yield from flattened(f"{key}.{_bare(inner)}", value)
        else:
            yield f"{key}.{_bare(inner)}", value


def _bare(key: str) -> str:
    return key if key.replace("_", "").replace("-", "").isalnum() and key.isascii() else json.dumps(key)


def _toml(value: object) -> str:
    if isinstance(value, tuple):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, bool | int | float):
        return json.dumps(value)
    # TOML 1.0.0 takes the escapes of JSON in basic strings.
    return json.dumps(value if isinstance(value, str) else str(value), ensure_ascii=False)


KINDS: dict[str, Kind] = {
    each.name: each.metadata["kind"] for each in dataclasses.fields(Settings) if "kind" in each.metadata
}
"""The kind of each setting, in their order."""

DEFAULTS: dict[str, Any] = {each.name: each.default for each in dataclasses.fields(Settings)}
"""The value that each setting has by itself."""
