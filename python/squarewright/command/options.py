"""Options that are settings: the same for each command that plans."""

import argparse
import json
import os
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from squarewright.command import example, paints, printing

if TYPE_CHECKING:
    from squarewright.settings import Settings

PATHS = frozenset({"picture", "pictures", "out", "stock", "settings", "wall"})
"""Options that hold paths, which keep the bytes of names that are not UTF-8."""

_SWITCH = argparse.BooleanOptionalAction


def parser(
    commands: "argparse._SubParsersAction[Any]",
    name: str,
    operands: str,
    help: str,
    typed: str,
    more: str = "",
) -> argparse.ArgumentParser:
    """Add a command whose options are left out of the answer when they were not typed.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    name, operands, help : str
        What it is called, what must be typed behind it, and what it does.
    typed, more : str
        How it is typed, and what is said below that.

    Returns
    -------
    ArgumentParser
    """
    parser: argparse.ArgumentParser = commands.add_parser(
        name, argument_default=argparse.SUPPRESS, **example.about(name, operands, help, typed, more)
    )
    parser.set_defaults(refuse=parser.error)
    return parser


def add(command: argparse.ArgumentParser) -> None:
    """Add all options that are settings of a plan and its book.

    Parameters
    ----------
    command : ArgumentParser
        Made by ``parser``.
    """
    work = add_planning(command)
    work.add_argument("--strengthen", action=_SWITCH, help="add the cells that make it hold together")
    doors = command.add_argument_group("for a photo or a drawing")
    doors.add_argument("--columns", type=int, help="cells across")
    doors.add_argument("--rows", type=int, help="cells down")
    doors.add_argument("--colours", type=int, help="the most colours, 2 to 64; by default 12")
    add_pixelating(doors)
    printing.add(command)
    command.add_argument("--files", metavar="NAMES", help="which files to write, such as book.pdf,plan.json")


def add_pixelating(group: "argparse._ArgumentGroup") -> None:
    """Add how a photo or a drawing becomes cells, but for how many of them.

    Parameters
    ----------
    group : argument group
        What they are added to.
    """
    group.add_argument("--pixelate", action=_SWITCH, help="pixelate it instead of reading its cells")
    group.add_argument("--brushwork", choices=["easy", "every-cell", "broad"], help="by default easy")
    group.add_argument("--find", action=_SWITCH, help="leave the ground round the figure bare")


def add_planning(command: argparse.ArgumentParser) -> "argparse._ArgumentGroup":
    """Add the board, its cells, the work and the paints.

    Parameters
    ----------
    command : ArgumentParser
        Made by ``parser``.

    Returns
    -------
    argument group
        That of the work.
    """
    command.add_argument(
        "--settings", metavar="FILE", help="settings of your own, in TOML; options go before"
    )
    command.add_argument(
        "--show-settings",
        action="store_true",
        help="print all settings and where each comes from, and do no more",
    )
    board = command.add_argument_group("the board and its cells")
    board.add_argument("--panel", help='the board as you measured it: "12in x 12in"')
    board.add_argument("--thickness", help='how thick the board is: "1/4 in"')
    board.add_argument(
        "--ruler", help='between two lines of your ruler, or "scale ruler"; by default 1/16 in'
    )
    size = board.add_mutually_exclusive_group()
    size.add_argument("--pitch", help='the side of a cell: "3/16 in"')
    size.add_argument("--width", help="the width of the figure")
    size.add_argument("--height", help="the height of the figure")
    board.add_argument("--pitches", choices=["any"], help="take any cell size that the ruler shows")
    board.add_argument("--across", type=_count, help="panels side by side")
    board.add_argument("--down", type=_count, help="panels one below the other")
    board.add_argument("--margin", help="what stays free along the outer edges; by default 0 in")
    work = command.add_argument_group("the work")
    work.add_argument("--ending", choices=["cut-out", "whole-square"], help="by default cut-out")
    work.add_argument("--backing", action=_SWITCH, help="whether a card is glued behind it; by default it is")
    work.add_argument("--edges", action=_SWITCH, help="whether its edges are painted; by default they are")
    work.add_argument("--hand", choices=["right", "left"], help="the one that holds brush and knife")
    work.add_argument("--marking", choices=["all", "sparse"], help="grid lines to draw; by default all")
    work.add_argument("--transfer", choices=["outline", "dots"], help="add sheets to transfer the outline")
    work.add_argument("--card", choices=["square", "round", "few"], help="the corners of the card")
    work.add_argument("--outline", choices=["first", "last"], help="when its cells are painted")
    work.add_argument("--clearance", help="between the coarse cuts and the outline; by default 1/8 in")
    work.add_argument("--from-the-bottle", action=_SWITCH, help="whether paint is left unmixed")
    work.add_argument("--raw", metavar="COLOUR", help="cells of this colour stay raw board: #rrggbb")
    work.add_argument("--ground", metavar="COLOUR", help="the colour of the bare cells of a whole square")
    work.add_argument("--background", help="auto, keep or #rrggbb")
    work.add_argument("--allow-damaged", action=_SWITCH, help="use what can be read of a damaged file")
    paints.add_stock(command)
    return work


def _count(text: str) -> int:
    count = int(text)
    if abs(count) >= 1 << 31:
        raise ValueError
    return count


def settings(typed: argparse.Namespace, environment: Mapping[str, str] = os.environ) -> "Settings":
    """Put settings together: what was typed goes before the environment, and that before the file.

    Parameters
    ----------
    typed : Namespace
        What was typed.
    environment : mapping of str to str, optional
        By default that of this process.

    Returns
    -------
    Settings

    Raises
    ------
    SquarewrightError
        As ``read_settings``.
    """
    from squarewright.settings import read_settings
    from squarewright.settings.value import KINDS

    flags = {key: value for key, value in vars(typed).items() if key in KINDS}
    if hasattr(typed, "outline"):
        flags["painting.outline"] = typed.outline
    if hasattr(typed, "card"):
        flags["mounting.corners"] = typed.card
    if hasattr(typed, "from_the_bottle"):
        flags["paints"] = "from the bottle" if typed.from_the_bottle else "mixed"
    if hasattr(typed, "find"):
        flags["figure"] = "find" if typed.find else "whole"
    chosen = read_settings(getattr(typed, "settings", None), environment=environment, flags=flags)
    if chosen.panel is None and not hasattr(typed, "show_settings") and typed.command != "demo":
        typed.refuse("the following arguments are required: --panel")
    return chosen


def shown(chosen: "Settings", as_json: bool) -> str:
    """Give all settings and where each comes from: a settings file, or one JSON object.

    Parameters
    ----------
    chosen : Settings
        The settings.
    as_json : bool
        Which of the two.

    Returns
    -------
    str
    """
    from squarewright.settings.value import KINDS

    if not as_json:
        return chosen.to_toml().rstrip()
    values = {key: getattr(chosen, key) for key in KINDS}
    return json.dumps({"settings": values, "origins": chosen.origins}, default=_plain)


def _plain(value: object) -> object:
    return dict(value) if isinstance(value, Mapping) else str(value)
