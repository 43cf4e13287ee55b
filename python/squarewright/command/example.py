"""The help of a command: how it is typed, what it does, an example."""

import argparse
from typing import Any


def ending(typed: str, more: str = "") -> dict[str, Any]:
    """Give the keywords of a command whose help ends with an example.

    Parameters
    ----------
    typed : str
        How it is typed.
    more : str, optional
        What is said below it.

    Returns
    -------
    dict of str to Any
        For ``add_parser``.
    """
    return {
        "epilog": f"example:\n  {typed}\n{more}".rstrip(),
        "formatter_class": argparse.RawDescriptionHelpFormatter,
    }


def about(name: str, operands: str, help: str, typed: str, more: str = "") -> dict[str, Any]:
    """Give the keywords of a command that has many options.

    Parameters
    ----------
    name, operands, help : str
        What it is called, what must be typed behind it, and what it does.
    typed, more : str
        As for ``ending``.

    Returns
    -------
    dict of str to Any
        For ``add_parser``.
    """
    return {
        "usage": f"squarewright {name} {operands} [options]".replace("  ", " "),
        "help": help,
        "description": f"{help[0].upper()}{help[1:]}.",
        **ending(typed, more),
    }
