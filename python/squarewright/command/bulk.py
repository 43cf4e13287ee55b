"""The command line: ``squarewright bulk``."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import names
from squarewright.command import options, plan, progress, streams

if TYPE_CHECKING:
    from squarewright.bulk import Outcome, Summary

OVERWRITING = frozenset({"OUT-EXISTS", "OUT-CHANGED", "OUT-SAME"})
"""Codes of what would have to be overwritten."""

NOTES = 10
"""The most notes about pictures that are told; there may be thousands."""

_EXAMPLE = 'squarewright bulk photos --out plans --panel "12in x 12in" --pixelate --columns 48'

_AFTER = """
The same command goes on where a run was stopped: what has not changed is not done again.
exit status: 0 done, 1 some pictures failed, 2 usage or a bad value, 3 bad settings or a bad list of paints,
4 nothing matched, 5 would overwrite, 70 internal, 130 interrupted"""


def add(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command and what may follow it.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    parser = options.parser(
        commands,
        "bulk",
        "PATH… --out FOLDER --panel SIDES",
        "plan many pictures, each into a folder of its own",
        _EXAMPLE,
        _AFTER,
    )
    parser.add_argument(
        "pictures", metavar="PATH", nargs="+", help='pictures, folders and patterns such as "photos/**/*.jpg"'
    )
    parser.add_argument("--out", metavar="FOLDER", required=True, help="where the folders of plans go")
    run = parser.add_argument_group("the run")
    run.add_argument("--workers", type=int, default=None, help="how many at a time; by default one a core")
    run.add_argument("--fail-fast", action="store_true", default=False, help="end with the first failure")
    run.add_argument(
        "--max-failures", type=int, metavar="N", default=None, help="end when so many have failed"
    )
    run.add_argument(
        "--resume",
        action=argparse.BooleanOptionalAction,
        default=True,
        help="leave out what needs no new plan; by default it is",
    )
    run.add_argument("--progress", choices=["auto", "never"], default="auto", help="shown on a screen alone")
    options.add(parser)
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
        0 all are done · 1 some failed · 5 some would overwrite.

    Raises
    ------
    SquarewrightError
        What is wrong with the settings or the folder.
    """
    from squarewright.bulk import plan_many

    settings = options.settings(typed)
    if hasattr(typed, "show_settings"):
        streams.say(options.shown(settings, typed.json))
        return 0
    with progress.shown(typed.progress, "pictures") as tell:

        def told(done: int, total: int, outcome: "Outcome") -> None:
            if not typed.dry_run and not begun:
                begun.append(Path(typed.out))
            tell(done, total)

        summary = plan_many(
            typed.pictures,
            settings,
            typed.out,
            progress=told,
            workers=typed.workers,
            resume=typed.resume,
            overwrite=typed.overwrite,
            mkdir=typed.mkdir,
            fail_fast=typed.fail_fast,
            max_failures=typed.max_failures,
            dry_run=typed.dry_run,
        )
    streams.note((*summary.notes, *_notes(summary)))
    streams.say(json.dumps(_report(summary, typed)) if typed.json else _told(summary, typed))
    if summary.failed and set(summary.codes) <= OVERWRITING:
        return 5
    return 1 if summary.failed or summary.left else 0


def _notes(summary: "Summary") -> list[str]:
    """Say once what is to be known about several pictures."""
    about: dict[str, list[str]] = {}
    for outcome in summary.outcomes:
        for note in outcome.notes:
            about.setdefault(note, []).append(names.shown(outcome.path))
    lines = []
    for note, paths in about.items():
        others = f" and {len(paths) - 1} more" if len(paths) > 1 else ""
        lines.append(f"{paths[0]}{others}: {note}")
    if len(lines) > NOTES:
        lines[NOTES:] = [f"there are {len(lines) - NOTES} other notes; --json has them all"]
    return lines


def _told(summary: "Summary", typed: argparse.Namespace) -> str:
    if not typed.dry_run:
        return str(summary)
    lines = ["Would write:"]
    for outcome in summary.done:
        folder = Path(typed.out) / outcome.folder
        lines.extend(f"  {names.escaped(str(folder / name))}" for name in outcome.files)
    return "\n".join([*lines, str(summary)] if summary.done else [str(summary)])


def _report(summary: "Summary", typed: argparse.Namespace) -> dict[str, Any]:
    pictures = [
        {
            "path": outcome.path,
            "state": outcome.state,
            "code": outcome.code,
            "what": outcome.what,
            "folder": str(Path(typed.out) / outcome.folder),
            "files": list(outcome.files),
            "notes": list(outcome.notes),
            "seconds": round(outcome.seconds, 3),
        }
        for outcome in summary.outcomes
    ]
    counts = {"done": len(summary.done), "unchanged": len(summary.unchanged), "failed": len(summary.failed)}
    return {
        **counts,
        "left": list(summary.left),
        "codes": summary.codes,
        "pictures": pictures,
        "notes": list(summary.notes),
        "dry_run": typed.dry_run,
    }
