"""Reading files from places that may be anything: missing, folders, pipes, changing under our eyes."""

import errno
import itertools
import os
import stat
import time
from pathlib import Path

from squarewright.errors import PlaceError
from squarewright.names import shown


class TooBigError(Exception):
    """A file is larger than what was asked for."""

    def __init__(self, size: int, name: str) -> None:
        self.size = size
        self.name = name
        super().__init__(name)


class ChangedError(Exception):
    """A file was written to while it was read."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


def read(path: Path, kind: str, limit: int) -> bytes:
    """Read a file whole, and nothing but a file.

    Parameters
    ----------
    path : Path
        Where it is.
    kind : str
        What it should be, as messages say it: ``"picture"``.
    limit : int
        The most bytes that it may have.

    Returns
    -------
    bytes

    Raises
    ------
    PlaceError
        ``PATH-…`` when it cannot be read.
    TooBigError
        When it is larger.
    ChangedError
        When it was written to meanwhile.
    """
    name = path.name or str(path)
    try:
        # Opening a device can have effects of its own, so it is told from a file before as well as after.
        _refuse_special(path.stat().st_mode, name, kind)
        with os.fdopen(os.open(path, _READING), "rb") as file:
            before = _settled(file.fileno(), name)
            _refuse_special(before.st_mode, name, kind)
            if before.st_size > limit:
                raise TooBigError(before.st_size, name)
            data = file.read(limit + 1)
            if len(data) > limit:
                raise TooBigError(len(data), name)
            after = os.fstat(file.fileno())
    except PlaceError:
        raise
    except ValueError:
        raise PlaceError("PATH-MISSING", "is not a path", f"Give the path of a {kind}.", repr(path)) from None
    except OSError as error:
        raise _unread(path, error, kind) from None
    kept = (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    # Some systems give no size for files that they make up as they are read.
    if not kept or (before.st_size and len(data) != before.st_size):
        raise ChangedError(name)
    return data


_TICK = 0.02
"""Longer than a step of the clock of files, in seconds; two changes within one step look like one."""


def _settled(handle: int, name: str) -> os.stat_result:
    """Give the state of a file, after a wait when it was written within the last step of the clock."""
    found = os.fstat(handle)
    if _is_fresh(found):
        time.sleep(_TICK)
        found = os.fstat(handle)
        if _is_fresh(found):
            raise ChangedError(name)
    return found


def _is_fresh(found: os.stat_result) -> bool:
    return 0 <= time.time() - found.st_mtime < _TICK


# A pipe that takes the place of the file must not make the opening wait.
_READING = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def _refuse_special(mode: int, name: str, kind: str) -> None:
    if stat.S_ISDIR(mode):
        raise PlaceError("PATH-FOLDER", "is a folder", f"Give one {kind} in it.", name)
    if not stat.S_ISREG(mode):
        raise PlaceError("PATH-NOT-FILE", f"is {_kind(mode)}, not a file", f"Give a {kind} file.", name)


def _kind(mode: int) -> str:
    kinds = {stat.S_IFIFO: "a pipe", stat.S_IFSOCK: "a socket"}
    return kinds.get(stat.S_IFMT(mode), "a device")


def _unread(path: Path, error: OSError, kind: str) -> PlaceError:
    name = path.name or str(path)
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return _missing(path, kind)
    if error.errno == errno.ELOOP:
        itself = path.is_symlink()
        what = "is a link that leads back to itself" if itself else "goes through links in a circle"
        return PlaceError("PATH-MISSING", what, f"Give the {kind} that is meant.", str(path))
    if error.errno == errno.ENAMETOOLONG:
        return PlaceError("PATH-MISSING", "is longer than a path can be", "Check the spelling.", str(path))
    if isinstance(error, PermissionError):
        hint = "Change the permissions of the file or of its folder."
        return PlaceError("PATH-DENIED", "may not be read", hint, name)
    what = f"cannot be read ({error.strerror or error})"
    return PlaceError("PATH-FAILED", what, "Check the disk or the path.", name)


def _missing(path: Path, kind: str) -> PlaceError:
    if path.is_symlink():
        what = f"is a link to {shown(path.readlink())}, which does not exist"
        return PlaceError("PATH-MISSING", what, f"Give the {kind} that is meant.", str(path))
    hint = "Check the spelling."
    try:
        with os.scandir(path.parent) as entries:
            names = [entry.name for entry in itertools.islice(entries, _NEIGHBOURS)]
        import difflib

        near = difflib.get_close_matches(path.name, names, n=3)
        if near:
            hint = f"Did you mean {' or '.join(map(shown, near))}?"
    except FileNotFoundError:
        hint = f"There is no folder {shown(path.parent)}."
    except NotADirectoryError:
        hint = f"{shown(path.parent)} is no folder."
    except OSError:
        pass
    return PlaceError("PATH-MISSING", "does not exist", hint, str(path))


_NEIGHBOURS = 2000
"""How many names of a folder are compared with a name that is not there."""
