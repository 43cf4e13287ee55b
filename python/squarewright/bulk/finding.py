"""Which pictures are meant by paths, folders and patterns, and which folder each gets."""

import glob
import hashlib
import os
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from squarewright.errors import ArgumentError
from squarewright.names import shown, slug

PICTURES = 100_000
"""The most pictures in one run."""

ENDINGS = frozenset(
    (".png", ".jpg", ".jpeg", ".gif", ".bmp", ".webp", ".ora", ".tif", ".tiff", ".avif", ".jp2", ".qoi")
)
"""What a file's name ends with when it is taken out of a folder as a picture."""


def find(paths: Iterable[str | os.PathLike[str]], out: Path) -> tuple[dict[str, Path], list[str]]:
    """Find the pictures that are meant.

    Parameters
    ----------
    paths : iterable of path
        Files, folders (all pictures in them and in folders within, but for hidden ones) and patterns with
        ``*``, ``?``, ``[…]`` and ``**``. What is there under its very name is no pattern.
    out : Path
        Where plans go; folders and patterns take nothing from there.

    Returns
    -------
    dict of str to Path
        Each picture under its key, its path from ``out`` with slashes; ordered by the bytes of the keys.
    list of str
        Patterns and folders that have no picture.

    Raises
    ------
    TypeError
        When one of the paths is none.
    ArgumentError
        ``VALUE-BAD`` when there are more than ``PICTURES``.
    """
    found: dict[str, Path] = {}
    empty: list[str] = []
    for place, given in enumerate(paths):
        path = _path(given, place)
        meant = list(_meant(path, out))
        if not meant:
            empty.append(f"{shown(path)} has no picture")
        for each in meant:
            found.setdefault(_key(each, out), each)
        if len(found) > PICTURES:
            what = f"there are more than {PICTURES:,} pictures"
            raise ArgumentError("VALUE-BAD", what, "Plan them in several runs.")
    return {key: found[key] for key in sorted(found, key=os.fsencode)}, empty


def _path(given: str | os.PathLike[str], place: int) -> str:
    try:
        return os.fsdecode(given)
    except TypeError:
        raise TypeError(f"paths[{place}] must be a path, got {type(given).__name__}") from None


def _meant(path: str, out: Path) -> Iterator[Path]:
    if Path(path).is_dir():
        yield from _within(path, out)
    elif os.path.lexists(path) or not glob.has_magic(path):
        yield Path(path)
    else:
        for match in glob.iglob(path, recursive=True):  # noqa: PTH207 -- patterns as they are typed
            if Path(match).is_dir():
                continue
            if not _is_in(Path(match).absolute(), out):
                yield Path(match)


def _within(folder: str, out: Path) -> Iterator[Path]:
    for place, folders, names in os.walk(folder):
        at = Path(place)
        if _is_in(at.absolute(), out):
            folders.clear()
            continue
        folders[:] = sorted(each for each in folders if not each.startswith("."))
        for name in sorted(names):
            if not name.startswith(".") and Path(name).suffix.lower() in ENDINGS:
                yield at / name


def _is_in(path: Path, out: Path) -> bool:
    return Path(os.path.abspath(path)).is_relative_to(os.path.abspath(out))  # noqa: PTH100 -- links are kept


def _key(path: Path, out: Path) -> str:
    """Give the path from the folder of plans: the same wherever both are moved to, wherever we stand."""
    try:
        return os.path.relpath(path, out).replace(os.sep, "/")
    except ValueError:
        # Two drives have no path from one to the other.
        return str(path.absolute()).replace(os.sep, "/")


def folders(keys: Iterable[str], owned: Mapping[str, str], reserved: Iterable[str]) -> dict[str, str]:
    """Give each picture the name of its folder.

    A picture keeps the folder that it has. Of pictures whose names make one slug each gets digits of the
    hash of its key behind, so that it does not matter which comes first.

    Parameters
    ----------
    keys : iterable of str
        The keys of the pictures.
    owned : mapping of str to str
        The folder of each picture that was planned before, by its key.
    reserved : iterable of str
        Names that are no folder's.

    Returns
    -------
    dict of str to str
        Folder by key.
    """
    keys = list(keys)
    wanted = {key: slug(key.rpartition("/")[2]) for key in keys}
    counts: dict[str, int] = {}
    for key in wanted.keys() - owned.keys():
        counts[_folded(wanted[key])] = counts.get(_folded(wanted[key]), 0) + 1
    taken = {_folded(name) for name in (*owned.values(), *reserved)}
    found: dict[str, str] = {}
    for key in keys:
        name = owned.get(key) or wanted[key]
        if key not in owned:
            digits = hashlib.sha256(os.fsencode(key)).hexdigest()
            length = 0 if counts[_folded(name)] == 1 else 8
            while _folded(_with(name, digits[:length])) in taken:
                length += 8
            name = _with(name, digits[:length])
            taken.add(_folded(name))
        found[key] = name
    return found


def _with(name: str, digits: str) -> str:
    return f"{name}-{digits}" if digits else name


def _folded(name: str) -> str:
    # Some disks take these for one name.
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
