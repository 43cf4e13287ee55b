"""Pictures from wherever they are: a path, bytes, a file object, an array or a Pillow image."""

import difflib
import errno
import itertools
import os
import stat
import time
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import arrays, pillow
from squarewright._core import FILE_BYTES, Picture
from squarewright.errors import ArgumentError, PictureError, PictureWarning, PlaceError
from squarewright.names import escaped, shown

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def load(source: object, *, allow_damaged: bool = False) -> Picture:
    """Read a picture.

    Parameters
    ----------
    source : Picture, path, bytes, file object, ndarray or Pillow image
        A file is PNG, JPEG, GIF, BMP, WebP or OpenRaster, or with Pillow installed also TIFF, AVIF and some
        others. An array is uint8 of shape (height, width, 3) or (height, width, 4). A file object is read
        from where it stands.
    allow_damaged : bool, default False
        Of a PNG or JPEG that is cut short or damaged, use the rows that can be read; the others are
        transparent, and a warning says how many they are.

    Returns
    -------
    Picture

    Raises
    ------
    PlaceError
        ``PATH-…`` when the path cannot be read.
    PictureError
        ``PIC-…`` when it is no picture that can be used.
    ArgumentError
        ``VALUE-BAD`` when it is none of the kinds above.
    """
    if isinstance(source, Picture):
        return source
    if isinstance(source, str | os.PathLike):
        place = Path(os.fsdecode(source))
        # The core takes names that are valid UTF-8 alone.
        return _decoded(_read(place), shown(place.name), allow_damaged)._at(_whole(place))
    if isinstance(source, bytes | bytearray | memoryview):
        return _decoded(_checked(bytes(source)), None, allow_damaged)
    if arrays.is_array(source):
        return arrays.picture(source)
    if hasattr(source, "convert") and hasattr(source, "tobytes"):
        image: Any = source
        path = _path_of(source, "filename")
        picture = pillow.picture(image, _name_of(path))
        return picture._at(path) if path else picture
    if hasattr(source, "read"):
        data = source.read(FILE_BYTES + 1)
        path = _path_of(source, "name")
        name = _name_of(path)
        if isinstance(data, bytes):
            picture = _decoded(_checked(data, name), name, allow_damaged)
            return picture._at(path) if path else picture
        raise ArgumentError("VALUE-BAD", "the file is open as text", 'Open it with mode "rb".', name)
    raise ArgumentError(
        "VALUE-BAD",
        f"a picture cannot be {type(source).__name__}",
        "Give a path, bytes, a file object, a uint8 array or a Pillow image.",
    )


def read_picture(source: object, *, allow_damaged: bool = False) -> "NDArray[np.uint8]":
    """Read a picture as an array.

    Parameters
    ----------
    source : Picture, path, bytes, file object, ndarray or Pillow image
        A file is PNG, JPEG, GIF, BMP, WebP or OpenRaster, or with Pillow installed also TIFF, AVIF and some
        others. An array is uint8 of shape (height, width, 3) or (height, width, 4).
    allow_damaged : bool, default False
        Of a PNG or JPEG that is cut short or damaged, use the rows that can be read; the others are
        transparent, and a warning says how many they are.

    Returns
    -------
    ndarray of uint8, shape (height, width, 4)
        Red, green, blue and opacity; read-only.

    Raises
    ------
    PlaceError
        ``PATH-…`` when the path cannot be read.
    PictureError
        ``PIC-…`` when it is no picture that can be used.

    Warns
    -----
    PictureWarning
        When there is something to know about the file, such as an animation of which one frame is used.
    """
    picture = load(source, allow_damaged=allow_damaged)
    for note in picture.warnings:
        warnings.warn(f"{picture.name or 'the picture'}: {escaped(note)}", PictureWarning, stacklevel=2)
    return picture.to_array()


def _decoded(data: bytes, name: str | None, allow_damaged: bool) -> Picture:
    try:
        return Picture.decode(data, name, allow_damaged)
    except PictureError as refused:
        if refused.code != "PIC-FORMAT":
            raise
        return pillow.instead(data, name, refused)


def _read(path: Path) -> bytes:
    name = path.name or str(path)
    try:
        # Opening a device can have effects of its own, so it is told from a file before as well as after.
        _refuse_special(path.stat().st_mode, name)
        with os.fdopen(os.open(path, _READING), "rb") as file:
            before = _settled(file.fileno(), name)
            _refuse_special(before.st_mode, name)
            if before.st_size > FILE_BYTES:
                raise _too_big(before.st_size, name)
            data = _checked(file.read(FILE_BYTES + 1), name)
            after = os.fstat(file.fileno())
    except (PlaceError, PictureError):
        raise
    except ValueError:
        raise PlaceError("PATH-MISSING", "is not a path", "Give the path of a picture.", repr(path)) from None
    except OSError as error:
        raise _unread(path, error) from None
    kept = (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    # Some systems give no size for files that they make up as they are read.
    if not kept or (before.st_size and len(data) != before.st_size):
        raise _changed(name)
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
            raise _changed(name)
    return found


def _is_fresh(found: os.stat_result) -> bool:
    return 0 <= time.time() - found.st_mtime < _TICK


def _changed(name: str) -> PictureError:
    hint = "Wait until it is written completely, then try again."
    return PictureError("PIC-CHANGED", "changed while it was read", hint, name)


# A pipe that takes the place of the file must not make the opening wait.
_READING = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def _refuse_special(mode: int, name: str) -> None:
    if stat.S_ISDIR(mode):
        raise PlaceError("PATH-FOLDER", "is a folder", "Give one picture in it.", name)
    if not stat.S_ISREG(mode):
        raise PlaceError("PATH-NOT-FILE", f"is {_kind(mode)}, not a file", "Give a picture file.", name)


def _kind(mode: int) -> str:
    kinds = {stat.S_IFIFO: "a pipe", stat.S_IFSOCK: "a socket"}
    return kinds.get(stat.S_IFMT(mode), "a device")


def _unread(path: Path, error: OSError) -> PlaceError:
    name = path.name or str(path)
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return _missing(path)
    if error.errno == errno.ELOOP:
        itself = path.is_symlink()
        what = "is a link that leads back to itself" if itself else "goes through links in a circle"
        return PlaceError("PATH-MISSING", what, "Give the picture that is meant.", str(path))
    if error.errno == errno.ENAMETOOLONG:
        return PlaceError("PATH-MISSING", "is longer than a path can be", "Check the spelling.", str(path))
    if isinstance(error, PermissionError):
        hint = "Change the permissions of the file or of its folder."
        return PlaceError("PATH-DENIED", "may not be read", hint, name)
    what = f"cannot be read ({error.strerror or error})"
    return PlaceError("PATH-FAILED", what, "Check the disk or the path.", name)


def _whole(path: Path) -> Path:
    try:
        return path.absolute()
    except OSError:
        # The current folder may have been removed under our feet.
        return path


def _checked(data: bytes, name: str | None = None) -> bytes:
    if len(data) > FILE_BYTES:
        raise _too_big(len(data), name)
    return data


def _too_big(size: int, name: str | None) -> PictureError:
    what = f"is too big: a file of {-(-size >> 20)} MiB, and the limit is {FILE_BYTES >> 20} MiB"
    return PictureError("PIC-TOO-BIG", what, "Shrink or crop it first.", name)


def _missing(path: Path) -> PlaceError:
    if path.is_symlink():
        what = f"is a link to {shown(path.readlink())}, which does not exist"
        return PlaceError("PATH-MISSING", what, "Give the picture that is meant.", str(path))
    hint = "Check the spelling."
    try:
        with os.scandir(path.parent) as entries:
            names = [entry.name for entry in itertools.islice(entries, _NEIGHBOURS)]
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


def _path_of(source: object, attribute: str) -> Path | None:
    name = getattr(source, attribute, None)
    # A file that was opened by its number has that for a name.
    return _whole(Path(os.fsdecode(name))) if isinstance(name, str | bytes) and name else None


def _name_of(path: Path | None) -> str | None:
    return None if path is None else shown(path.name)
