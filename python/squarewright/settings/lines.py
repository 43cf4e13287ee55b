"""On which line of a TOML file a key stands."""

import re
from collections.abc import Iterator, Sequence

Path = Sequence[str | int]

_KEY = r"""(?:"(?:[^"\\]|\\.)*"|'[^']*'|[A-Za-z0-9_-]+)"""
_KEYS = rf"{_KEY}(?:\s*\.\s*{_KEY})*"
_TABLE = re.compile(rf"\s*(\[\[?)\s*({_KEYS})\s*\]\]?")
_PLAIN = re.compile(r"[A-Za-z0-9_-]+(\.[A-Za-z0-9_-]+)*")
_ENTRY = re.compile(rf"\s*({_KEYS})\s*=")


def line_of(text: str, path: Path) -> int | None:
    """Find the line of a key, or that of the nearest table around it.

    Parameters
    ----------
    text : str
        The whole file, which is valid TOML.
    path : sequence of str and int
        The keys from the outside in; after the key of an array of tables stands a place in it, from 0.

    Returns
    -------
    int or None
        Counted from 1; None when nothing of it stands on a line of its own.
    """
    wanted = list(path)
    best, line = 0, None
    for number, found in _places(text):
        if found[:-1] == wanted and isinstance(found[-1], int):
            # The first table of an array stands for the array.
            found.pop()
        # A deeper key stands for those above it that have no line of their own.
        shared = found[: len(wanted)]
        if len(shared) > best and shared == wanted[: len(shared)]:
            best, line = len(shared), number
    return line


def _places(text: str) -> Iterator[tuple[int, list[str | int]]]:
    """Give each line that begins a table or an entry, with its path."""
    table: list[str | int] = []
    counts: dict[tuple[str | int, ...], int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        opened = _TABLE.match(line)
        if opened is not None:
            table = []
            keys = unquoted(opened[2])
            for place, key in enumerate(keys):
                table.append(key)
                is_new = opened[1] == "[[" and place == len(keys) - 1
                if is_new:
                    counts[tuple(table)] = counts.get(tuple(table), -1) + 1
                if tuple(table) in counts:
                    table.append(counts[tuple(table)])
            yield number, list(table)
            continue
        entry = _ENTRY.match(line)
        if entry is not None:
            yield number, [*table, *unquoted(entry[1])]


def unquoted(keys: str) -> list[str]:
    """Give the keys of a key with dots, without their quotes."""
    if _PLAIN.fullmatch(keys):
        return keys.split(".")
    import tomllib

    found, inner = [], tomllib.loads(f"{keys} = 0")
    while isinstance(inner, dict):
        (key, inner), *_ = inner.items()
        found.append(key)
    return found
