"""The command line: ``squarewright plan`` and ``demo``."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import errors, files, names, pictures, telling
from squarewright._core import Plan
from squarewright.command import options, printing, streams

if TYPE_CHECKING:
    from squarewright.settings import Settings

_EXAMPLE = 'squarewright plan heron.png --panel "12in x 12in" --out heron-plan'
_DEMO_EXAMPLE = "squarewright demo --out demo --paper a4"


def add(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command and what may follow it.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    plan = options.parser(commands, "plan", "PICTURE --panel SIDES", "plan one figure", _EXAMPLE)
    plan.add_argument("picture", metavar="PICTURE", help="PNG, JPEG, GIF, BMP, WebP or OpenRaster")
    plan.add_argument("--name", default=None, help="the name that the pages bear")
    options.add(plan)
    _add_output(plan)


def add_demo(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command that plans the heron.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    demo = options.parser(commands, "demo", "", "plan the heron that comes with the package", _DEMO_EXAMPLE)
    printing.add(demo)
    _add_output(demo)


def _add_output(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--out", metavar="FOLDER", default=None, help="where the files go; by default NAME-plan"
    )
    add_writing(parser)


def add_writing(parser: argparse.ArgumentParser) -> None:
    """Add what commands that write files have in common.

    Parameters
    ----------
    parser : ArgumentParser
        What it is added to.
    """
    missing = "make missing folders above it too"
    there = "replace files that are there already"
    parser.add_argument("--mkdir", action="store_true", default=False, help=missing)
    parser.add_argument("--overwrite", action="store_true", default=False, help=there)
    parser.add_argument(
        "--dry-run", action="store_true", default=False, help="list the files and write nothing"
    )
    parser.add_argument(
        "--json", action="store_true", default=False, help="print one JSON object on standard output"
    )


def run(typed: argparse.Namespace, begun: list[Path]) -> int:
    """Do what was typed, and say what became of it.

    Parameters
    ----------
    typed : Namespace
        What was typed.
    begun : list of Path
        Takes the folder that is written into.

    Returns
    -------
    int
        0 when it is done.

    Raises
    ------
    SquarewrightError
        Whatever is wrong with settings, picture or folder.
    """
    is_demo = typed.command == "demo"
    settings = _demo_settings(typed) if is_demo else options.settings(typed)
    if hasattr(typed, "show_settings"):
        streams.say(options.shown(settings, typed.json))
        return 0
    source = "heron.png" if is_demo else Path(typed.picture).name
    plan, changed = _planned(typed, settings, is_demo)
    folder = Path(typed.out if typed.out is not None else f"{names.slug(source)}-plan")
    streams.note(plan.warnings)
    if typed.dry_run:
        files.check_plan(plan, folder, typed.overwrite, typed.mkdir, settings.files)
        written = [folder / name for name in files.PLAN_FILES if name in settings.files]
    else:
        written = _write(plan, folder, typed, settings, begun)
    if typed.json:
        door = "recovered" if is_demo or not settings.pixelate else "pixelated"
        # Escapes alone are the same in every encoding, and keep the bytes of names that are not UTF-8.
        streams.say(json.dumps(_report(plan, door, changed, written, typed.dry_run)))
    else:
        streams.say(_told(plan, changed, written, typed.dry_run))
    return 0


def _demo_settings(typed: argparse.Namespace) -> "Settings":
    from dataclasses import replace

    return replace(options.settings(typed, environment={}), panel="12in x 12in")


def _planned(typed: argparse.Namespace, settings: "Settings", is_demo: bool) -> tuple[Plan, int]:
    """Give the plan, and how many cells were changed to strengthen it."""
    from dataclasses import replace

    if is_demo:
        heron = (Path(__file__).parent.parent / "demo" / "heron.png").read_bytes()
        return settings.plan(heron, name="heron"), 0
    # A board or paints that cannot be used are told before the picture is opened.
    settings.board  # noqa: B018
    settings = replace(settings, stock=settings.read_stock())
    with streams.hushed():
        picture = pictures.load(typed.picture, allow_damaged=settings.allow_damaged)
    name = typed.name or names.shown(Path(typed.picture).stem)
    found = replace(settings, strengthen=False).plan(picture, name=name)
    if not settings.strengthen:
        return found, 0
    plan = found.strengthened()
    return plan, int((plan.grid.cells != found.grid.cells).sum())


def _write(
    plan: Plan, folder: Path, typed: argparse.Namespace, settings: "Settings", begun: list[Path]
) -> list[Path]:
    begun.append(folder)
    try:
        return files.write_plan(plan, folder, typed.overwrite, typed.mkdir, settings.printing, settings.files)
    except errors.SquarewrightError as error:
        if error.code != "OUT-PARTIAL":
            begun.clear()
        raise


def _report(plan: Plan, door: str, changed: int, written: list[Path], dry_run: bool) -> dict[str, object]:
    recovery = plan.recovery
    return {
        "name": plan.name,
        "door": door,
        "rows": plan.grid.rows,
        "columns": plan.grid.columns,
        "colours": len(plan.grid.names),
        "pitch_px": None if recovery is None else recovery.pitch_px,
        "confidence": plan.confidence,
        "pitch": str(plan.fit.pitch),
        "width": str(plan.fit.width),
        "height": str(plan.fit.height),
        "panels": [plan.fit.across, plan.fit.down],
        "column_seams": plan.fit.column_seams,
        "row_seams": plan.fit.row_seams,
        "recipes": {recipe.target: str(recipe) for recipe in plan.recipes},
        "weak_spots": telling.weak_counts(plan),
        "strengthened_cells": changed,
        "warnings": plan.warnings,
        "files": [str(path) for path in written],
        "dry_run": dry_run,
    }


def _told(plan: Plan, changed: int, written: list[Path], dry_run: bool) -> str:
    recovery, fit = plan.recovery, plan.fit
    rows, columns = plan.grid.rows, plan.grid.columns
    lines = []
    if recovery is None:
        lines.append(f"Pixelated to {rows} rows × {columns} columns, {len(plan.grid.names)} colours.")
    else:
        width, height = recovery.pitch_px
        cell = f"{width:g} px" if width == height else f"{width:g} × {height:g} px"
        sure = f"confidence {recovery.confidence:.2f}"
        lines.append(f"Recovered {rows} rows × {columns} columns, {cell} a cell, {sure}.")
    panels = "one panel" if fit.across * fit.down == 1 else f"{fit.across} × {fit.down} panels"
    pitch, wide, high = (fit.text(length) for length in (fit.pitch, fit.width, fit.height))
    lines.append(f"Cells of {pitch}: {wide} wide, {high} high, on {panels}.")
    if changed:
        lines.append(f"Strengthened: {changed} cells were changed.")
    if weak := telling.weak_words(plan):
        lines.append(f"Weak spots: {weak}. The book shows where, and what helps.")
    paths = [names.escaped(str(path)) for path in written]
    if dry_run:
        lines.extend(["Would write:", *(f"  {path}" for path in paths)])
    else:
        lines.append(_where(paths))
    return "\n".join(lines)


def _where(paths: list[str]) -> str:
    first = "The book is" if paths[0].endswith("book.pdf") else "Written is"
    more = len(paths) - 1
    beside = f", with {more} more file{'s' if more > 1 else ''} beside it" if more else ""
    return f"{first} {paths[0]}{beside}."
