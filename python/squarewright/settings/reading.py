"""Files of ours, read whole or refused by code."""

from pathlib import Path

from squarewright import places
from squarewright.errors import SettingsError


def held(path: Path, kind: str, limit: int, name: str) -> bytes:
    """Read a file of ours whole.

    Parameters
    ----------
    path : Path
        The file.
    kind : str
        What it is, for messages: ``"settings file"``.
    limit : int
        The most bytes that it may have.
    name : str
        Its name, for messages.

    Returns
    -------
    bytes
        What it holds.

    Raises
    ------
    PlaceError
        ``PATH-…`` when it cannot be read.
    SettingsError
        ``CONFIG-TOO-BIG`` or ``CONFIG-CHANGED``.
    """
    try:
        return places.read(path, kind, limit)
    except places.TooBigError:
        what = f"is too big: the limit is {limit >> 20} MiB"
        raise SettingsError("CONFIG-TOO-BIG", what, f"Give a {kind}, and nothing else in it.", name) from None
    except places.ChangedError:
        hint = "Wait until it is written completely, then try again."
        raise SettingsError("CONFIG-CHANGED", "changed while it was read", hint, name) from None
