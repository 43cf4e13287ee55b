"""What a person would write for each step with well-known general libraries."""

import io
from collections.abc import Sequence
from itertools import combinations
from math import gcd
from pathlib import Path

import cv2
import matplotlib
import numpy as np
import shapely
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from PIL import Image
from skimage.color import deltaE_ciede2000, rgb2lab
from sklearn.cluster import KMeans

matplotlib.use("agg")


def recover(data: bytes) -> np.ndarray:
    """Find whole pixels a cell by where neighbours differ, and take the middle of each cell."""
    pixels = np.asarray(Image.open(io.BytesIO(data)).convert("RGBA"))
    down = np.flatnonzero((pixels[1:] != pixels[:-1]).any(axis=(1, 2))) + 1
    across = np.flatnonzero((pixels[:, 1:] != pixels[:, :-1]).any(axis=(0, 2))) + 1
    side = gcd(*down.tolist(), *across.tolist())
    cells = pixels[side // 2 :: side, side // 2 :: side]
    return np.unique(cells.reshape(-1, 4), axis=0, return_inverse=True)[1]


def box_and_median_cut(pixels: np.ndarray, size: tuple[int, int], colours: int) -> Image.Image:
    small = Image.fromarray(pixels).resize(size, Image.Resampling.BOX)
    return small.quantize(colours, method=Image.Quantize.MEDIANCUT)


def area_and_kmeans(pixels: np.ndarray, size: tuple[int, int], colours: int) -> np.ndarray:
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA)
    return KMeans(colours, n_init=1, random_state=0).fit_predict(rgb2lab(small).reshape(-1, 3))


def contact_sheet(path: Path, sizes: Sequence[tuple[int, int]], counts: Sequence[int]) -> bytes:
    """Shrink, reduce and enlarge a photo for each size and count, and paste all into one picture."""
    whole = Image.open(path).convert("RGB")
    sheet = Image.new("RGB", (420 * len(counts), 320 * len(sizes)), "white")
    for row, size in enumerate(sizes):
        small = whole.resize(size, Image.Resampling.BOX)
        for column, count in enumerate(counts):
            few = small.quantize(count, method=Image.Quantize.MEDIANCUT).convert("RGB")
            sheet.paste(few.resize((400, 300), Image.Resampling.NEAREST), (420 * column, 320 * row))
    out = io.BytesIO()
    sheet.save(out, "PNG")
    return out.getvalue()


def mix(wanted: np.ndarray, paints: np.ndarray, parts: int) -> float:
    """Judge every mixture of up to three paints, as means of linear light.

    ``wanted`` has shape (3,), ``paints`` (n, 3); both are sRGB from 0 to 1.
    """
    linear = np.where(paints <= 0.04045, paints / 12.92, ((paints + 0.055) / 1.055) ** 2.4)
    shares = [
        (first, second, total - first - second)
        for total in range(3, parts + 1)
        for first in range(1, total - 1)
        for second in range(1, total - first)
    ]
    weights = np.array(shares) / np.sum(shares, axis=1, keepdims=True)
    triples = np.array(list(combinations(range(len(paints)), 3)))
    mixed = np.einsum("sk,tkc->tsc", weights, linear[triples]).reshape(-1, 3)
    coded = np.where(mixed <= 0.0031308, mixed * 12.92, 1.055 * mixed ** (1 / 2.4) - 0.055)
    return float(deltaE_ciede2000(rgb2lab(coded), rgb2lab(wanted[np.newaxis])).min())


def outline(cells: np.ndarray, clearance: float) -> shapely.Geometry:
    """Join the squares of all painted cells, and grow what comes of it."""
    rows, columns = np.nonzero(cells >= 0)
    whole = shapely.union_all(shapely.box(columns, rows, columns + 1, rows + 1))
    return whole.buffer(clearance, join_style="mitre")


def chart(cells: np.ndarray, palette: np.ndarray) -> bytes:
    """Print one page: the cells in their colours, a number in each, and the list of colours."""
    figure = Figure((8.5, 11))
    axes = figure.add_axes((0.1, 0.3, 0.8, 0.6))
    axes.pcolormesh(np.ma.masked_less(cells, 0), cmap=matplotlib.colors.ListedColormap(palette / 255))
    axes.invert_yaxis()
    for (row, column), colour in np.ndenumerate(cells):
        if colour >= 0:
            axes.text(column + 0.5, row + 0.5, str(colour + 1), ha="center", va="center", fontsize=3)
    for number, colour in enumerate(palette):
        place = 0.1 + 0.2 * (number % 4), 0.25 - 0.03 * (number // 4)
        figure.text(*place, f"{number + 1}  #{bytes(colour).hex()}")
    out = io.BytesIO()
    with PdfPages(out) as pages:
        pages.savefig(figure)
    return out.getvalue()


def decode(path: Path) -> None:
    """Decode a file with Pillow, which lets other threads run meanwhile."""
    with Image.open(path) as image:
        image.load()
