"""Writing a wall: its own files in one folder, and a folder for each figure in it."""

import os
from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any
from urllib.parse import quote

from squarewright import files, names
from squarewright._core import WallPlan
from squarewright.contents import PLAN_FILES, contents
from squarewright.errors import ProjectError
from squarewright.printing import Printing
from squarewright.processors import processors

WALL_FILES = ("book.pdf", "index.html", "preview.png", "wall.json", "buying.csv")
"""The files of a wall beside the folders of its figures."""

_LINKED = ("book.pdf", "report.html")


def folders(wall: WallPlan) -> dict[str, str]:
    """Name the folder of each figure: no two are one on any common disk.

    Parameters
    ----------
    wall : WallPlan
        The wall.

    Returns
    -------
    dict of str to str
        By the names of the figures.
    """
    named: dict[str, str] = {}
    taken = {name.casefold() for name in WALL_FILES}
    for name in wall.figures:
        folder = base = names.slug(f"{name}.png")
        number = 2
        while folder.casefold() in taken:
            folder, number = f"{base}-{number}", number + 1
        taken.add(folder.casefold())
        named[name] = folder
    return named


def write(
    wall: WallPlan,
    folder: str | os.PathLike[str],
    overwrite: bool = False,
    mkdir: bool = False,
    progress: Callable[[float], object] | None = None,
    threads: int | None = None,
) -> list[Path]:
    """Write a wall; see ``WallPlan.write``."""
    told = wall._told or {}
    if told.get("newer") is not None:
        what = f"is of version {told['newer']}, newer than this package knows: it can be looked at alone"
        raise ProjectError("PROJECT-NEWER", what, "Update this package.", _shown(told.get("path")))
    place = Path(os.fsdecode(folder))
    only = told.get("files") or PLAN_FILES
    plans, named = wall.figures, folders(wall)
    printing: Printing = told.get("printing", Printing())
    check(wall, place, overwrite, mkdir)
    written = files.write_all(place, _own(wall, named, only), overwrite, mkdir)

    def held(name: str) -> dict[str, bytes]:
        return contents(plans[name], printing, only)

    at_once = threads or processors()
    pool = ThreadPoolExecutor(at_once)
    try:
        # Few are made ahead of what is written, so that not all of them stand in memory.
        left, waiting = deque(plans), deque[tuple[str, Future[dict[str, bytes]]]]()
        while left or waiting:
            while left and len(waiting) <= at_once:
                name = left.popleft()
                waiting.append((name, pool.submit(held, name)))
            name, future = waiting.popleft()
            written += files.write_all(place / named[name], future.result(), overwrite)
            if progress is not None:
                progress(1 - (len(left) + len(waiting)) / len(plans))
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
    return written


def _own(wall: WallPlan, named: dict[str, str], only: Sequence[str]) -> dict[str, bytes]:
    """Make the files of the wall itself."""
    printing = dict((wall._told or {}).get("printing") or {})
    units, language = printing.get("units"), printing.get("language", "en")
    linked = [name for name in _LINKED if name in only]
    links = {name: [(f"{quote(folder)}/{file}", file) for file in linked] for name, folder in named.items()}
    # The kinds of sheets are those of a figure's book.
    printing.pop("pages", None)
    makers: dict[str, Callable[[], bytes]] = {
        "book.pdf": lambda: wall.to_pdf(**printing),
        "index.html": lambda: wall.to_html(links=links, units=units, language=language).encode(),
        "preview.png": wall.to_png,
        "wall.json": lambda: wall.to_json().encode(),
        "buying.csv": lambda: wall.buying_csv().encode(),
    }
    return {name: makers[name]() for name in _wall_files(wall)}


def _wall_files(wall: WallPlan) -> list[str]:
    """Name the files of the wall itself: there is no picture of it without places."""
    return [name for name in WALL_FILES if name != "preview.png" or wall.placing is not None]


def check(wall: WallPlan, folder: Path, overwrite: bool, mkdir: bool) -> list[Path]:
    """Refuse to go on when a file of the wall cannot be written, or one would replace a picture.

    Parameters
    ----------
    wall : WallPlan
        The wall.
    folder : Path
        Where the files are to go.
    overwrite : bool
        Whether files that are there already may be replaced.
    mkdir : bool
        Whether missing folders above it may be made.

    Returns
    -------
    list of Path
        The files that would be written.

    Raises
    ------
    OutputError
        ``OUT-SAME``, ``OUT-EXISTS``, ``OUT-FOLDER`` or ``OUT-DENIED``.
    """
    told: dict[str, Any] = wall._told or {}
    only = told.get("files") or PLAN_FILES
    targets = {folder: _wall_files(wall)}
    targets |= {folder / own: list(only) for own in folders(wall).values()}
    inputs = [plan._path for plan in wall.figures.values() if plan._path is not None]
    if told.get("path") is not None:
        inputs.append(told["path"])
    for place, held in targets.items():
        for each in inputs:
            files.keep_input(each, place, held)
        files.check_targets(place, held, overwrite, mkdir or place != folder)
    return [place / name for place, held in targets.items() for name in held]


def _shown(path: object) -> str | None:
    return None if path is None else names.shown(str(path))
