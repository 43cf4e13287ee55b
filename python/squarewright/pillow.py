"""What Pillow adds where it is installed: formats that the core does not read, and its images as pictures."""

import importlib.util
import io
import threading
import warnings
from typing import TYPE_CHECKING, Any

from squarewright._core import Picture, check_size
from squarewright.errors import PictureError

if TYPE_CHECKING:
    from PIL.Image import Image

READ = {
    "a TIFF picture": "TIFF",
    "an AVIF picture": "AVIF",
    "a JPEG 2000 picture": "JPEG2000",
    "a JPEG of a rare kind": "JPEG",
    "an icon file": "ICO",
    "a Netpbm picture": "PPM",
    "a QOI picture": "QOI",
    "a DDS texture": "DDS",
}
"""What the core calls a format that it does not read, and what Pillow calls it."""

_INKS = "it holds print colours (CMYK), turned into screen colours by rule of thumb: check them"
_OTHERWISE = "Save it as PNG or JPEG first."
_AGAIN = "Save or download it again."
_HUSHED = threading.Lock()
"""The filters of warnings belong to the whole process, so that two threads must not change them at once."""

_SIXTEEN_BITS = {"I;16", "I;16L", "I;16B", "I;16N"}


def instead(data: bytes, name: str | None, refused: PictureError) -> Picture:
    """Read a picture that the core refused for its format.

    Parameters
    ----------
    data : bytes
        The whole file.
    name : str or None
        What the file is called in messages.
    refused : PictureError
        How the core refused it (``PIC-FORMAT``).

    Returns
    -------
    Picture

    Raises
    ------
    PictureError
        ``refused`` when Pillow does not read it either, with a hint when Pillow is not installed;
        ``PIC-…`` with what is wrong when it does.
    """
    kind = next((READ[words] for words in READ if words in refused.what), None)
    if kind is None:
        raise refused
    if not _is_installed():
        hint = f'{refused.hint} Or install Pillow, which reads it: pip install "squarewright[pillow]".'
        raise PictureError(refused.code, refused.what, hint, name)
    from PIL import Image

    Image.init()
    if kind not in Image.OPEN:
        raise refused
    try:
        # Its warnings are of oddities inside the file; what matters of them is in our own notes.
        with _HUSHED, warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=[kind]) as image:
                check_size(*image.size)
                return picture(image, name)
    except (PictureError, MemoryError, KeyboardInterrupt):
        raise
    except Exception as error:
        raise _fault(error, refused, name) from None


def picture(image: "Image", name: str | None = None) -> Picture:
    """Take the pixels of a Pillow image: the frame it stands at, upright, in sRGB.

    Parameters
    ----------
    image : PIL.Image.Image
        Of any mode that Pillow converts to RGBA, or of 16 bits.
    name : str, optional
        Its name in messages.

    Returns
    -------
    Picture
        With what is worth knowing as its warnings.

    Raises
    ------
    PictureError
        ``PIC-FORMAT`` when its mode has no way to RGBA, ``PIC-TOO-BIG``, ``PIC-EMPTY``.
    """
    from PIL import ImageOps

    check_size(*image.size)
    frames = getattr(image, "n_frames", 1)
    notes = [f"it holds {frames} pictures: the first is used"] if frames > 1 and image.tell() == 0 else []
    if image.mode == "CMYK":
        notes.append(_INKS)
    profile = None if image.mode == "CMYK" else image.info.get("icc_profile")
    upright: Any = ImageOps.exif_transpose(image)
    rgba = _rgba(upright, name)
    return Picture.from_rgba(rgba.tobytes(), *rgba.size, name, profile or None, notes)


def _rgba(image: "Image", name: str | None) -> "Image":
    if image.mode in _SIXTEEN_BITS:
        # 65535 is 255 times 257; Pillow itself would cut every value at 255
        return image.convert("I").point(lambda level: level * (1 / 257) + 0.5).convert("L").convert("RGBA")
    if image.mode in {"I", "F"}:
        raise PictureError(
            "PIC-FORMAT", "has grey levels without a stated white", "Save it as PNG or JPEG first.", name
        )
    try:
        return image.convert("RGBA")
    except ValueError:
        what = f"has colours of a kind that is not read ({image.mode})"
        raise PictureError("PIC-FORMAT", what, _OTHERWISE, name) from None


def _is_installed() -> bool:
    try:
        return importlib.util.find_spec("PIL") is not None
    except (ImportError, ValueError):
        return False


def _fault(error: Exception, refused: PictureError, name: str | None) -> PictureError:
    from PIL import Image, UnidentifiedImageError

    if isinstance(error, Image.DecompressionBombError | Image.DecompressionBombWarning):
        hint = "Shrink or crop it first."
        return PictureError("PIC-TOO-BIG", "is too big: it has too many pixels", hint, name)
    if "truncated" in str(error) or isinstance(error, EOFError):
        return PictureError("PIC-TRUNCATED", "stops in the middle of the picture", _AGAIN, name)
    # what Pillow knows of a format but does not do itself, it says in these two ways
    if isinstance(error, NotImplementedError) or "not available" in str(error):
        return refused
    is_other = isinstance(error, UnidentifiedImageError)
    damage = "it is not what it says" if is_other else "its content makes no sense"
    return PictureError("PIC-DAMAGED", f"is damaged: {damage}", _AGAIN, name)
