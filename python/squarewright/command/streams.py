"""What the command says, and to whom: standard output takes results, standard error the rest."""

import contextlib
import os
import sys
from collections.abc import Iterable, Iterator
from typing import TextIO

from squarewright import errors, names


def print_anything() -> None:
    """Let what an encoding does not have be printed as an escape."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


@contextlib.contextmanager
def hushed() -> Iterator[None]:
    """Keep the words of foreign readers, which print past Python, off standard error."""
    try:
        kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    except OSError:
        yield
        return
    os.dup2(nowhere, 2)
    os.close(nowhere)
    try:
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)


def tell(line: str) -> None:
    """Print a line on standard error, if that is still open."""
    with contextlib.suppress(OSError):
        print(names.escaped(line), file=sys.stderr)


def note(notes: Iterable[str]) -> None:
    """Print what else there is to know on standard error."""
    for each in notes:
        tell(f"note: {each}")


def say(text: str) -> None:
    """Print a result on standard output.

    Parameters
    ----------
    text : str
        What to say.

    Raises
    ------
    BrokenPipeError
        When who read our words has gone.
    OutputError
        ``OUT-FAILED`` when they cannot be written for another reason.
    """
    try:
        print(text, flush=True)
    except BrokenPipeError:
        raise
    except OSError as error:
        abandon(sys.stdout)
        what = f"standard output cannot be written to ({error.strerror or error})"
        raise errors.OutputError("OUT-FAILED", what, "Check where it goes.") from None


def abandon(stream: TextIO) -> None:
    """Send what is still waiting nowhere, so that the interpreter does not stumble over it at its end."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
