"""Kinds of values that settings hold: what each is in words, and how it becomes plain data.

A kind looks at the type alone. Whether a length is above zero or a word is known, the core says.
"""

import os
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from squarewright._core import Length, Panel, Stock
from squarewright.errors import SizeError

Reader = Callable[[object], object]


class WrongTypeError(Exception):
    """A value is of another type than its setting; the message says which is wanted."""


class Table(Mapping[str, Any]):
    """A mapping that never changes, such as what ``[painting]`` holds in a settings file.

    Parameters
    ----------
    content : mapping, optional
        What it holds; its keys are put in order.
    """

    def __init__(self, content: Mapping[str, Any] | None = None) -> None:
        self._content = {key: content[key] for key in sorted(content)} if content else {}

    def __getitem__(self, key: str) -> Any:  # noqa: ANN401 -- as each key has it
        return self._content[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._content)

    def __len__(self) -> int:
        return len(self._content)

    def __hash__(self) -> int:
        return hash(tuple(self._content.items()))

    def __repr__(self) -> str:
        return repr(self._content)

    def __reduce__(self) -> tuple[type["Table"], tuple[dict[str, Any]]]:
        return Table, (self._content,)


@dataclass(frozen=True)
class Kind:
    """What a setting may hold.

    Parameters
    ----------
    says : str
        In words.
    read : callable
        Gives a value as plain data that never changes; raises ``WrongTypeError`` for another type.
    is_text : bool, default True
        Whether what stands in the environment is that text itself, unless it begins as a list or a table
        does; otherwise it is read as in a settings file.
    """

    says: str
    read: Reader
    is_text: bool = True


def _of(*types: type) -> Reader:
    def read(value: object) -> object:
        if getattr(value, "ndim", None) == 0 and hasattr(value, "item"):
            # A number out of an array.
            value = value.item()
        # To Python, true and false are whole numbers.
        if not isinstance(value, types) or (isinstance(value, bool) and bool not in types):
            raise WrongTypeError
        return value

    return read


def _length(value: object) -> str:
    if isinstance(value, Length):
        return f"{value.inches} in"
    return str(_of(str)(value))


def _panel(value: object) -> tuple[str, str]:
    if isinstance(value, Panel):
        return _length(value.width), _length(value.height)
    if not isinstance(value, str):
        width, height = _items(_length, 2)(value)
        return str(width), str(height)
    sides = re.split(r"[xX×]", value)
    if len(sides) != 2:
        what = f"panel cannot be {value!r}"
        raise SizeError("SIZE-BAD", what, 'Write both sides with their units: "12in x 12in".')
    return sides[0].strip(), sides[1].strip()


def _items(read: Reader, count: int | None = None) -> Callable[[object], tuple[object, ...]]:
    def read_all(value: object) -> tuple[object, ...]:
        plain = value.tolist() if hasattr(value, "tolist") else value
        if not isinstance(plain, list | tuple) or count not in {None, len(plain)}:
            raise WrongTypeError
        return tuple(read(each) for each in plain)

    return read_all


def _either(*reads: Reader) -> Reader:
    def read(value: object) -> object:
        for each in reads[:-1]:
            try:
                return each(value)
            except WrongTypeError:
                continue
        return reads[-1](value)

    return read


def _word(value: object) -> str:
    return str(_of(str)(value)).replace("-", " ")


def _words(value: object) -> tuple[object, ...]:
    listed = [part.strip() for part in value.split(",")] if isinstance(value, str) else value
    return _items(_of(str))(listed)


def _stock(value: object) -> str | Stock:
    if isinstance(value, Stock):
        return value
    if not isinstance(value, str | os.PathLike):
        raise WrongTypeError
    return os.fsdecode(value)


def _table(read: Reader) -> Callable[[object], Table]:
    def read_all(value: object) -> Table:
        if not isinstance(value, Mapping) or not all(isinstance(key, str) for key in value):
            raise WrongTypeError
        return Table({key: read(each) for key, each in value.items()})

    return read_all


def _settled(value: object) -> object:
    """Take what a number behind the plan may be: each is checked by the room that it belongs to."""
    if isinstance(value, Length):
        return _length(value)
    return _items(_settled)(value) if isinstance(value, list | tuple) else _of(str, int, float, bool)(value)


_COLOUR = _either(_of(str), _items(_of(int), 3))

TEXT = Kind("text", _of(str))
WORD = Kind("a word", _word)
FLAG = Kind("true or false", _of(bool), is_text=False)
COUNT = Kind("a whole number", _of(int), is_text=False)
NUMBER = Kind("a number", _of(int, float), is_text=False)
LENGTH = Kind('a length with its unit, such as "3/16 in"', _length)
LENGTHS = Kind('"any" or a list of lengths', _either(_of(str), _items(_length)))
BARS = Kind("a list of three lengths", _items(_length, 3))
PANEL = Kind('both sides of a board, such as "12in x 12in"', _panel)
SIZES = Kind('a list of sizes, such as ["5in x 11in"]', _items(_panel))
BOX = Kind("a list of four whole numbers", _items(_of(int), 4), is_text=False)
COLOUR = Kind('a colour, such as "#5b7a3a"', _COLOUR)
COLOURS = Kind('a list of colours, such as ["#5b7a3a", "#ffffff"]', _items(_COLOUR))
WORDS = Kind("a list of words", _words)
STOCK = Kind("the path of a list of paints", _stock)
NUMBERS = Kind("a table of numbers, lengths and words", _table(_settled), is_text=False)
RATES = Kind(
    "a table of pairs of minutes, such as {mark = [45, 90]}",
    _table(_items(_of(int, float), 2)),
    is_text=False,
)
RECIPES = Kind("a table of parts for each colour", _table(_table(_of(int))), is_text=False)
