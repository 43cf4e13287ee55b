"""Settings out of a file, the environment and the command line: the later of them goes before the earlier."""

import difflib
import os
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from squarewright._core import Mounting, Painting
from squarewright.errors import ArgumentError, ProjectError, SettingsError, SquarewrightError
from squarewright.names import shown
from squarewright.settings import kinds, trial
from squarewright.settings.kinds import Table
from squarewright.settings.lines import unquoted
from squarewright.settings.reading import held
from squarewright.settings.value import DEFAULTS, KINDS, Settings, flattened

SCHEMA = 1
"""The newest form of a settings file that is understood."""

SETTINGS_BYTES = 1 << 20
"""The most bytes that a settings file may have."""

DEPTH = 32
"""How deep tables and lists of a settings file may stand in each other."""

PREFIX = "SQUAREWRIGHT_"
"""What stands before a setting's name, in capitals, in the environment."""

Entry = tuple[Any, str]


def read_settings(
    path: str | os.PathLike[str] | None = None,
    *,
    environment: Mapping[str, str] | None = None,
    flags: Mapping[str, Any] | None = None,
) -> Settings:
    """Read settings from a TOML file and, when they are given, from the environment and the command line.

    Each key of the file is a setting; ``[painting]``, ``[mounting]``, ``[rates]``, ``[pinned]`` are tables.
    A list of paints is looked for from the folder of the file. ``schema = 1`` may stand first.

    Parameters
    ----------
    path : path, optional
        The file; at most 1 MiB.
    environment : mapping of str to str, optional
        Such as ``os.environ``: ``SQUAREWRIGHT_COLUMNS=48`` goes before ``columns`` of the file. Numbers, true
        and false, lists and tables are written as in the file.
    flags : mapping, optional
        What goes before both, by key; what stands in a table has a key such as ``painting.outline``.

    Returns
    -------
    Settings
        Its ``origins`` say where each value comes from.

    Raises
    ------
    PlaceError
        ``PATH-…`` when the file cannot be read.
    SettingsError
        ``CONFIG-KEY`` with the nearest known key, ``CONFIG-TYPE`` or ``CONFIG-VALUE`` with the
        place of what is wrong; ``CONFIG-SYNTAX``, ``CONFIG-TOO-BIG``, ``CONFIG-CHANGED``.
    ProjectError
        ``PROJECT-NEWER`` when it is of a newer version than this package knows.
    ArgumentError
        ``VALUE-BAD`` when a flag has the wrong type.

    Examples
    --------
    >>> read_settings(environment={"SQUAREWRIGHT_COLUMNS": "48"}).columns
    48
    """
    given: dict[str, Entry] = {}
    if path is not None:
        given |= _from_file(Path(os.fsdecode(path)))
    if environment is not None:
        given |= _from_environment(environment)
    for key, value in (flags or {}).items():
        given[key] = (_checked_flag(key, value), f"flag --{key.rpartition('.')[2].replace('_', '-')}")
    return settings_of(given)


def settings_of(given: Mapping[str, Entry]) -> Settings:
    """Put settings together out of single values.

    Parameters
    ----------
    given : mapping
        Each value with where it comes from, as ``checked`` gives them.

    Returns
    -------
    Settings
    """
    values: dict[str, Any] = {key: value for key, (value, _) in given.items() if key in KINDS}
    for table in (key for key, default in DEFAULTS.items() if isinstance(default, Table) and key in KINDS):
        values[table] = _gathered(table, {key: value for key, (value, _) in given.items()})
    return Settings(**values, _given=dict(given))


def _gathered(table: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """Put a table together again out of what stands under keys with a dot."""
    found: dict[str, Any] = {}
    for path, value in values.items():
        if path.startswith(f"{table}."):
            *above, last = unquoted(path)[1:]
            inner = found
            for each in above:
                inner = inner.setdefault(each, {})
            inner[last] = value
    return found


def _from_file(path: Path) -> dict[str, Entry]:
    name = shown(path.name or str(path))
    _, found = parsed(path, "settings file", name)
    schema = found.pop("schema", SCHEMA)
    if not isinstance(schema, int) or isinstance(schema, bool) or schema < 1:
        raise SettingsError("CONFIG-TYPE", "has a schema that is no number", "Write: schema = 1.", name)
    if schema > SCHEMA:
        what = f"has schema {schema}, and this version knows {SCHEMA}"
        raise ProjectError("PROJECT-NEWER", what, "Update this package.", name)
    given: dict[str, Entry] = {}
    for key, value in found.items():
        refuse_unknown(key, KINDS, name, "")
        given |= checked(key, value, f"file {name}", name, key)
    if "stock" in given:
        stock, origin = given["stock"]
        given["stock"] = (str(path.parent / stock), origin)
    return given


def parsed(path: Path, kind: str, name: str) -> tuple[str, dict[str, Any]]:
    """Read a TOML file.

    Parameters
    ----------
    path : Path
        Where it is.
    kind, name : str
        What it should be, and its name, as messages say them.

    Returns
    -------
    str and dict
        Its text and what it holds.

    Raises
    ------
    PlaceError, SettingsError
        As ``read_settings``.
    """
    import tomllib

    try:
        text = held(path, kind, SETTINGS_BYTES, name).decode("utf-8-sig")
        found = tomllib.loads(text)
    except UnicodeDecodeError as error:
        what = f"is not UTF-8 at byte {error.start + 1}"
        raise SettingsError("CONFIG-SYNTAX", what, "Save it as UTF-8.", name) from None
    except tomllib.TOMLDecodeError as error:
        what, hint = f"is not TOML: {error}", "Correct that line; text stands in double quotes."
        raise SettingsError("CONFIG-SYNTAX", what, hint, name) from None
    except RecursionError:
        raise _too_deep(name) from None
    if _is_deeper(found, DEPTH):
        raise _too_deep(name)
    return text, found


def _too_deep(name: str) -> SettingsError:
    what = f"has more than {DEPTH} tables and lists in each other"
    return SettingsError("CONFIG-SYNTAX", what, "Settings need two.", name)


def _is_deeper(value: object, levels: int) -> bool:
    inner: Iterable[object] = ()
    if isinstance(value, dict):
        inner = value.values()
    elif isinstance(value, list):
        inner = value
    return levels < 0 or any(_is_deeper(each, levels - 1) for each in inner)


def _from_environment(environment: Mapping[str, str]) -> dict[str, Entry]:
    given: dict[str, Entry] = {}
    for variable in sorted(name for name in environment if name.startswith(PREFIX)):
        key = variable.removeprefix(PREFIX).lower()
        known = {f"{PREFIX}{each.upper()}": each for each in KINDS}
        refuse_unknown(variable, known, None, "the environment: ")
        value = _written(environment[variable], KINDS[key])
        given |= checked(key, value, f"environment {variable}", None, variable)
    return given


def _written(text: str, kind: kinds.Kind) -> object:
    if kind.is_text and not text.lstrip().startswith(("[", "{")):
        return text
    import tomllib

    try:
        return tomllib.loads(f"value = {text}")["value"]
    except (tomllib.TOMLDecodeError, RecursionError):
        return text


def checked(key: str, value: object, origin: str, name: str | None, place: str) -> dict[str, Entry]:
    """Look at the type and the domain of one value; a table is looked at key by key.

    Parameters
    ----------
    key : str
        The setting.
    value : object
        As it was read.
    origin : str
        Where it comes from.
    name : str or None
        The file that it is about.
    place : str
        What messages call it.

    Returns
    -------
    dict
        The value, or those of the table under keys with a dot, each with its origin.

    Raises
    ------
    SettingsError
        ``CONFIG-…`` when it cannot be.
    """
    try:
        plain = KINDS[key].read(value)
        if key not in _TABLES:
            trial.run(key, plain)
    except kinds.WrongTypeError:
        what = f"{place} must be {KINDS[key].says}, got {value!r}"
        raise SettingsError("CONFIG-TYPE", what, _HINT, name) from None
    except SquarewrightError as error:
        raise _placed(error, place, name) from None
    if key in _TABLES and isinstance(plain, Table):
        _check_table(key, plain, name, place)
    flat = dict(flattened(key, plain)) if isinstance(plain, Table) else {key: plain}
    return {each: (held, origin) for each, held in flat.items()}


def _check_table(key: str, table: Table, name: str | None, place: str) -> None:
    for inner, value in table.items():
        refuse_unknown(inner, _keywords(_TABLES[key]), name, f"{place}: ")
        try:
            trial.run(key, {inner: value})
        except kinds.WrongTypeError:
            what = f"{place}.{inner} is of another type, got {value!r}"
            raise SettingsError("CONFIG-TYPE", what, _HINT, name) from None
        except SquarewrightError as error:
            raise _placed(error, f"{place}.{inner}", name) from None


def _placed(error: SquarewrightError, place: str, name: str | None) -> SettingsError:
    what = error.what if error.what.startswith(f"{place} ") else f"{place}: {error.what}"
    return SettingsError("CONFIG-VALUE", what, error.hint, name)


_HINT = "Change that value and try again."


def _checked_flag(key: str, value: object) -> object:
    known = KINDS.get(key)
    if known is None:
        return value
    try:
        return known.read(value)
    except kinds.WrongTypeError:
        raise ArgumentError("VALUE-BAD", f"{key} must be {known.says}, got {value!r}", _HINT) from None


_TABLES: dict[str, Callable[..., Any]] = {"painting": Painting, "mounting": Mounting}


def _keywords(made: Callable[..., Any]) -> list[str]:
    import inspect

    # Which cells are outline cells is a matter of one figure.
    return [key for key in inspect.signature(made).parameters if key != "outline_cells"]


def refuse_unknown(key: str, known: Iterable[str], name: str | None, place: str) -> None:
    """Refuse a key that is none of those known, with the nearest of them.

    Raises
    ------
    SettingsError
        ``CONFIG-KEY``.
    """
    known = list(known)
    if key in known:
        return
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
    hint = f"Did you mean {near[0]}?" if near else f"Known are {', '.join(known)}."
    raise SettingsError("CONFIG-KEY", f"{place}{key} is no setting", hint, name)
