"""The command line: ``squarewright compare``."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import errors, files, names, pictures
from squarewright.command import example, paints, plan, streams

if TYPE_CHECKING:
    from squarewright.comparing import Comparison

_EXAMPLE = "squarewright compare kingfisher.jpg --columns 32,48,64 --colours 8,12,16 --panel 12inx12in"
_AFTER = "\nA photo or a drawing is compared in columns and colours, pixel art in cell sizes."


def add(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command and what may follow it.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    said = "show one picture in several ways, side by side"
    about = example.about("compare", "PICTURE --panel SIDES", said, _EXAMPLE, _AFTER)
    parser = commands.add_parser("compare", **about)
    parser.add_argument("picture", metavar="PICTURE", help="PNG, JPEG, GIF, BMP, WebP or OpenRaster")
    parser.add_argument("--panel", required=True, help='the board as you measured it: "12in x 12in"')
    parser.add_argument("--thickness", help='how thick the board is: "1/4 in"')
    parser.add_argument("--columns", type=_counts, metavar="COUNT,…", help="cells across, such as 32,48,64")
    parser.add_argument("--colours", type=_counts, metavar="COUNT,…", help="colours, such as 8,12,16")
    parser.add_argument(
        "--ruler", default="1/16 in", help='between two lines of your ruler, or "scale ruler"'
    )
    parser.add_argument("--across", type=int, help="panels side by side")
    parser.add_argument("--down", type=int, help="panels one below the other")
    parser.add_argument("--ending", choices=["cut-out", "whole-square"], default="cut-out")
    parser.add_argument("--distance", default="10 ft", help="from where it is looked at")
    parser.add_argument("--pixelate", action="store_true", help="pixelate it even when it is pixel art")
    parser.add_argument("--brushwork", choices=["easy", "every-cell", "broad"], default="easy")
    parser.add_argument("--find", action="store_true", help="leave the ground round the figure bare")
    parser.add_argument("--allow-damaged", action="store_true", help="use what can be read of a damaged file")
    paints.add_stock(parser)
    parser.add_argument("--out", metavar="FILE", help="a .png or .html; by default NAME-compared.png")
    plan.add_writing(parser)


def run(typed: argparse.Namespace, begun: list[Path]) -> tuple[str, tuple[str, ...]]:
    """Do what was typed.

    Parameters
    ----------
    typed : Namespace
        What was typed.
    begun : list of Path
        Takes the folder that is written into.

    Returns
    -------
    str
        What goes to standard output.
    tuple of str
        Notes.

    Raises
    ------
    SquarewrightError
        As ``compare``; ``OUT-…`` when the sheet cannot be written.
    """
    out = Path(typed.out if typed.out is not None else f"{names.slug(Path(typed.picture).name)}-compared.png")
    if out.suffix.lower() not in {".png", ".html"}:
        hint = "End its name with .png or .html."
        raise errors.ArgumentError(
            "VALUE-BAD", "has an ending that says no format", hint, names.shown(out.name)
        )
    from squarewright.comparing import compare
    from squarewright.settings import Settings

    panel = Settings(panel=typed.panel, thickness=typed.thickness).board
    with streams.hushed():
        picture = pictures.load(typed.picture, allow_damaged=typed.allow_damaged)
    if picture._path is not None:
        files.keep_input(picture._path, out.parent, [out.name])
    files.check_targets(out.parent, [out.name], typed.overwrite, typed.mkdir)
    found = compare(
        picture,
        panel=panel,
        columns=typed.columns,
        colours=typed.colours,
        distance=typed.distance,
        pixelate=typed.pixelate,
        brushwork=typed.brushwork.replace("-", " "),
        figure="find" if typed.find else "whole",
        ruler=typed.ruler,
        across=typed.across,
        down=typed.down,
        ending=typed.ending.replace("-", " "),
        stock=paints.stock(typed),
        name=names.shown(Path(typed.picture).stem),
    )
    written = out if typed.dry_run else _write(found, out, typed, begun)
    if typed.json:
        report = {
            "name": found.name,
            "distance": str(found.distance),
            "tiles": found.rows,
            "file": str(written),
            "dry_run": typed.dry_run,
        }
        return json.dumps(report), found.notes
    lines = [_line(found, index) for index in range(len(found))]
    where = names.escaped(str(written))
    lines.append(f"Would write {where}." if typed.dry_run else f"The sheet is {where}.")
    return "\n".join(lines), found.notes


def _write(found: "Comparison", out: Path, typed: argparse.Namespace, begun: list[Path]) -> Path:
    data = found.to_png() if out.suffix.lower() == ".png" else found.to_html().encode()
    begun.append(out.parent)
    return files.write_all(out.parent, {out.name: data}, typed.overwrite, typed.mkdir)[0]


def _line(found: "Comparison", index: int) -> str:
    tile = found[index]
    asked = "" if tile.columns is None else f"{tile.columns} columns, up to {tile.colours} colours: "
    if tile.plan is None:
        return names.escaped(f"{asked}{tile.error}")
    figures, fit = tile.row, tile.plan.fit
    low, high = figures["hours"]
    weak = sum(figures["weak_spots"].values()) - figures["weak_spots"]["may_snap"]
    return (
        f"{asked}{figures['cells']} cells of {fit.text(fit.pitch)}, {figures['patches']} patches, "
        f"{figures['colours']} colours, {low:.0f}–{high:.0f} h, {weak} weak spots"
    )


def _counts(text: str) -> list[int]:
    return [int(part) for part in text.split(",")]
