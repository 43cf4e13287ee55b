"""The command line: ``squarewright plan`` and ``squarewright demo``."""

import argparse
import json
import re
import sys
from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import NoReturn

import squarewright
from squarewright import errors, files, pictures

DONE, FAILED, USAGE, EXISTS, INTERNAL, INTERRUPTED = 0, 1, 2, 5, 70, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str, optional
        What was typed after the command's name; by default that of this process.

    Returns
    -------
    int
        0 done · 1 a picture or place failed · 2 usage or a bad value · 5 would overwrite · 70 internal ·
        130 interrupted.
    """
    begun: list[Path] = []
    try:
        return _run(_parser().parse_args(arguments), begun)
    except KeyboardInterrupt:
        return _stop(f"interrupted. {_touched(begun)}", INTERRUPTED)
    except errors.SquarewrightError as error:
        untouched = "" if error.code == "OUT-PARTIAL" else " Nothing was written."
        return _stop(f"{error}{untouched}", _exit_code(error))
    except BrokenPipeError:
        return FAILED
    except Exception as error:
        what = f"INTERNAL: {type(error).__name__}: {error}. Please report it."
        return _stop(f"{what} {_touched(begun)}", INTERNAL)


def _stop(message: str, code: int) -> int:
    line = " ".join(message.split())
    print(f"squarewright: {line}", file=sys.stderr)
    return code


def _touched(begun: list[Path]) -> str:
    return f"Each file in {begun[0]} is as it was or complete." if begun else "Nothing was written."


def _exit_code(error: errors.SquarewrightError) -> int:
    if error.code in {"OUT-EXISTS", "OUT-SAME"}:
        return EXISTS
    if isinstance(error, errors.SizeError | errors.ArgumentError):
        return USAGE
    return INTERNAL if isinstance(error, errors.InternalError) else FAILED


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        print(f"{self.prog}: {message}. See {self.prog} --help. Nothing was written.", file=sys.stderr)
        raise SystemExit(USAGE)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="squarewright", description="From a picture to a book for a hand-made panel.")
    parser.add_argument("--version", action="version", version=f"squarewright {squarewright.__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="plan | demo")
    plan = commands.add_parser("plan", help="plan one figure")
    plan.add_argument("picture", metavar="PICTURE", help="PNG, JPEG, GIF, BMP or WebP")
    plan.add_argument("--panel", required=True, help='the board as you measured it: "12in x 12in"')
    plan.add_argument("--thickness", help='how thick the board is: "1/4 in"')
    plan.add_argument("--ruler", default="1/16 in", help='between two lines of your ruler, or "scale ruler"')
    size = plan.add_mutually_exclusive_group()
    size.add_argument("--pitch", help='the side of a cell: "3/16 in"')
    size.add_argument("--width", help="the width of the figure")
    size.add_argument("--height", help="the height of the figure")
    plan.add_argument("--pitches", choices=["any"], help="take any cell size that the ruler shows")
    plan.add_argument("--across", type=int, help="panels side by side")
    plan.add_argument("--down", type=int, help="panels one below the other")
    plan.add_argument("--margin", default="0 in", help="what stays free along the outer edges")
    plan.add_argument("--ending", choices=["cut-out", "whole-square"], default="cut-out")
    plan.add_argument("--no-backing", action="store_true", help="no card is glued behind it")
    plan.add_argument("--no-edges", action="store_true", help="its edges stay unpainted")
    plan.add_argument("--from-the-bottle", action="store_true", help="no paint is mixed")
    plan.add_argument("--raw", metavar="COLOUR", help="cells of this colour stay raw board: #rrggbb")
    plan.add_argument("--ground", metavar="COLOUR", help="the colour of the bare cells of a whole square")
    plan.add_argument("--background", default="auto", help="auto, keep or #rrggbb")
    plan.add_argument("--name", help="the name that the pages bear")
    _add_pixelating(plan)
    _add_output(plan)
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
    parser.add_argument("--paper", choices=["letter", "a4"], default="letter")
    parser.add_argument("--out", metavar="FOLDER", help="where the files go; by default NAME-plan")
    parser.add_argument("--overwrite", action="store_true", help="replace files that are there already")
    parser.add_argument("--dry-run", action="store_true", help="list the files and write nothing")
    parser.add_argument("--json", action="store_true", help="print one JSON object on standard output")


def _run(typed: argparse.Namespace, begun: list[Path]) -> int:
    plan = _demo() if typed.command == "demo" else _plan(typed)
    source = "heron" if typed.command == "demo" else Path(typed.picture).stem
    folder = Path(typed.out if typed.out is not None else f"{source}-plan")
    if typed.command == "plan":
        files.keep_input(Path(typed.picture), folder, files.PLAN_FILES)
    for warning in plan.warnings:
        print(f"note: {warning}", file=sys.stderr)
    if typed.dry_run:
        files.check_targets(folder, files.PLAN_FILES, typed.overwrite)
        written = [folder / name for name in files.PLAN_FILES]
    else:
        begun.append(folder)
        written = plan.write(folder, paper=typed.paper, overwrite=typed.overwrite)
    door = "pixelated" if typed.command == "plan" and typed.pixelate else "recovered"
    if typed.json:
        print(json.dumps(_report(plan, door, written, typed.dry_run), ensure_ascii=False))
    else:
        _tell(plan, written, typed.dry_run)
    return DONE


def _demo() -> squarewright.Plan:
    picture = resources.files("squarewright").joinpath("demo/heron.png").read_bytes()
    return squarewright.plan(picture, panel=squarewright.Panel("12 in", "12 in"), name="heron")


def _plan(typed: argparse.Namespace) -> squarewright.Plan:
    panel = squarewright.Panel(*_sides(typed.panel), thickness=typed.thickness)
    picture = pictures.load(typed.picture)
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
        name=typed.name or Path(typed.picture).stem,
    )


def _pixelated(picture: squarewright.Picture, typed: argparse.Namespace) -> squarewright.Grid:
    for note in picture.warnings:
        print(f"note: {note}", file=sys.stderr)
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


def _report(plan: squarewright.Plan, door: str, written: list[Path], dry_run: bool) -> dict[str, object]:
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
        "warnings": plan.warnings,
        "files": [str(path) for path in written],
        "dry_run": dry_run,
    }


def _tell(plan: squarewright.Plan, written: list[Path], dry_run: bool) -> None:
    recovery, fit = plan.recovery, plan.fit
    rows, columns = plan.grid.rows, plan.grid.columns
    if recovery is None:
        print(f"Pixelated to {rows} rows × {columns} columns, {len(plan.grid.names)} colours.")
    else:
        width, height = recovery.pitch_px
        cell = f"{width:g} px" if width == height else f"{width:g} × {height:g} px"
        sure = f"confidence {recovery.confidence:.2f}"
        print(f"Recovered {rows} rows × {columns} columns, {cell} a cell, {sure}.")
    panels = "one panel" if fit.across * fit.down == 1 else f"{fit.across} × {fit.down} panels"
    pitch, wide, high = (fit.text(length) for length in (fit.pitch, fit.width, fit.height))
    print(f"Cells of {pitch}: {wide} wide, {high} high, on {panels}.")
    if dry_run:
        print("Would write:", *written, sep="\n  ")
    else:
        print(f"The book is {written[0]}, with {len(written) - 1} more files beside it.")
