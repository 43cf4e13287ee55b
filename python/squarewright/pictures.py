"""Pictures from wherever they are: a path, bytes, a file object, an array or a Pillow image."""

import os
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import arrays, pillow, places
from squarewright._core import FILE_BYTES, Picture
from squarewright.errors import ArgumentError, PictureError, PictureWarning
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
        return decode_file(read_file(place), place, allow_damaged)
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


def decode_file(data: bytes, path: Path, allow_damaged: bool) -> Picture:
    """Decode what a picture file holds; errors are those of ``load``."""
    # The core takes names that are valid UTF-8 alone.
    return _decoded(data, shown(path.name), allow_damaged)._at(_whole(path))


def read_file(path: Path) -> bytes:
    """Read what a picture file holds; errors are those of ``load``."""
    try:
        return places.read(path, "picture", FILE_BYTES)
    except places.TooBigError as error:
        raise _too_big(error.size, error.name) from None
    except places.ChangedError as error:
        hint = "Wait until it is written completely, then try again."
        raise PictureError("PIC-CHANGED", "changed while it was read", hint, error.name) from None


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


def _path_of(source: object, attribute: str) -> Path | None:
    name = getattr(source, attribute, None)
    # A file that was opened by its number has that for a name.
    return _whole(Path(os.fsdecode(name))) if isinstance(name, str | bytes) and name else None


def _name_of(path: Path | None) -> str | None:
    return None if path is None else shown(path.name)
