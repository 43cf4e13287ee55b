"""Copies of pixel art with known truth, and how near an answer comes to it.

Places are in pixel edges: cell (row, column) covers columns ``offset + column * pitch`` onwards.
"""

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image

FAMILIES = (
    "native",
    "whole",
    "fraction",
    "linear",
    "cubic",
    "lanczos",
    "area",
    "up and down",
    "squeezed",
    "cropped",
    "jpeg 95",
    "jpeg 75",
    "linear jpeg 85",
    "lined",
    "lined jpeg",
    "on a ground",
    "on a checkerboard",
    "noise",
    "framed",
    "soft opacity",
    "jpeg 85",
    "jpeg 60",
    "framed and scaled",
    "all at once, jpeg 85",
)
HARD = "all at once, jpeg 85"


@dataclass(frozen=True)
class Copy:
    """A copy: its pixels or its JPEG file, with the true cells, pitch and offset."""

    picture: object
    cells: np.ndarray
    pitch: tuple[float, float]
    offset: tuple[float, float]


def make(family: str, figure: np.ndarray, seed: int) -> Copy:
    """Make a copy of a figure, uint8 of shape (rows, columns, 4)."""
    rng = np.random.default_rng([seed, FAMILIES.index(family)])
    ground = np.array([236, 230, 214], np.uint8)
    cells = figure if family in TRANSPARENT else flattened(figure, ground)
    rows, columns = cells.shape[:2]
    pitch = pitches(family, rng)
    width, height = round(columns * pitch[0]), round(rows * pitch[1])
    pixels = enlarged(family, cells, (width, height))
    pitch, offset = (width / columns, height / rows), (0.0, 0.0)
    if family.startswith("lined"):
        pixels = lined(pixels, round(pitch[0]), rng)
    if family in ("cropped", HARD):
        left, top = (int(rng.integers(0, int(1.5 * side))) for side in pitch)
        pixels, offset = pixels[top : height - top // 2, left : width - left // 2], (-left, -top)
    if family in ("on a ground", "on a checkerboard") or family.startswith("framed"):
        left, top, right, bottom = (int(value) for value in rng.integers(3, 40, 4))
        pixels = np.pad(pixels, ((top, bottom), (left, right), (0, 0)))
        offset = (float(left), float(top))
        behind = checkerboard(pixels.shape[:2]) if family == "on a checkerboard" else ground
        pixels = flattened(pixels, behind)
    if family.startswith("framed"):
        pixels = np.pad(pixels, ((9, 9), (9, 9), (0, 0)), constant_values=255)
        pixels[:9] = pixels[-9:] = pixels[:, :9] = pixels[:, -9:] = (90, 60, 120, 255)
        offset = (offset[0] + 9, offset[1] + 9)
    if family == "framed and scaled":
        height, width = pixels.shape[:2]
        size = (round(width * 1.25), round(height * 1.25))
        pixels = np.array(Image.fromarray(pixels).resize(size, Image.Resampling.BILINEAR))
        scale = (size[0] / width, size[1] / height)
        pitch, offset = (tuple(a * b for a, b in zip(each, scale, strict=True)) for each in (pitch, offset))
    if family == "noise":
        noisy = pixels[..., :3] + rng.normal(0, 4, pixels[..., :3].shape)
        pixels = np.dstack([np.clip(noisy.round(), 0, 255).astype(np.uint8), pixels[..., 3]])
    picture = jpeg(pixels, quality(family)) if "jpeg" in family else np.ascontiguousarray(pixels)
    return Copy(picture, cells, pitch, offset)


TRANSPARENT = ("native", "whole", "fraction", "on a checkerboard", "soft opacity")


def pitches(family: str, rng: np.random.Generator) -> tuple[float, float]:
    """Give the pixels of a cell."""
    if family == "native":
        return (1.0, 1.0)
    if family in ("whole", "lined", "lined jpeg", "framed", "framed and scaled"):
        return (float(rng.integers(6, 14)),) * 2
    pitch = float(rng.uniform(4.2, 11))
    return (pitch, pitch * 1.19) if family in ("squeezed", HARD) else (pitch, pitch)


def enlarged(family: str, cells: np.ndarray, size: tuple[int, int]) -> np.ndarray:
    """Enlarge with the scaler of a family."""
    image = Image.fromarray(cells)
    scalers = {
        "linear": Image.Resampling.BILINEAR,
        "linear jpeg 85": Image.Resampling.BILINEAR,
        "cubic": Image.Resampling.BICUBIC,
        HARD: Image.Resampling.BICUBIC,
        "lanczos": Image.Resampling.LANCZOS,
        "soft opacity": Image.Resampling.BILINEAR,
    }
    if family in ("area", "up and down"):
        large = image.resize((cells.shape[1] * 13, cells.shape[0] * 13), Image.Resampling.NEAREST)
        down = Image.Resampling.BOX if family == "area" else Image.Resampling.BICUBIC
        return np.array(large.resize(size, down))
    return np.array(image.resize(size, scalers.get(family, Image.Resampling.NEAREST)))


def lined(pixels: np.ndarray, pitch: int, rng: np.random.Generator) -> np.ndarray:
    """Draw a line along each boundary."""
    pixels, level = pixels.copy(), int(rng.integers(0, 80))
    pixels[::pitch] = (level, level, level, 255)
    pixels[:, ::pitch] = (level, level, level, 255)
    return pixels


def flattened(pixels: np.ndarray, behind: np.ndarray) -> np.ndarray:
    """Lay pixels over a ground."""
    share = pixels[..., 3:] / 255
    mixed = (pixels[..., :3] * share + behind * (1 - share)).round().astype(np.uint8)
    return np.dstack([mixed, np.full(pixels.shape[:2], 255, np.uint8)])


def checkerboard(shape: tuple[int, int]) -> np.ndarray:
    """Give squares of two greys."""
    rows, columns = np.indices(shape)
    return np.where(((rows // 10 + columns // 10) % 2)[..., None] == 0, 255, 204)


def quality(family: str) -> int:
    """Give the quality of a JPEG family."""
    digits = "".join(letter for letter in family if letter.isdigit())
    return int(digits or 90)


def jpeg(pixels: np.ndarray, level: int) -> bytes:
    """Save as JPEG, colour shared by four pixels."""
    out = io.BytesIO()
    Image.fromarray(pixels[..., :3]).save(out, "JPEG", quality=level, subsampling=2)
    return out.getvalue()


def has_grid(copy: Copy, found: object) -> bool:
    """Say whether every true cell of the figure has one cell of the answer on it, to a tenth of a pitch."""
    rows, columns = found.cell_colours.shape[:2]
    needed = figure_of(copy)
    for axis, count in ((0, columns), (1, rows)):
        true, least, most = copy.pitch[axis], *needed[axis]
        middles = found.offset_px[axis] + (np.arange(count) + 0.5) * found.pitch_px[axis]
        cells = (middles - copy.offset[axis]) / true - 0.5
        numbers = cells.round().astype(int)
        inside = (numbers >= least) & (numbers <= most)
        if list(numbers[inside]) != list(range(least, most + 1)):
            return False
        if np.abs(cells - numbers)[inside].max() * true > max(0.5, 0.1 * true):
            return False
    return True


def figure_of(copy: Copy) -> tuple[tuple[int, int], tuple[int, int]]:
    """Give the first and last column and row of cells that are not ground and at least half in sight."""
    cells, first = copy.cells, copy.cells[0, 0]
    drawn = (cells != first).any(-1)
    found = []
    for axis in (0, 1):
        picture = size_of(copy.picture)[axis]
        used = np.flatnonzero(drawn.any(axis))
        near = copy.offset[axis] + used * copy.pitch[axis]
        seen = np.minimum(near + copy.pitch[axis], picture) - np.maximum(near, 0)
        used = used[seen >= 0.5 * copy.pitch[axis]]
        found.append((int(used[0]), int(used[-1])))
    return found[0], found[1]


def size_of(picture: object) -> tuple[int, int]:
    """Give width and height."""
    if isinstance(picture, bytes):
        with Image.open(io.BytesIO(picture)) as image:
            return image.size
    return picture.shape[1], picture.shape[0]


def colours_right(copy: Copy, found: object, levels: int) -> float:
    """Give the share of the figure's cells whose channels are all within some levels of the truth."""
    (left, right), (top, bottom) = figure_of(copy)
    start = [round((found.offset_px[axis] - copy.offset[axis]) / copy.pitch[axis]) for axis in (0, 1)]
    true = copy.cells[top : bottom + 1, left : right + 1].astype(int)
    got = found.cell_colours[top - start[1] : bottom + 1 - start[1], left - start[0] : right + 1 - start[0]]
    true, got = (np.where(values[..., 3:] == 0, 0, values.astype(int)) for values in (true, got))
    return float((np.abs(true - got).max(-1) <= levels).mean())
