"""The command line: ``squarewright wall``."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import names
from squarewright.command import options, plan, progress, streams

if TYPE_CHECKING:
    from squarewright._core import WallPlan

_EXAMPLE = "squarewright wall pond.toml --out pond-wall"
_AFTER = """A wall file is a settings file that also has [wall], [pack], [left], [[taken]] and [[figure]];
see read_wall in the package. Nothing is read from the environment."""


def add(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command and what may follow it.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    parser = options.parser(commands, "wall", "FILE", "plan many figures as one wall", _EXAMPLE, _AFTER)
    parser.add_argument("wall", metavar="FILE", help="the wall, in TOML")
    parser.add_argument(
        "-o", "--out", metavar="FOLDER", default=None, help="where the files go; by default NAME-wall"
    )
    parser.add_argument("--workers", type=int, default=None, help="figures at a time; by default one a core")
    parser.add_argument(
        "--progress", choices=["auto", "never"], default="auto", help="shown on a screen alone"
    )
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
        0 all figures are planned · 1 some could not be.

    Raises
    ------
    SquarewrightError
        What is wrong with the wall file, with all of its figures or with the folder.
    """
    from squarewright.wall import output, read_wall

    wall = read_wall(typed.wall)
    folder = Path(typed.out if typed.out is not None else f"{names.slug(Path(typed.wall).name)}-wall")
    parts = 1 if typed.dry_run else 2

    with progress.shown(typed.progress, "wall") as tell:

        def planning(share: float) -> None:
            tell(round(_STEPS * share / parts), _STEPS)

        def writing(share: float) -> None:
            tell(round(_STEPS * (1 + share) / parts), _STEPS)

        with streams.hushed():
            planned = wall.plan(progress=planning, threads=typed.workers)
        written = output.check(planned, folder, typed.overwrite, typed.mkdir)
        if not typed.dry_run:
            if wall.newer is None:
                begun.append(folder)
            written = planned.write(
                folder,
                overwrite=typed.overwrite,
                mkdir=typed.mkdir,
                progress=writing,
                threads=typed.workers,
            )
    for fault in planned.faults:
        streams.tell(f"{fault['name']}: {fault['code']}: {fault['what']}. {fault['hint']}")
    for name, figure in planned.figures.items():
        for warning in figure.warnings:
            streams.tell(f"note: {name}: {warning}")
    for odd in planned.odd_sizes:
        streams.tell(f"note: {_odd(odd)}")
    say = _report if typed.json else _told
    streams.say(say(planned, written, typed.dry_run))
    return 1 if planned.faults else 0


_STEPS = 1000


def _odd(odd: dict[str, Any]) -> str:
    """Name a figure that breaks the rule of one pitch, with how far it is off."""
    side = "larger" if odd["error"] > 0 else "smaller"
    cells = f"its cells of {odd['pitch']} are {abs(odd['error']) * 100:.0f} % {side}"
    return f"{odd['figure']} breaks the rule of one pitch: {cells} than the {odd['common']} of the wall"


def _some(count: int, what: str) -> str:
    return f"{count} {what}{'s' * (count != 1)}"


def _told(planned: "WallPlan", written: list[Path], is_dry: bool) -> str:
    low, high = planned.hours["work"]
    buying, (before, after) = planned.buying, planned.brush_changes
    packs, count = buying["panels"]["packs"], sum(planned.copies.values())
    money = f"{buying['total'] / 100:.2f} {buying['currency']}".strip()
    figures, panels = _some(count, "figure"), _some(planned.panels["count"], "panel")
    grams = planned.weight[1]
    lines = [
        f"{planned.name}: {figures} on {panels} ({_some(packs, 'pack')} to buy), "
        f"{low:.0f} to {high:.0f} hours of work, "
        + (f"{grams / 1000:.1f} kg" if grams >= 950 else f"{grams:.0f} g"),
        f"{_some(len(planned.jars), 'jar')} in place of {planned.jars_before}, "
        f"{_some(len(planned.days), 'painting day')}, {_some(after, 'brush change')} in place of {before}",
    ]
    if buying["total"]:
        lines.append(f"to buy for {money}, without what has no price")
    lines.append("Would write:" if is_dry else "Written:")
    return "\n".join([*lines, *(f"  {names.escaped(str(path))}" for path in written)])


def _report(planned: "WallPlan", written: list[Path], is_dry: bool) -> str:
    buying = planned.buying
    return json.dumps(
        {
            "name": planned.name,
            "figures": planned.copies,
            "faults": planned.faults,
            "panels": planned.panels["count"],
            "packs": buying["panels"]["packs"],
            "total": buying["total"],
            "currency": buying["currency"],
            "unpriced": buying["unpriced"],
            "hours": planned.hours,
            "weight_grams": planned.weight,
            "jars_before": planned.jars_before,
            "jars": len(planned.jars),
            "merges": planned.merges,
            "painting_days": len(planned.days),
            "brush_changes": planned.brush_changes,
            "odd_sizes": {odd["figure"]: odd["error"] for odd in planned.odd_sizes},
            "notes": {name: figure.warnings for name, figure in planned.figures.items()},
            "files": [str(path) for path in written],
            "dry_run": is_dry,
        }
    )
