"""The command line: ``squarewright plan``, ``compare``, ``paints`` and ``demo``."""

import argparse
import contextlib
import json
import os
import re
import signal
import sys
from collections.abc import Iterator, Sequence
from importlib import resources
from pathlib import Path
from typing import NoReturn, TextIO

import squarewright
from squarewright import errors, files, names, pictures, telling
from squarewright.command import compare, paints, printing

DONE, FAILED, USAGE, BAD_FILE, EXISTS, INTERNAL, INTERRUPTED = 0, 1, 2, 3, 5, 70, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str, optional
        What was typed after the command's name; by default that of this process.

    Returns
    -------
    int
        0 done · 1 a picture or place failed · 2 usage or a bad value · 3 a bad list of paints ·
        5 would overwrite · 70 internal · 130 interrupted.
    """
    begun: list[Path] = []
    _print_anything()
    try:
        with _stoppable():
            return _run(_printable(_parser().parse_args(arguments)), begun)
    except SystemExit:
        # Help and version were printed; whether anyone could read them changes nothing.
        try:
            print(end="", flush=True)
        except OSError:
            _abandon(sys.stdout)
        raise
    except KeyboardInterrupt:
        return _stop(f"interrupted. {_touched(begun)}", INTERRUPTED)
    except errors.SquarewrightError as error:
        return _stop(f"{error} {_touched(begun)}", _exit_code(error))
    except BrokenPipeError:
        # Who read our words has gone; nobody is to be told.
        _abandon(sys.stdout)
        return FAILED
    except Exception as error:
        what = f"INTERNAL: {type(error).__name__}: {error}. Please report it."
        return _stop(f"{what} {_touched(begun)}", INTERNAL)


def _print_anything() -> None:
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


@contextlib.contextmanager
def _hushed() -> Iterator[None]:
    """Keep the words of foreign readers, which print past Python, off standard error."""
    try:
        kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    except OSError:
        yield
        return
    os.dup2(nowhere, 2)
    os.close(nowhere)
    try:
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)


@contextlib.contextmanager
def _stoppable() -> Iterator[None]:
    """Let a request to end, or a closed terminal, take the same way out as Ctrl-C: past the tidying up."""
    kept: dict[int, object] = {}
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        # Python sets signals from its main thread alone; and one that is ignored stays so.
        with contextlib.suppress(ValueError):
            if number is not None and signal.getsignal(number) is signal.SIG_DFL:
                kept[number] = signal.signal(number, signal.default_int_handler)
    try:
        yield
    finally:
        for number in kept:
            signal.signal(number, signal.SIG_DFL)


def _printable(typed: argparse.Namespace) -> argparse.Namespace:
    """Escape what cannot be printed, except in paths: no length, colour or name needs it."""
    for option, value in vars(typed).items():
        if isinstance(value, str) and option not in {"picture", "out", "stock"}:
            setattr(typed, option, names.escaped(value))
    return typed


def _stop(message: str, code: int) -> int:
    _tell(f"squarewright: {message}")
    return code


def _tell(line: str) -> None:
    """Print a line on standard error, if that is still open."""
    with contextlib.suppress(OSError):
        print(names.escaped(line), file=sys.stderr)


def _say(text: str) -> None:
    try:
        print(text, flush=True)
    except BrokenPipeError:
        raise
    except OSError as error:
        _abandon(sys.stdout)
        what = f"standard output cannot be written to ({error.strerror or error})"
        raise errors.OutputError("OUT-FAILED", what, "Check where it goes.") from None


def _abandon(stream: TextIO) -> None:
    """Send what is still waiting nowhere, so that the interpreter does not stumble over it at its end."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def _touched(begun: list[Path]) -> str:
    if not begun:
        return "Nothing was written."
    return f"Each file in {names.shown(begun[0])} is as it was or complete."


def _exit_code(error: errors.SquarewrightError) -> int:
    if error.code in {"OUT-EXISTS", "OUT-SAME"}:
        return EXISTS
    if isinstance(error, errors.SizeError | errors.ArgumentError):
        return USAGE
    if isinstance(error, errors.StockError):
        return BAD_FILE
    return INTERNAL if isinstance(error, errors.InternalError) else FAILED


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        _tell(f"{self.prog}: {message}. See {self.prog} --help. Nothing was written.")
        raise SystemExit(USAGE)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="squarewright", description="From a picture to a book for a hand-made panel.")
    parser.add_argument("--version", action="version", version=f"squarewright {squarewright.__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="plan | compare | paints | demo")
    plan = commands.add_parser("plan", help="plan one figure")
    plan.add_argument("picture", metavar="PICTURE", help="PNG, JPEG, GIF, BMP, WebP or OpenRaster")
    plan.add_argument("--panel", required=True, help='the board as you measured it: "12in x 12in"')
    plan.add_argument("--thickness", help='how thick the board is: "1/4 in"')
    plan.add_argument("--ruler", default="1/16 in", help='between two lines of your ruler, or "scale ruler"')
    size = plan.add_mutually_exclusive_group()
    size.add_argument("--pitch", help='the side of a cell: "3/16 in"')
    size.add_argument("--width", help="the width of the figure")
    size.add_argument("--height", help="the height of the figure")
    plan.add_argument("--pitches", choices=["any"], help="take any cell size that the ruler shows")
    plan.add_argument("--across", type=_count, help="panels side by side")
    plan.add_argument("--down", type=_count, help="panels one below the other")
    plan.add_argument("--margin", default="0 in", help="what stays free along the outer edges")
    plan.add_argument("--ending", choices=["cut-out", "whole-square"], default="cut-out")
    plan.add_argument("--no-backing", action="store_true", help="no card is glued behind it")
    plan.add_argument("--no-edges", action="store_true", help="its edges stay unpainted")
    plan.add_argument(
        "--hand", choices=["right", "left"], default="right", help="the one that holds brush and knife"
    )
    plan.add_argument("--marking", choices=["all", "sparse"], default="all", help="grid lines to draw")
    plan.add_argument("--transfer", choices=["outline", "dots"], help="add sheets to transfer the outline")
    plan.add_argument(
        "--card", choices=["square", "round", "few"], default="square", help="the corners of the card"
    )
    plan.add_argument(
        "--outline", choices=["first", "last"], default="first", help="when its cells are painted"
    )
    plan.add_argument("--clearance", default="1/8 in", help="between the coarse cuts and the outline")
    plan.add_argument("--from-the-bottle", action="store_true", help="no paint is mixed")
    plan.add_argument("--raw", metavar="COLOUR", help="cells of this colour stay raw board: #rrggbb")
    plan.add_argument("--ground", metavar="COLOUR", help="the colour of the bare cells of a whole square")
    plan.add_argument("--background", default="auto", help="auto, keep or #rrggbb")
    plan.add_argument("--allow-damaged", action="store_true", help="use what can be read of a damaged file")
    plan.add_argument("--strengthen", action="store_true", help="add the cells that make it hold together")
    plan.add_argument("--name", help="the name that the pages bear")
    paints.add_stock(plan)
    _add_pixelating(plan)
    _add_output(plan)
    compare.add(commands)
    paints.add(commands)
    demo = commands.add_parser("demo", help="plan the heron that comes with the package")
    _add_output(demo)
    return parser


def _add_pixelating(parser: argparse.ArgumentParser) -> None:
    doors = parser.add_argument_group("for a photo or a drawing")
    doors.add_argument("--pixelate", action="store_true", help="pixelate it instead of reading its cells")
    doors.add_argument("--columns", type=int, help="cells across")
    doors.add_argument("--rows", type=int, help="cells down")
    doors.add_argument("--colours", type=int, default=12, help="the most colours, 2 to 64")
    doors.add_argument("--brushwork", choices=["easy", "every-cell", "broad"], default="easy")
    doors.add_argument("--find", action="store_true", help="leave the ground round the figure bare")


def _add_output(parser: argparse.ArgumentParser) -> None:
    printing.add(parser)
    parser.add_argument("--out", metavar="FOLDER", help="where the files go; by default NAME-plan")
    parser.add_argument("--mkdir", action="store_true", help="make missing folders above it too")
    parser.add_argument("--overwrite", action="store_true", help="replace files that are there already")
    parser.add_argument("--dry-run", action="store_true", help="list the files and write nothing")
    parser.add_argument("--json", action="store_true", help="print one JSON object on standard output")


def _count(text: str) -> int:
    count = int(text)
    if abs(count) >= 1 << 31:
        raise ValueError
    return count


def _run(typed: argparse.Namespace, begun: list[Path]) -> int:
    if typed.command in {"compare", "paints"}:
        said, notes = paints.run(typed) if typed.command == "paints" else _compare(typed, begun)
        for note in notes:
            _tell(f"note: {note}")
        _say(said)
        return DONE
    found = _demo() if typed.command == "demo" else _plan(typed)
    plan, changed = found, 0
    if typed.command == "plan" and typed.strengthen:
        plan = found.strengthened()
        changed = int((plan.grid.cells != found.grid.cells).sum())
    source = "heron.png" if typed.command == "demo" else Path(typed.picture).name
    folder = Path(typed.out if typed.out is not None else f"{names.slug(source)}-plan")
    for warning in plan.warnings:
        _tell(f"note: {warning}")
    if typed.dry_run:
        files.check_plan(plan, folder, typed.overwrite, typed.mkdir)
        written = [folder / name for name in files.PLAN_FILES]
    else:
        written = _write(plan, folder, typed, begun)
    door = "pixelated" if typed.command == "plan" and typed.pixelate else "recovered"
    if typed.json:
        # Escapes alone are the same in every encoding, and keep the bytes of names that are not UTF-8.
        _say(json.dumps(_report(plan, door, changed, written, typed.dry_run)))
    else:
        _say(_told(plan, changed, written, typed.dry_run))
    return DONE


def _write(plan: squarewright.Plan, folder: Path, typed: argparse.Namespace, begun: list[Path]) -> list[Path]:
    begun.append(folder)
    try:
        return plan.write(folder, overwrite=typed.overwrite, mkdir=typed.mkdir, **printing.keywords(typed))
    except errors.SquarewrightError as error:
        if error.code != "OUT-PARTIAL":
            begun.clear()
        raise


def _demo() -> squarewright.Plan:
    picture = resources.files("squarewright").joinpath("demo/heron.png").read_bytes()
    return squarewright.plan(picture, panel=squarewright.Panel("12 in", "12 in"), name="heron")


def _compare(typed: argparse.Namespace, begun: list[Path]) -> tuple[str, Sequence[str]]:
    return compare.run(typed, *_given(typed), begun)


def _given(typed: argparse.Namespace) -> tuple[squarewright.Panel, squarewright.Picture]:
    panel = squarewright.Panel(*_sides(typed.panel), thickness=typed.thickness)
    with _hushed():
        return panel, pictures.load(typed.picture, allow_damaged=typed.allow_damaged)


def _plan(typed: argparse.Namespace) -> squarewright.Plan:
    stock = paints.stock(typed)
    panel, picture = _given(typed)
    return squarewright.plan(
        _pixelated(picture, typed) if typed.pixelate else picture,
        panel=panel,
        ruler=typed.ruler,
        pitches=typed.pitches,
        pitch=typed.pitch,
        width=typed.width,
        height=typed.height,
        across=typed.across,
        down=typed.down,
        margin=typed.margin,
        ending=typed.ending.replace("-", " "),
        backing=not typed.no_backing,
        edges=not typed.no_edges,
        paints="from the bottle" if typed.from_the_bottle else "mixed",
        raw=typed.raw,
        ground=typed.ground,
        background=typed.background,
        stock=stock,
        painting=squarewright.Painting(outline=typed.outline),
        mounting=squarewright.Mounting(corners=typed.card),
        hand=typed.hand,
        marking=typed.marking,
        transfer=typed.transfer,
        clearance=typed.clearance,
        name=typed.name or names.shown(Path(typed.picture).stem),
    )


def _pixelated(picture: squarewright.Picture, typed: argparse.Namespace) -> squarewright.Grid:
    return squarewright.pixelate(
        picture,
        columns=typed.columns,
        rows=typed.rows,
        colours=typed.colours,
        brushwork=typed.brushwork.replace("-", " "),
        figure="find" if typed.find else "whole",
    )


def _sides(text: str) -> tuple[str, str]:
    sides = re.split(r"[xX×]", text)
    if len(sides) != 2:
        what = f"panel cannot be {text!r}"
        raise errors.SizeError("SIZE-BAD", what, 'Write both sides with their units: "12in x 12in".')
    return sides[0].strip(), sides[1].strip()


def _report(
    plan: squarewright.Plan, door: str, changed: int, written: list[Path], dry_run: bool
) -> dict[str, object]:
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


def _told(plan: squarewright.Plan, changed: int, written: list[Path], dry_run: bool) -> str:
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
        lines.append(f"The book is {paths[0]}, with {len(paths) - 1} more files beside it.")
    return "\n".join(lines)
