"""The command line: ``squarewright compare``."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import errors, files, names, pictures
from squarewright.command import options, plan, streams

if TYPE_CHECKING:
    from squarewright.comparing import Comparison

_EXAMPLE = "squarewright compare kingfisher.jpg --columns 32,48,64 --colours 8,12,16 --panel 12inx12in"
_AFTER = """
A photo or a drawing is compared in columns and colours, pixel art in cell sizes. Of a settings file columns,
rows, colours, palette and strengthen are left aside."""

_PIXELATING = ("brushwork", "candidates", "figure", "crop", "smallest_patch", "calm", "seed")


def add(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command and what may follow it.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    said = "show one picture in several ways, side by side"
    parser = options.parser(commands, "compare", "PICTURE --panel SIDES", said, _EXAMPLE, _AFTER)
    parser.add_argument("picture", metavar="PICTURE", help="PNG, JPEG, GIF, BMP, WebP or OpenRaster")
    parser.add_argument("--distance", default="10 ft", help="from where it is looked at; by default 10 ft")
    parser.add_argument(
        "--out", metavar="FILE", default=None, help="a .png or .html; by default NAME-compared.png"
    )
    options.add_planning(parser)
    doors = parser.add_argument_group("for a photo or a drawing")
    for name, usual in (("columns", "32,48,64"), ("colours", "8,12,16")):
        doors.add_argument(
            f"--{name}",
            dest=f"{name}_compared",
            type=_counts,
            metavar="COUNT,…",
            default=None,
            help=f"by default {usual}",
        )
    options.add_pixelating(doors)
    plan.add_writing(parser)


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
        As ``compare``; ``OUT-…`` when the sheet cannot be written.
    """
    settings = options.settings(typed)
    if hasattr(typed, "show_settings"):
        streams.say(options.shown(settings, typed.json))
        return 0
    out = Path(typed.out if typed.out is not None else f"{names.slug(Path(typed.picture).name)}-compared.png")
    if out.suffix.lower() not in {".png", ".html"}:
        hint = "End its name with .png or .html."
        raise errors.ArgumentError(
            "VALUE-BAD", "has an ending that says no format", hint, names.shown(out.name)
        )
    # A board or paints that cannot be used are told before the picture is opened.
    planning = settings.planning
    with streams.hushed():
        picture = pictures.load(typed.picture, allow_damaged=settings.allow_damaged)
    if picture._path is not None:
        files.keep_input(picture._path, out.parent, [out.name])
    files.check_targets(out.parent, [out.name], typed.overwrite, typed.mkdir)
    from squarewright.comparing import compare

    found = compare(
        picture,
        columns=typed.columns_compared,
        colours=typed.colours_compared,
        distance=typed.distance,
        pixelate=settings.pixelate,
        **{key: settings.pixelating[key] for key in _PIXELATING},
        **planning,
        name=names.shown(Path(typed.picture).stem),
    )
    written = out if typed.dry_run else _write(found, out, typed, begun)
    streams.note(found.notes)
    if typed.json:
        report = {
            "name": found.name,
            "distance": str(found.distance),
            "tiles": found.rows,
            "file": str(written),
            "dry_run": typed.dry_run,
        }
        streams.say(json.dumps(report))
        return 0
    lines = [_line(found, index) for index in range(len(found))]
    where = names.escaped(str(written))
    lines.append(f"Would write {where}." if typed.dry_run else f"The sheet is {where}.")
    streams.say("\n".join(lines))
    return 0


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
