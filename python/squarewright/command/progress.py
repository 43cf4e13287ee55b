"""How far long work is, on a screen."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def shown(wanted: str, what: str) -> Iterator[Callable[[int, int], object]]:
    """Give what shows how far we are on a screen: a bar where its package is installed, else a line.

    Parameters
    ----------
    wanted : str
        ``"auto"``, or ``"never"`` for nothing.
    what : str
        What is counted.

    Yields
    ------
    callable
        Called with how many are done, and how many there are.
    """
    if wanted == "never" or not sys.stderr.isatty():
        yield lambda done, total: None
        return
    try:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn
    except ImportError:
        yield lambda done, total: print(f"\r{done} of {total}", end="", file=sys.stderr, flush=True)
        print(file=sys.stderr)
        return
    columns = (BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True)) as bar:
        task = bar.add_task(what)
        yield lambda done, total: bar.update(task, completed=done, total=total)
