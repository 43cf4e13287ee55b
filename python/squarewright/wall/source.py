"""The wall file: TOML like a settings file, with the wall, its taken places and its figures."""

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from squarewright._core import WallPlan
from squarewright.errors import SettingsError, SquarewrightError
from squarewright.names import shown
from squarewright.settings import kinds
from squarewright.settings.kinds import Kind
from squarewright.settings.lines import line_of
from squarewright.settings.reading import held
from squarewright.settings.sources import Entry, checked, parsed, refuse_unknown, settings_of
from squarewright.settings.value import KINDS
from squarewright.wall.parts import MOST, OF_THE_WALL, Pack, Taken, WallFigure
from squarewright.wall.progress import read_progress
from squarewright.wall.wall import Wall

SCHEMA = 1
"""The newest form of a wall file that is understood."""

_AMOUNTS = Kind("a table of millilitres, such as {white = 20}", kinds.NUMBERS.read)

_WALL = {
    "name": kinds.TEXT,
    "width": kinds.LENGTH,
    "height": kinds.LENGTH,
    "gap": kinds.LENGTH,
    "knife_gap": kinds.LENGTH,
    "distance": kinds.LENGTH,
    "merge": kinds.NUMBER,
    "one_pitch": kinds.FLAG,
    "hours": kinds.NUMBER,
    "done": kinds.TEXT,
    "earlier": kinds.TEXT,
}
_PACK = {
    "panels": kinds.COUNT,
    "price": kinds.NUMBER,
    "currency": kinds.TEXT,
    "owned": kinds.COUNT,
    "offcuts": kinds.SIZES,
}
_TAKEN = {"name": kinds.TEXT, **dict.fromkeys(("x", "y", "width", "height"), kinds.LENGTH)}
_FIGURE = {
    "picture": kinds.TEXT,
    "name": kinds.TEXT,
    "copies": kinds.COUNT,
    "mirror": kinds.FLAG,
    "place": kinds.TEXT,
    "x": kinds.LENGTH,
    "y": kinds.LENGTH,
}
_TABLES = {"wall": _WALL, "pack": _PACK, "taken": _TAKEN, "figure": _FIGURE, "left": {}}


def read_wall(path: str | os.PathLike[str]) -> Wall:
    """Read a wall from a TOML file.

    Keys at the top are settings that hold for all figures, as in a settings file, among them ``panel`` and
    ``stock``. ``[wall]`` has ``name``, ``width``, ``height``, ``gap``, ``knife_gap``, ``distance``,
    ``merge``, ``one_pitch`` and ``hours``, and for a wall that was begun ``done``, its progress file, and
    ``earlier``, the ``wall.json`` of its last plan; ``[pack]`` has ``panels``, ``price``, ``currency``,
    ``owned`` and ``offcuts``;
    ``[left]`` has millilitres by paint or by colour; each ``[[taken]]`` has ``name``, ``x``, ``y``, ``width``
    and ``height``; each ``[[figure]]`` has ``picture``, ``name``, ``copies``, ``mirror``,
    ``place = "anywhere"`` or ``x`` and ``y``, and settings of its own, which go before those at the top.
    Paths are looked for from the folder of the file. ``schema = 1`` may stand first.

    Parameters
    ----------
    path : path
        The file; at most 1 MiB.

    Returns
    -------
    Wall
        A file of a newer schema can be looked at and planned, but not written: see ``Wall.newer``.

    Raises
    ------
    PlaceError
        ``PATH-…`` when the file cannot be read.
    SettingsError
        ``CONFIG-KEY`` with the nearest known key, ``CONFIG-TYPE`` or ``CONFIG-VALUE`` with the line
        of what is wrong; ``CONFIG-SYNTAX``, ``CONFIG-TOO-BIG``, ``CONFIG-CHANGED``.

    Examples
    --------
    >>> read_wall("pond.toml").plan().write("pond-wall")  # doctest: +SKIP
    """
    place = Path(os.fsdecode(path))
    name = shown(place.name or str(place))
    text, found = parsed(place, "wall file", name)
    return _Source(place, name, text).wall(found)


@dataclass(frozen=True)
class _Source:
    """A wall file while it is read."""

    path: Path
    name: str
    text: str

    def wall(self, found: dict[str, Any]) -> Wall:
        newer = self._newer(found.pop("schema", SCHEMA))
        lax = newer is not None
        tables = {key: found.pop(key) for key in _TABLES if key in found}
        settings = settings_of(self._settings(found, (), lax))
        figures = self._listed("figure", tables, lax)
        if len(figures) > MOST:
            self._refuse("VALUE", ("figure", MOST), f"has more than {MOST} figures", "Plan two walls.")
        with self._placed(("pack",)):
            pack = Pack(**self._table("pack", tables.get("pack", {}), ("pack",), lax))
        taken = []
        for place, each in enumerate(self._listed("taken", tables, lax)):
            taken.append(self._taken(place, each, lax))
        hung = [self._figure(place, each, lax) for place, each in enumerate(figures)]
        told = self._table("wall", tables.get("wall", {}), ("wall",), lax)
        left = self._left(tables.get("left", {}))
        if not hung and not lax:
            hint = 'Write [[figure]] and picture = "heron.png" for each figure.'
            raise SettingsError("CONFIG-VALUE", "has no figures", hint, self.name)
        told |= self._begun(told)
        with self._placed(("wall",)):
            return Wall(
                figures=hung,  # type: ignore[arg-type]
                settings=settings,
                taken=taken,  # type: ignore[arg-type]
                pack=pack,
                left=left,
                newer=newer,
                path=self.path.absolute(),
                **{"name": self.path.stem, **told},
            )

    def _begun(self, told: Mapping[str, Any]) -> dict[str, Any]:
        """Read what is done of the wall, and how it was planned before."""
        read: dict[str, Callable[[Path], object]] = {"done": read_progress, "earlier": _earlier}
        begun = {}
        for key in read.keys() & told.keys():
            with self._placed(("wall", key)):
                begun[key] = read[key](self.path.parent / told[key])
        return begun

    def _newer(self, schema: object) -> int | None:
        if not isinstance(schema, int) or isinstance(schema, bool) or schema < 1:
            self._refuse("TYPE", ("schema",), "schema is no number", "Write: schema = 1.")
        return schema if schema > SCHEMA else None

    def _listed(self, key: str, tables: Mapping[str, Any], lax: bool) -> list[dict[str, Any]]:
        given = tables.get(key, [])
        if not isinstance(given, list) or not all(isinstance(each, dict) for each in given):
            if lax:
                return []
            what = f"{key} must be a list of tables, got {given!r}"
            self._refuse("TYPE", (key,), what, f"Begin each with [[{key}]].")
        return given

    def _table(self, key: str, given: object, path: tuple[str | int, ...], lax: bool) -> dict[str, Any]:
        """Read a table whose keys are all known, each of its kind."""
        if not isinstance(given, dict):
            self._refuse("TYPE", path, f"{key} must be a table, got {given!r}", f"Begin it with [{key}].")
        known = _TABLES[key]
        read: dict[str, Any] = {}
        for inner, value in given.items():
            if inner not in known and lax:
                continue
            self._checked_key(inner, known, (*path, inner))
            read[inner] = self._read(known[inner], value, (*path, inner))
        return read

    def _read(self, kind: Kind, value: object, path: tuple[str | int, ...]) -> object:
        try:
            return kind.read(value)
        except kinds.WrongTypeError:
            what = f"{_told(path)} must be {kind.says}, got {value!r}"
            self._refuse("TYPE", path, what, "Change that value and try again.")

    def _settings(self, found: Mapping[str, Any], path: tuple[str | int, ...], lax: bool) -> dict[str, Entry]:
        given: dict[str, Entry] = {}
        for key, value in found.items():
            if key not in KINDS and lax:
                continue
            here = (*path, key)
            self._checked_key(key, [*KINDS, *(_FIGURE if path else _TABLES)], here)
            with self._placed(here):
                given |= checked(key, value, f"file {self.name}", self.name, _told(here))
        if "stock" in given:
            stock, origin = given["stock"]
            given["stock"] = (str(self.path.parent / stock), origin)
        return given

    def _checked_key(
        self, key: str, known: Mapping[str, Any] | list[str], path: tuple[str | int, ...]
    ) -> None:
        above = f"{_told(path[:-1])}: " if path[:-1] else ""
        with self._placed(path):
            refuse_unknown(key, known, self.name, above)

    def _taken(self, place: int, given: dict[str, Any], lax: bool) -> Taken:
        path = ("taken", place)
        read = self._table("taken", given, path, lax)
        missing = [key for key in _TAKEN if key not in read and key != "name"]
        if missing:
            self._refuse("VALUE", path, f"{_told(path)} has no {missing[0]}", "Give x, y, width and height.")
        with self._placed(path):
            return Taken(**{"name": f"taken {place + 1}", **read})

    def _figure(self, place: int, given: dict[str, Any], lax: bool) -> WallFigure:
        path = ("figure", place)
        of_wall = [key for key in given if key in OF_THE_WALL]
        if of_wall:
            what = f"{_told(path)}: {of_wall[0]} is no setting of one figure"
            hint = "Write it above all tables: it holds for the whole wall."
            self._refuse("VALUE", (*path, of_wall[0]), what, hint)
        own = {key: value for key, value in given.items() if key in _FIGURE}
        read = self._table("figure", own, path, lax)
        if not read.get("picture"):
            hint = 'Name its file: picture = "heron.png".'
            self._refuse("VALUE", path, f"{_told(path)} has no picture", hint)
        rest = {key: value for key, value in given.items() if key not in _FIGURE}
        settings = settings_of(self._settings(rest, path, lax))
        x, y, hung = read.pop("x", None), read.pop("y", None), read.pop("place", "anywhere")
        if (x is None) != (y is None) or hung != "anywhere":
            what = f'{_told(path)} must have place = "anywhere", or both x and y'
            self._refuse("VALUE", path, what, "Measure both from the left and from the top edge of the wall.")
        read["picture"] = str(self.path.parent / read["picture"])
        with self._placed(path):
            return WallFigure(
                **read,
                place="anywhere" if x is None else (x, y),
                settings={key: getattr(settings, key) for key in rest if key in KINDS},
            )

    def _left(self, given: object) -> dict[str, float]:
        table: Any = self._read(_AMOUNTS, given, ("left",))
        amounts: dict[str, float] = dict(table)
        for key, value in amounts.items():
            if not isinstance(value, int | float) or isinstance(value, bool) or value < 0:
                what = f"left: {key} must be millilitres, got {value!r}"
                self._refuse("VALUE", ("left", key), what, "Write a number of zero or more.")
        return amounts

    @contextmanager
    def _placed(self, path: tuple[str | int, ...]) -> Iterator[None]:
        """Say of what goes wrong on which line it is."""
        try:
            yield
        except SettingsError as error:
            raise SettingsError(error.code, self._on_line(error.what, path), error.hint, self.name) from None
        except SquarewrightError as error:
            what = f"{error.name} {error.what}" if error.name else error.what
            what = what if str(path[0]) in what else f"{_told(path)}: {what}"
            # What is wrong most often begins with its key.
            key = error.what.split(" ", 1)[0]
            what = self._on_line(what, (*path, key))
            raise SettingsError("CONFIG-VALUE", what, error.hint, self.name) from None

    def _on_line(self, what: str, path: tuple[str | int, ...]) -> str:
        line = line_of(self.text, path)
        return what if line is None or what.startswith("line ") else f"line {line}: {what}"

    def _refuse(self, code: str, path: tuple[str | int, ...], what: str, hint: str) -> NoReturn:
        raise SettingsError(f"CONFIG-{code}", self._on_line(what, path), hint, self.name)


EARLIER_BYTES = 1 << 26
"""The most bytes that an earlier plan of a wall may have."""


def _earlier(place: Path) -> WallPlan:
    name = shown(place.name)
    try:
        text = held(place, "wall.json", EARLIER_BYTES, name).decode()
    except UnicodeDecodeError:
        raise SettingsError("CONFIG-TYPE", "is no wall.json", "Name a wall.json.", name) from None
    return WallPlan.from_json(text)


def _told(path: tuple[str | int, ...]) -> str:
    """Name a key as messages do: ``figure 3: columns``."""
    words: list[str] = []
    for each in path:
        if isinstance(each, int):
            words[-1] = f"{words[-1]} {each + 1}"
        else:
            words.append(each)
    return ": ".join(words)
