"""What a plug-in asks for, done: pixels in, layers, facts and files out. Both engines call this."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from squarewright import _core, files, telling
from squarewright._core import Grid, Paint, Picture, Plan, Stock
from squarewright.contents import contents
from squarewright.editors import form
from squarewright.settings import Settings

PROTOCOL = 1
"""The version of what plug-in and package tell each other."""

LINES = ("inner-lines", "outline", "marks", "codes", "weak-spots")
"""The layers over the cells of a plan, from the lowest to the topmost."""

WRITING = 0.95
"""The share from which on nothing may be called off: all files of a book are written, or none."""

_SEEN = ("outline", "weak-spots")
"""Those of a preview: it is too small for the others."""

Cells = tuple[float, float, float, float]
Progress = Callable[[float], object]


@dataclass(frozen=True)
class Made:
    """What became of a request.

    Parameters
    ----------
    facts : dict
        Plain data that a sentence can be made of.
    size : tuple of int
        Width and height of the layers in pixels.
    layers : dict of str to bytes
        Red, green, blue and opacity of each, the lowest first.
    paints : list
        Name, red, green and blue of each.
    """

    facts: dict[str, Any]
    size: tuple[int, int] = (0, 0)
    layers: dict[str, bytes] = field(default_factory=dict)
    paints: list[tuple[str, int, int, int]] = field(default_factory=list)


def do(request: Mapping[str, Any], pixels: bytes, progress: Progress) -> Made:
    """Do what a plug-in asks for.

    Parameters
    ----------
    request : mapping
        ``action`` and ``settings`` as in ``form``; for pictures ``width`` and ``height``, ``name``, and
        ``source``, the file that must not be replaced; ``out``, the folder of the book; ``side``, the longer
        side of a preview, which writes nothing; ``language``, of what is told.
    pixels : bytes
        Red, green, blue and opacity of each pixel, row by row.
    progress : callable
        Called with the share that is done; work stops when it raises.

    Returns
    -------
    Made

    Raises
    ------
    SquarewrightError
        Whatever is wrong with picture, settings or folder.
    """
    action, chosen = request["action"], form.settings(request["action"], request["settings"])
    if action == "palette":
        return _paints(chosen)
    picture = Picture.from_rgba(pixels, request["width"], request["height"], request.get("name"))
    if request.get("source"):
        picture = picture._at(request["source"])
    if action == "pixelate":
        return _pixelated(picture, chosen, request, progress)
    return _planned(picture, chosen, request, progress)


def _paints(chosen: Settings) -> Made:
    stock = chosen.read_stock() or Stock.basic()
    paints = [(paint.name, *paint.colour) for paint in stock.paints]
    facts = {
        "paints": len(paints),
        "typical": stock.typical,
        "unnamed": sum(paint.name == _code(paint) for paint in stock.paints),
        "gpl": stock.to_gpl(),
    }
    return Made(facts, paints=paints)


def _pixelated(picture: Picture, chosen: Settings, request: Mapping[str, Any], progress: Progress) -> Made:
    grid = _core.pixelate(picture, **chosen.pixelating, progress=_part(progress, 0.0, 0.8))
    facts = {**_counts(grid), "door": "pixelate", "warnings": []}
    size = _size(picture, request)
    return Made(facts, size, {"cells": grid.to_layer(*size)})


def _planned(picture: Picture, chosen: Settings, request: Mapping[str, Any], progress: Progress) -> Made:
    plan = chosen.plan(picture, name=request.get("name"), progress=_part(progress, 0.0, 0.5))
    is_preview = "side" in request
    out = None if is_preview or not request.get("out") else Path(request["out"])
    overwrite = bool(request["settings"].get("overwrite"))
    if out is not None:
        files.check_plan(plan, out, overwrite, True, chosen.files)
    size = _size(picture, request)
    cells = _cells(plan, picture, size)
    layers = {"cells": plan.grid.to_layer(*size, cells)}
    names = _SEEN if is_preview else LINES
    for number, name in enumerate(names, start=1):
        layers[name] = plan.to_layer(name, *size, cells, language=chosen.language)
        progress(0.5 + 0.2 * number / len(names))
    written: list[Path] = []
    if out is not None:
        held = _held(plan, chosen, progress)
        progress(WRITING)
        written = files.write_all(out, held, overwrite, True)
    progress(1.0)
    facts = _facts(plan, written) | {"warnings": plan._cautions(request.get("language", "en"))}
    return Made(facts, size, layers)


def _held(plan: Plan, chosen: Settings, progress: Progress) -> dict[str, bytes]:
    """Make the files of a plan one by one, so that it can be called off between them."""
    held: dict[str, bytes] = {}
    for number, name in enumerate(chosen.files, start=1):
        held |= contents(plan, chosen.printing, [name])
        progress(0.7 + 0.2 * number / len(chosen.files))
    return held


def _size(picture: Picture, request: Mapping[str, Any]) -> tuple[int, int]:
    """Give the size of layers: that of the picture, or of its preview."""
    width, height = picture.width, picture.height
    if "side" not in request:
        return width, height
    scale = request["side"] / max(width, height)
    return max(1, round(width * scale)), max(1, round(height * scale))


def _cells(plan: Plan, picture: Picture, size: tuple[int, int]) -> Cells:
    """Give where the cells lie on layers of a size: all over them, or where they were found."""
    across, down = size[0] / picture.width, size[1] / picture.height
    found = plan.recovery
    if found is None:
        return 0.0, 0.0, float(size[0]), float(size[1])
    (left, top), (wide, high) = found.offset_px, found.pitch_px
    right, bottom = left + wide * plan.grid.columns, top + high * plan.grid.rows
    return left * across, top * down, right * across, bottom * down


def _code(paint: Paint) -> str:
    return "#{:02x}{:02x}{:02x}".format(*paint.colour)


def _counts(grid: Grid) -> dict[str, Any]:
    return {"columns": grid.columns, "rows": grid.rows, "colours": len(grid.names)}


def _facts(plan: Plan, written: list[Path]) -> dict[str, Any]:
    fit = plan.fit
    return {
        **_counts(plan.grid),
        "door": "pixelate" if plan.recovery is None else "recover",
        "pitch": fit.text(fit.pitch),
        "panels": fit.across * fit.down,
        "confidence": plan.confidence,
        "weak_spots": sum(telling.weak_counts(plan).values()),
        "files": [str(path) for path in written],
    }


def _part(progress: Progress, start: float, end: float) -> Progress:
    """Give progress for a part of the work; several steps in it may each count from nothing."""
    furthest = start

    def tell(share: float) -> None:
        nonlocal furthest
        furthest = max(furthest, start + (end - start) * share)
        progress(furthest)

    return tell
