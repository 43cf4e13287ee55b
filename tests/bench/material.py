"""What is worked on: figures, photos and paints, all made from our own demo."""

import io
from pathlib import Path

import numpy as np
from PIL import Image

import squarewright as sw

POND = Path(__file__).parents[2] / "examples" / "pond"

FIGURES = ("heron", "frog", "dragonfly", "newt", "kingfisher", "lily", "bulrush", "moorhen", "otter")

MORE = {
    "lime": "#a8c93a",
    "navy": "#22304f",
    "light grey": "#b5b7b6",
    "peach": "#f5bf9c",
    "mint": "#a9d9bd",
    "lavender": "#b7a4d6",
}
"""Craft colours beyond those of the basic stock, to make thirty."""

COLOURS = (
    *("#1d2b3a", "#2f4a66", "#4f7396", "#86a9c4", "#c3d6e2", "#f2f1ea", "#1f3a2a", "#315c38"),
    *("#5b8a45", "#9dbb5f", "#4a3426", "#7a5536", "#a97c4e", "#d9b77f", "#f3e0b5", "#5a2430"),
    *("#7f2f3f", "#b3483f", "#e07b39", "#f2b632", "#2a2a2c", "#5c5f63", "#9a9c9d", "#6a4c8c"),
)
"""Twenty-four colours such as figures have."""


RECTANGLES = (
    *((2, 12), (7, 12), (8, 6), (3, 6), (3, 5), (5, 5), (3, 12), (3, 7)),
    *((5, 7), (2, 6), (3, 2), (4, 2), (3, 4), (4, 4), (9, 2), (11, 2)),
)
"""Hopper and Turton 2001, doi 10.1016/S0377-2217(99)00357-4, problem C1-P1: they fill 20 × 20."""


def solid(columns: int, rows: int) -> sw.Grid:
    return sw.Grid(np.zeros((rows, columns), np.int64), ["#336699"])


def thirty_paints() -> sw.Stock:
    """Give thirty paints, none of them at hand."""
    shades = {paint.name: paint.hex for paint in sw.Stock.basic().paints} | MORE
    return sw.Stock([sw.Paint(name, code, owned=False) for name, code in shades.items()])


def enlarged(pixels: np.ndarray, times: int) -> bytes:
    """Give a PNG with each pixel repeated."""
    out = io.BytesIO()
    Image.fromarray(pixels.repeat(times, axis=0).repeat(times, axis=1)).save(out, "PNG")
    return out.getvalue()


def figure(side: int) -> np.ndarray:
    """Tile the moorhen to a square of pixels, uint8 of shape (side, side, 4)."""
    pixels = np.asarray(sw.read_picture(POND / "moorhen.png"))
    over = [-(-side // length) for length in pixels.shape[:2]]
    return np.tile(pixels, (*over, 1))[:side, :side]


def photo(width: int, height: int) -> np.ndarray:
    """Give the painted kingfisher at any size, uint8 of shape (height, width, 3)."""
    with Image.open(POND / "kingfisher-over-water.jpg") as image:
        return np.asarray(image.convert("RGB").resize((width, height), Image.Resampling.BICUBIC))


def write_photos(folder: Path) -> list[Path]:
    """Write eight photos of 3 megapixels as JPEG, each another part of the painting."""
    whole = Image.fromarray(photo(2400, 1800))
    paths = [folder / f"photo-{number}.jpg" for number in range(8)]
    for number, path in enumerate(paths):
        left, top = 50 * number, 40 * (number % 4)
        whole.crop((left, top, left + 2000, top + 1500)).save(path, quality=90)
    return paths


def grids() -> list[sw.Grid]:
    return [sw.recover(POND / f"{name}.png").grid for name in FIGURES]
