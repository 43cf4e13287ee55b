"""The figure that most of the made files show: a water lily of our own, and the ways to save it."""

import io

import numpy as np
from PIL import Image

CELL = 8
"""Pixels a cell: as wide as a block of a JPEG, so that a block holds one colour."""

PINK, YELLOW, GREEN, WHITE = (214, 90, 140), (240, 200, 60), (50, 120, 70), (255, 255, 255)

LILY = (
    "............",
    ".....pp.....",
    "..p.pppp.p..",
    "..pppyyppp..",
    "...ppyypp...",
    ".gg.pppp.gg.",
    "gggggggggggg",
    ".gggggggggg.",
    "...gggggg...",
    "............",
)

ROWS, COLUMNS = len(LILY), len(LILY[0])


def cells() -> np.ndarray:
    """Give the figure at one pixel a cell, uint8 (rows, columns, 4): see-through white where it is bare."""
    colours = {".": (*WHITE, 0), "p": (*PINK, 255), "y": (*YELLOW, 255), "g": (*GREEN, 255)}
    return np.array([[colours[cell] for cell in row] for row in LILY], np.uint8)


def rgba(scale: int = CELL) -> np.ndarray:
    """Give the figure enlarged."""
    return cells().repeat(scale, axis=0).repeat(scale, axis=1)


def opaque(scale: int = CELL) -> np.ndarray:
    """Give the figure enlarged, on white."""
    pixels = rgba(scale)
    pixels[..., 3] = 255
    return pixels


def indices(scale: int = 1) -> np.ndarray:
    """Give the figure as numbers of colours in ``PALETTE``."""
    numbers = np.array([[".pyg".index(cell) for cell in row] for row in LILY], np.uint8)
    return numbers.repeat(scale, axis=0).repeat(scale, axis=1)


PALETTE = bytes([*WHITE, *PINK, *YELLOW, *GREEN])
"""Red, green and blue of the numbers that ``indices`` gives."""


def saved(pixels: np.ndarray | Image.Image, kind: str, **options: object) -> bytes:
    """Save by Pillow."""
    image = pixels if isinstance(pixels, Image.Image) else Image.fromarray(pixels)
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def jpeg(pixels: np.ndarray | None = None, **options: object) -> bytes:
    """Save the figure on white, or other pixels, as a JPEG with a sample of colour for each pixel."""
    shown = opaque() if pixels is None else pixels
    return saved(np.ascontiguousarray(shown[..., :3]), "JPEG", quality=95, subsampling=0, **options)


def held(orientation: int) -> bytes:
    """Give Exif tags that hold an orientation and nothing else (CIPA DC-008, tag 0112)."""
    tags = Image.Exif()
    tags[0x0112] = orientation
    return tags.tobytes()


def in_palette() -> Image.Image:
    """Give the figure on white as numbers of colours."""
    image = Image.fromarray(indices(CELL))
    image.putpalette(PALETTE)
    return image
