"""Pictures from wherever they are: a path, bytes, a file object, an array or a Pillow image."""

import difflib
import os
import stat
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright._core import FILE_BYTES, PIXELS, SIDE, Picture
from squarewright.errors import ArgumentError, PictureError, PictureWarning, PlaceError

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

_BAND = 1 << 18
"""Bytes of rows that are handed over at a time: they stay in the processor's own memory."""


def load(source: object) -> Picture:
    """Read a picture.

    Parameters
    ----------
    source : Picture, path, bytes, file object, ndarray or Pillow image
        An array is uint8 of shape (height, width, 3) or (height, width, 4). A file object is read from where
        it stands.

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
        path = Path(os.fsdecode(source))
        return Picture.decode(_read(path), name=path.name)
    if isinstance(source, bytes | bytearray | memoryview):
        return Picture.decode(_checked(bytes(source)))
    if _is_array(source):
        return _from_array(source)
    if hasattr(source, "convert") and hasattr(source, "tobytes"):
        image: Any = source.convert("RGBA")
        name = _name_of(source, "filename")
        return Picture.from_rgba(image.tobytes(), image.width, image.height, name=name)
    if hasattr(source, "read"):
        data = source.read(FILE_BYTES + 1)
        name = _name_of(source, "name")
        if isinstance(data, bytes):
            return Picture.decode(_checked(data, name), name=name)
        raise ArgumentError("VALUE-BAD", "the file is open as text", 'Open it with mode "rb".', name)
    raise ArgumentError(
        "VALUE-BAD",
        f"a picture cannot be {type(source).__name__}",
        "Give a path, bytes, a file object, a uint8 array or a Pillow image.",
    )


def read_picture(source: object) -> "NDArray[np.uint8]":
    """Read a picture as an array.

    Parameters
    ----------
    source : Picture, path, bytes, file object, ndarray or Pillow image
        An array is uint8 of shape (height, width, 3) or (height, width, 4).

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
    picture = load(source)
    for note in picture.warnings:
        warnings.warn(f"{picture.name or 'the picture'}: {note}", PictureWarning, stacklevel=2)
    return picture.to_array()


def bands(source: object) -> "tuple[int, int, int, Iterator[bytes]] | None":
    """Give an array in bands of rows, so that a large one need not be copied as a whole.

    Parameters
    ----------
    source : object
        Whatever a picture can be made of.

    Returns
    -------
    tuple of int, int, int and iterator of bytes, or None
        Height, width, channels, and the rows from the top; None when it is no array or of no size that a
        picture may have.

    Raises
    ------
    PictureError
        ``PIC-PIXELS`` when it is an array of another kind.
    """
    if not _is_array(source):
        return None
    array = _checked_array(source)
    height, width, channels = array.shape
    if not 0 < height * width <= PIXELS or max(height, width) > SIDE:
        return None
    step = max(1, _BAND // (width * channels))
    rows = (array[top : top + step].tobytes() for top in range(0, height, step))
    return height, width, channels, rows


def mask(source: Any) -> tuple[int, int, bytes]:  # noqa: ANN401
    """Read a mask.

    Parameters
    ----------
    source : ndarray of bool or uint8, shape (height, width)
        True or 255 for the figure, False or 0 for ground, anything between for neither. Without any value
        above 1, 1 is the figure.

    Returns
    -------
    tuple of int, int and bytes
        Height, width, and one byte a pixel, row by row.

    Raises
    ------
    ArgumentError
        ``VALUE-BAD`` when it is of another kind.
    """
    import numpy

    array = numpy.asarray(source)
    if array.dtype not in (numpy.bool_, numpy.uint8) or array.ndim != 2:
        what = f'figure must be "whole", "find" or a mask, got {array.dtype} of shape {array.shape}'
        hint = "Give bool or uint8 of shape (height, width), as the picture."
        raise ArgumentError("VALUE-BAD", what, hint)
    if array.dtype == numpy.bool_ or not (array > 1).any():
        array = array.astype(numpy.uint8) * 255
    return *array.shape, array.tobytes()


def _read(path: Path) -> bytes:
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise PlaceError("PATH-FOLDER", "is a folder", "Give one picture in it.", path.name or str(path))
        if not stat.S_ISREG(mode):
            raise PlaceError("PATH-NOT-FILE", "is not a file", "Give a picture file.", path.name)
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            if size > FILE_BYTES:
                raise _too_big(size, path.name)
            return _checked(file.read(FILE_BYTES + 1), path.name)
    except (FileNotFoundError, NotADirectoryError):
        raise _missing(path) from None
    except PermissionError:
        raise PlaceError("PATH-DENIED", "may not be read", "Change its permissions.", path.name) from None
    except ValueError as error:
        if isinstance(error, PictureError):
            raise
        raise PlaceError("PATH-MISSING", "is not a path", "Give the path of a picture.", repr(path)) from None
    except OSError as error:
        if isinstance(error, PlaceError):
            raise
        what = f"cannot be read ({error.strerror or error})"
        raise PlaceError("PATH-FAILED", what, "Check the disk or the path.", path.name) from None


def _checked(data: bytes, name: str | None = None) -> bytes:
    if len(data) > FILE_BYTES:
        raise _too_big(len(data), name)
    return data


def _too_big(size: int, name: str | None) -> PictureError:
    what = f"is too big: a file of {-(-size >> 20)} MiB, and the limit is {FILE_BYTES >> 20} MiB"
    return PictureError("PIC-TOO-BIG", what, "Shrink or crop it first.", name)


def _missing(path: Path) -> PlaceError:
    hint = "Check the spelling."
    try:
        names = [entry.name for entry in path.parent.iterdir()]
        near = difflib.get_close_matches(path.name, names, n=3)
        if near:
            hint = f"Did you mean {' or '.join(near)}?"
    except OSError:
        hint = f"There is no folder {path.parent}."
    return PlaceError("PATH-MISSING", "does not exist", hint, str(path))


def _is_array(source: object) -> bool:
    return hasattr(source, "__array_interface__") and not hasattr(source, "convert")


def _checked_array(source: Any) -> "NDArray[np.uint8]":  # noqa: ANN401
    import numpy

    array = numpy.asarray(source)
    if array.dtype != numpy.uint8 or array.ndim != 3 or array.shape[2] not in (3, 4):
        what = f"a picture cannot be {array.dtype} of shape {array.shape}"
        hint = (
            "Give uint8 of shape (height, width, 3) or (height, width, 4); values from 0 to 1 become that by "
            "(array * 255).round().astype(numpy.uint8)."
        )
        raise PictureError("PIC-PIXELS", what, hint)
    return array


def _from_array(source: Any) -> Picture:  # noqa: ANN401
    import numpy

    array = _checked_array(source)
    height, width, channels = array.shape
    if channels == 3 and height * width <= PIXELS:
        opaque = numpy.full((height, width, 1), 255, numpy.uint8)
        array = numpy.concatenate([array, opaque], axis=2)
    return Picture.from_rgba(array.tobytes(), width, height)


def _name_of(source: object, attribute: str) -> str | None:
    name = getattr(source, attribute, None)
    return Path(name).name if isinstance(name, str) and name else None
