"""The end of the help of a command: an example."""

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
