"""The command line: ``squarewright paints list``, ``mix``, ``buy`` and ``calibrate``."""

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from squarewright import errors, names, stocks
from squarewright._core import Paint, Purchase, Recipe, Stock, buy, calibrate, mix
from squarewright.command import example, streams


def add(commands: "argparse._SubParsersAction[Any]") -> None:
    """Add the command and what may follow it.

    Parameters
    ----------
    commands : action
        The commands of the parser.
    """
    paints = commands.add_parser(
        "paints",
        help="list paints, find recipes, choose what to buy, learn from a test mix",
        **example.ending('squarewright paints mix "#5b7a3a" --stock paints.csv'),
    )
    actions = paints.add_subparsers(dest="action", required=True, metavar="list | mix | buy | calibrate")
    listing = actions.add_parser("list", help="list the paints", **example.ending("squarewright paints list"))
    mixing = actions.add_parser(
        "mix", help="find recipes for a colour", **example.ending('squarewright paints mix "#5b7a3a"')
    )
    mixing.add_argument("colour", metavar="COLOUR", help="the colour that is wanted: #rrggbb")
    buying = actions.add_parser(
        "buy",
        help="choose the cheapest paints that make colours",
        **example.ending('squarewright paints buy "#5fb84a" "#ffd23f"'),
    )
    buying.add_argument("colours", metavar="COLOUR", nargs="+", help="the colours that are wanted: #rrggbb")
    for action in (mixing, buying):
        action.add_argument("--max-paints", type=int, default=3, help="the most paints in a recipe, 1 to 4")
        action.add_argument(
            "--max-parts", type=int, default=12, help="the most parts; of two paints twice as many"
        )
        action.add_argument("--tolerance", type=float, default=3.0, help="the difference that is good enough")
    learning = actions.add_parser(
        "calibrate",
        help="learn how a paint tints from one test mix with white",
        **example.ending(
            'squarewright paints calibrate "dark green" "#a9c9a6" 1/10 --white white --stock paints.csv'
        ),
    )
    learning.add_argument("paint", metavar="PAINT", help="its name in the list")
    learning.add_argument("tint", metavar="COLOUR", help="the dried colour of the mix: #rrggbb")
    learning.add_argument("share", metavar="SHARE", type=_share, help="how much of it is the paint: 1/10")
    learning.add_argument("--white", required=True, help="the white in it: a name in the list or #rrggbb")
    learning.add_argument("--out", metavar="FILE", help="write the list with what was learnt")
    learning.add_argument("--overwrite", action="store_true", help="replace a file that is there already")
    learning.add_argument("--dry-run", action="store_true", help="name the file and do not write it")
    for action in (listing, mixing, buying, learning):
        add_stock(action)
        action.add_argument("--json", action="store_true", help="print one JSON object on standard output")


def add_stock(parser: argparse.ArgumentParser) -> None:
    """Add the options that name a list of paints.

    Parameters
    ----------
    parser : ArgumentParser
        What they are added to.
    """
    parser.add_argument("--stock", metavar="FILE", help="your paints: TOML, CSV or GPL")
    parser.add_argument(
        "--decimal", choices=[".", ","], help="before the decimals in that file; by default a dot"
    )


def stock(typed: argparse.Namespace) -> Stock | None:
    """Read the list of paints that was named, if one was.

    Parameters
    ----------
    typed : Namespace
        What was typed.

    Returns
    -------
    Stock or None
    """
    return None if typed.stock is None else stocks.read_stock(typed.stock, decimal=typed.decimal or ".")


def run(typed: argparse.Namespace, begun: list[Path]) -> int:
    """Do what was typed, and say what became of it.

    Parameters
    ----------
    typed : Namespace
        What was typed.
    begun : list of Path
        As for the other commands; a list is written whole or not at all.

    Returns
    -------
    int
        0 when it is done.
    """
    known = stock(typed) or Stock.basic()
    said, notes = _done(typed, known)
    streams.note(known.notes)
    if known.typical:
        streams.note(["these are typical colours, not those of your bottles; name your list with --stock"])
    streams.note(notes)
    streams.say(said)
    return 0


def _done(typed: argparse.Namespace, known: Stock) -> tuple[str, Sequence[str]]:
    """Give what there is to say, and notes on it."""
    if typed.action == "list":
        return _listed(known, typed.json), ()
    if typed.action == "mix":
        recipes = mix(typed.colour, known, typed.max_paints, _parts(typed.max_parts), typed.tolerance)
        return _mixed(recipes, typed.json), recipes[0].notes
    if typed.action == "calibrate":
        return _learnt(known, typed), ()
    purchase = buy(
        typed.colours,
        known,
        typed.tolerance,
        max_paints=typed.max_paints,
        max_parts=_parts(typed.max_parts),
    )
    doubt = "there were too many choices to try them all; there may be a cheaper one"
    return _bought(purchase, typed.json), () if purchase.proven else (doubt,)


def _share(text: str) -> float:
    from fractions import Fraction

    try:
        return float(Fraction(text))
    except ZeroDivisionError:
        raise ValueError(text) from None


def _parts(most: int) -> int:
    if not 1 <= most <= 255:
        raise errors.ArgumentError("VALUE-BAD", f"max-parts cannot be {most}", "Give a number from 3 to 40.")
    return most


def _listed(known: Stock, as_json: bool) -> str:
    if as_json:
        return json.dumps({"typical": known.typical, "paints": [_described(paint) for paint in known.paints]})
    width = max(len(paint.name) for paint in known.paints)
    lines = [
        f"{paint.hex}  {names.escaped(paint.name):{width}}  {'owned' if paint.owned else 'on sale'}"
        for paint in known.paints
    ]
    return "\n".join(lines)


def _described(paint: Paint) -> dict[str, object]:
    columns = ("name", "owned", "ml", "price", "currency", "opacity", "strength", "tint", "share", "white")
    return {"colour": paint.hex, **{column: getattr(paint, column) for column in columns}}


def _mixed(recipes: list[Recipe], as_json: bool) -> str:
    if as_json:
        return json.dumps({"recipes": [_report(recipe) for recipe in recipes]})
    lines = []
    for recipe in recipes:
        lines.append(f"{recipe}: {recipe.hex}, {recipe.nearness}, {recipe.trust}")
        lines.extend(f"  or: {other} ({other.nearness})" for other in recipe.alternatives)
    return "\n".join(names.escaped(line) for line in lines)


def _bought(purchase: Purchase, as_json: bool) -> str:
    if as_json:
        report = {
            "paints": [_described(paint) for paint in purchase.paints],
            "cost": purchase.cost,
            "currency": purchase.currency,
            "proven": purchase.proven,
            "weighed": purchase.weighed,
            "recipes": [_report(recipe) for recipe in purchase.recipes],
            "unreachable": [_report(recipe) for recipe in purchase.unreachable],
        }
        return json.dumps(report)
    bought = ", ".join(paint.name for paint in purchase.paints) or "nothing"
    cost = ""
    if purchase.paints and purchase.cost is not None:
        cost = f" ({purchase.cost / 100:.2f} {purchase.currency})".replace(" )", ")")
    lines = [f"Buy {bought}{cost}."]
    lines.extend(f"{recipe.target}: {recipe}, {recipe.nearness}" for recipe in purchase.recipes)
    lines.extend(
        f"{recipe.target}: out of reach; nearest is {recipe.hex} from {recipe}"
        for recipe in purchase.unreachable
    )
    return "\n".join(names.escaped(line) for line in lines)


def _report(recipe: Recipe) -> dict[str, object]:
    return {
        "target": recipe.target,
        "parts": recipe.parts,
        "colour": recipe.hex,
        "difference": round(recipe.difference, 2),
        "nearness": recipe.nearness,
        "trust": recipe.trust,
        "expected": list(recipe.expected),
        "notes": recipe.notes,
        "alternatives": [_report(other) for other in recipe.alternatives],
    }


def _learnt(known: Stock, typed: argparse.Namespace) -> str:
    white = typed.white if typed.white.startswith("#") else known[typed.white]
    learnt = calibrate(known[typed.paint], typed.tint, typed.share, white, surface=known.surface)
    written = None
    if typed.out is not None:
        paints = [learnt if paint.name == learnt.name else paint for paint in known.paints]
        renewed = Stock(paints, surface=known.surface)
        written = str(stocks.write(renewed, typed.out, typed.overwrite, typed.dry_run))
    if typed.json:
        return json.dumps({"paint": _described(learnt), "file": written, "dry_run": typed.dry_run})
    said = f"{names.escaped(learnt.name)} has strength {learnt.strength:.2f}, where white has 1."
    if written is None:
        return said
    where = names.escaped(written)
    return f"{said}\nWould write {where}." if typed.dry_run else f"{said}\nThe list is in {where}."
