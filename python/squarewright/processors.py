"""How many things may be worked on at once."""

import os


def processors() -> int:
    """Count the processors that this process may use.

    Returns
    -------
    int
    """
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
