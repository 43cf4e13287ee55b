"""Reads every picture below a folder by this package and by Pillow and prints one JSON object for each.

Run in a child process: ``python compare_corpus.py FOLDER``.
"""

import io
import json
import resource
import sys
import time
import warnings
from pathlib import Path

import difference
import numpy as np
from PIL import Image, ImageCms, ImageOps

import squarewright as sw

KINDS = {".png", ".apng", ".jpg", ".jpeg", ".jfif", ".mpo", ".gif", ".bmp", ".dib", ".rle", ".webp"}
THROUGH_PILLOW = {".tif", ".tiff", ".avif"}

SRGB = ImageCms.createProfile("sRGB")


def ours(path: Path) -> tuple[np.ndarray | None, str]:
    """Read by this package: the pixels, or nothing and the code of the error."""
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always", sw.PictureWarning)
        try:
            return sw.read_picture(path), "; ".join(str(warning.message) for warning in caught)
        except sw.PictureError as error:
            return None, error.code


def theirs(path: Path) -> tuple[np.ndarray | None, str, bool]:
    """Read by Pillow, with the same treatment: upright, first frame, in sRGB, 8 bits.

    Says also whether a colour profile was applied. Pillow's own limit of pixels stays on.
    """
    try:
        with Image.open(path) as image:
            kind = image.format or ""
            body = image.info.get("icc_profile")
            upright = ImageOps.exif_transpose(image)
            converted = _in_srgb(upright, body)
            return _levels(upright if converted is None else converted), kind, converted is not None
    except Exception as error:  # Pillow has no common error for what it cannot read
        return None, type(error).__name__, False


def _in_srgb(image: Image.Image, body: bytes | None) -> Image.Image | None:
    """Convert by the profile of the file; nothing when there is none, or one for other colours."""
    if body is None or image.mode not in {"RGB", "RGBA", "P", "L", "LA"}:
        return None
    try:
        found = ImageCms.ImageCmsProfile(io.BytesIO(body))
        space = found.profile.xcolor_space.strip()
        if space == "RGB":
            colours = image.convert("RGBA")
            return ImageCms.profileToProfile(colours, found, SRGB)
        if space == "GRAY" and image.mode == "L":
            return ImageCms.profileToProfile(image, found, SRGB, outputMode="RGB")
    except (ImageCms.PyCMSError, OSError):
        pass
    return None


def _levels(image: Image.Image) -> np.ndarray:
    """Give red, green, blue and opacity; samples of 16 bits, which Pillow cuts off at 255, are scaled."""
    if not image.mode.startswith("I;16"):
        return np.asarray(image.convert("RGBA"))
    samples = np.asarray(image).astype(int)
    grey = (samples * 255 + 32767) // 65535
    seen = np.where(samples == image.info.get("transparency", -1), 0, 255)
    return np.dstack([grey, grey, grey, seen]).astype(np.uint8)


def compared(path: Path) -> dict[str, object]:
    """Read by both and say how they differ."""
    started = time.perf_counter()
    mine, said = ours(path)
    seconds = time.perf_counter() - started
    other, kind, converted = theirs(path)
    facts = {"said": said, "kind": kind, "converted": converted, "seconds": seconds}
    if mine is None or other is None:
        who = "neither" if mine is other else "only ours" if other is None else "only theirs"
        return facts | {"who": who}
    if mine.shape != other.shape:
        return facts | {"who": "both", "opacity": 255, "levels": 255, "mean": 255, "colour": 100}
    seen = (mine[..., 3] > 0) & (other[..., 3] > 0)
    levels = np.abs(mine[seen].astype(int) - other[seen])[:, :3]
    return facts | {
        "who": "both",
        "opacity": int(np.abs(mine[..., 3].astype(int) - other[..., 3]).max()),
        "levels": int(levels.max(initial=0)),
        "mean": float(levels.mean()) if levels.size else 0,
        "colour": _colour(mine[seen], other[seen]) if converted else 0,
    }


def _colour(mine: np.ndarray, other: np.ndarray) -> float:
    """Give the largest CIEDE2000 among the pairs of colours that occur."""
    pairs = np.unique(np.hstack([mine[:, :3], other[:, :3]]), axis=0)
    if not len(pairs):
        return 0
    labs = difference.lab_of_srgb(pairs[:, :3]), difference.lab_of_srgb(pairs[:, 3:])
    return float(difference.ciede2000(*labs).max())


def main() -> None:
    """Compare all files."""
    # a net: the limits of Pillow and of this package should keep far below it
    resource.setrlimit(resource.RLIMIT_DATA, (3 << 30, 3 << 30))
    warnings.simplefilter("ignore")
    root = Path(sys.argv[1])
    for path in sorted(root.rglob("*")):
        if path.suffix.lower() in KINDS | THROUGH_PILLOW and path.is_file():
            print(json.dumps({"name": path.relative_to(root).as_posix()} | compared(path)))


if __name__ == "__main__":
    main()
