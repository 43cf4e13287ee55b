"""Arrays as pictures and as masks. NumPy is imported only when an array is given."""

from typing import TYPE_CHECKING, Any

from squarewright._core import PIXELS, SIDE, Picture, check_size
from squarewright.errors import ArgumentError, PictureError

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy as np
    from numpy.typing import NDArray

_BAND = 1 << 18
"""Bytes of rows that are handed over at a time: they stay in the processor's own memory."""


_LONGEST = (1 << 32) - 1
"""The longest side that can be told in a message."""


def is_array(source: object) -> bool:
    """Say whether something is an array and no Pillow image, which looks like one."""
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
    if numpy.ma.is_masked(source):
        what = "a picture cannot have pixels that are masked"
        raise PictureError("PIC-PIXELS", what, "Give array.filled(…), or opacity as a fourth channel.")
    return array


def picture(source: Any) -> Picture:  # noqa: ANN401
    """Take the pixels of an array, uint8 of shape (height, width, 3) or (height, width, 4).

    Raises
    ------
    PictureError
        ``PIC-PIXELS`` when it is an array of another kind, ``PIC-TOO-BIG``, ``PIC-EMPTY``.
    """
    import numpy

    array = _checked_array(source)
    height, width, channels = array.shape
    # before a copy is made, as an array may be far larger than the memory that it views
    check_size(min(width, _LONGEST), min(height, _LONGEST))
    if channels == 3:
        opaque = numpy.full((height, width, 1), 255, numpy.uint8)
        array = numpy.concatenate([array, opaque], axis=2)
    return Picture.from_rgba(array.tobytes(), width, height)


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
    if not is_array(source):
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
    if array.size > PIXELS or numpy.ma.is_masked(source):
        what = f"figure must be as large as the picture and have no masked values, got {array.shape}"
        raise ArgumentError("VALUE-BAD", what, "Give bool or uint8 of shape (height, width), as the picture.")
    if array.dtype == numpy.bool_ or not (array > 1).any():
        array = array.astype(numpy.uint8) * 255
    return *array.shape, array.tobytes()
