"""Files that look wrong and can be used: each gives the right pixels, and a note where there is one to give.

Formats after ISO/IEC 15948 (PNG), ITU-T T.81 (JPEG), ``GIF89a``, TIFF 6.0, RFC 9649 (WebP), OpenRaster 0.0.6.
"""

import json
import re
import warnings
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
from PIL import Image

import measured
import squarewright as sw
from made import document, figure, gif, png, profile, tiff

LILY, ON_WHITE = figure.rgba(), figure.opaque()
UPSIDE_DOWN = figure.rgba()[::-1]
GRID = (8, 12)
"""Rows and columns of the figure without the bare ones around it."""

QUIET = ""
"""No note about the file."""

PLANNED = ("taken as background", "corners two cells", "one colour only")
"""Notes about the figure rather than the file."""


@dataclass(frozen=True)
class Used:
    """A file, what is said about it and what it shows."""

    case: str
    name: str
    note: str
    data: Callable[[], bytes]
    wanted: np.ndarray
    grid: tuple[int, int] = GRID
    within: int = 0


def used(case, name, note, data, wanted=LILY, **more) -> Used:
    return Used(case, name, note, data, wanted, **more)


def greys(*rows: tuple[int, ...]) -> np.ndarray:
    values = np.array(rows, np.uint8)
    return np.dstack([values, values, values, np.full_like(values, 255)])


def webp(pixels: np.ndarray = LILY, **options: object) -> bytes:
    return figure.saved(pixels, "WEBP", lossless=True, **options)


def animated(kind: str) -> bytes:
    frames = [Image.fromarray(UPSIDE_DOWN), Image.fromarray(LILY)]
    options = {"lossless": True} if kind == "WEBP" else {}
    return figure.saved(LILY, kind, save_all=True, append_images=frames, **options)


def inks() -> Image.Image:
    return Image.fromarray(ON_WHITE[..., :3]).convert("CMYK")


def with_gain_map() -> bytes:
    return figure.jpeg() + figure.jpeg(np.full((40, 48, 3), 90, np.uint8))


def out_of_palette() -> bytes:
    palette = png.chunk(b"PLTE", figure.PALETTE[3:])
    return png.packed((3, 2), 8, png.INDEXED, [bytes([0, 1, 2]), bytes([1, 0, 9])], [palette])


THREE = np.array([[*figure.PINK, 255], [*figure.YELLOW, 255], [*figure.GREEN, 255]], np.uint8)
IN_PALETTE = np.stack([THREE, np.stack([THREE[1], THREE[0], np.array([0, 0, 0, 255], np.uint8)])])

SEE_THROUGH = IN_PALETTE.copy()
SEE_THROUGH[:, :, 3] = [[255, 128, 255], [128, 255, 255]]


def palette_with_opacity() -> bytes:
    between = [png.chunk(b"PLTE", figure.PALETTE[3:] + bytes(3)), png.chunk(b"tRNS", b"\xff\x80")]
    return png.packed((3, 2), 2, png.INDEXED, [b"\x18", b"\x4c"], between)


def pixel_size(across: int, down: int) -> bytes:
    return png.chunk(b"pHYs", across.to_bytes(4, "big") + down.to_bytes(4, "big") + b"\1")


def sixteen(colour: int, *samples: int) -> bytes:
    row = b"".join(sample.to_bytes(2, "big") for sample in samples)
    return png.packed((3, 1), 16, colour, [row])


def beyond_canvas() -> bytes:
    return gif.gif((3, 2), [(1, 0, np.array([[1, 2, 3], [3, 2, 1], [1, 1, 1]], np.uint8))])


CLIPPED = np.array([[[0] * 4, [*figure.PINK, 255], [*figure.YELLOW, 255]]] * 2, np.uint8)
CLIPPED[1] = [[0] * 4, [*figure.GREEN, 255], [*figure.YELLOW, 255]]

ANIMATION = "animation of 3 frames: the first is used"
NO_PROFILE = "read as sRGB"

PNG_FILES = [
    used("whole PNG", "a.png", QUIET, png.lily),
    used(
        "index out of the palette",
        "a.png",
        "black",
        out_of_palette,
        IN_PALETTE,
        grid=(2, 3),
    ),
    used(
        "profile of 200 MiB",
        "a.png",
        NO_PROFILE,
        lambda: png.lily(png.chunk(b"iCCP", b"made\0\0" + png.zeros(200))),
    ),
    used(
        "text of 200 MiB",
        "a.png",
        QUIET,
        lambda: png.lily(png.chunk(b"zTXt", b"made\0\0" + png.zeros(200))),
    ),
    used("profile of nonsense", "a.png", NO_PROFILE, lambda: png.lily(png.profile(b"frog" * 99))),
    used("profile for Lab", "a.png", NO_PROFILE, lambda: png.lily(png.profile(profile.other_space(b"Lab ")))),
    used(
        "profile for inks",
        "a.png",
        NO_PROFILE,
        lambda: png.lily(png.profile(profile.other_space(b"CMYK"))),
    ),
    used(
        "profile of sRGB itself",
        "a.png",
        QUIET,
        lambda: png.lily(png.profile(profile.matrix_profile(profile.SRGB))),
        within=1,
    ),
    used("junk after the end of a PNG", "a.png", QUIET, lambda: png.lily() + b"junk"),
    used("animated PNG", "a.png", ANIMATION, lambda: animated("PNG")),
    used(
        "grey of 16 bits",
        "a.png",
        QUIET,
        lambda: sixteen(png.GREY, 0, 33_000, 65_535),
        greys((0, 128, 255)),
        grid=(1, 3),
    ),
    used(
        "colours of 16 bits",
        "a.png",
        QUIET,
        lambda: sixteen(png.RGB, 65_535, 0, 257, 128, 129, 385, 386, 65_406, 65_407),
        np.array([[[255, 0, 1, 255], [0, 1, 1, 255], [2, 254, 255, 255]]], np.uint8),
        grid=(1, 3),
    ),
    used(
        "grey and opacity",
        "a.png",
        "partly see-through",
        lambda: png.packed((3, 1), 8, png.GREY_ALPHA, [bytes([9, 255, 99, 255, 200, 7])]),
        np.array([[[9, 9, 9, 255], [99, 99, 99, 255], [200, 200, 200, 7]]], np.uint8),
        grid=(1, 2),
    ),
    used(
        "one bit",
        "a.png",
        QUIET,
        lambda: png.packed((5, 2), 1, png.GREY, [b"\x50", b"\xa8"]),
        greys((0, 255, 0, 255, 0), (255, 0, 255, 0, 255)),
        grid=(2, 5),
    ),
    used(
        "palette with opacity",
        "a.png",
        "partly see-through",
        palette_with_opacity,
        SEE_THROUGH,
        grid=(2, 3),
    ),
    used("1 × 1", "a.png", "one colour", lambda: png.packed((1, 1), 8, 0, [b"M"]), greys((77,)), grid=(1, 1)),
    used("pixels of no width", "a.png", "pixel", lambda: png.lily(pixel_size(0, 2835))),
    used("pixels wider than high", "a.png", "square", lambda: png.lily(pixel_size(2000, 4000))),
    used(
        "turned PNG",
        "a.png",
        QUIET,
        lambda: figure.saved(LILY, "PNG", exif=figure.held(6)),
        np.rot90(LILY, -1),
        grid=(12, 8),
    ),
    used("tags of nonsense in a PNG", "a.png", QUIET, lambda: png.lily(png.chunk(b"eXIf", b"frog" * 9))),
]

OTHERS = [
    used("OpenRaster", "a.ora", QUIET, lambda: document.ora(png.lily())),
    used("PNG under the name of a JPEG", "a.jpg", "PNG", png.lily),
    used("JPEG under the name of a PNG", "a.png", "JPEG", figure.jpeg, ON_WHITE, within=2),
    used("junk after the end of a JPEG", "a.jpg", QUIET, lambda: figure.jpeg() + b"junk", ON_WHITE, within=2),
    used(
        "turned JPEG",
        "a.jpg",
        QUIET,
        lambda: figure.jpeg(exif=figure.held(6)),
        np.rot90(ON_WHITE, -1),
        grid=(12, 8),
        within=2,
    ),
    used(
        "turned WebP",
        "a.webp",
        QUIET,
        lambda: webp(exif=figure.held(6)),
        np.rot90(LILY, -1),
        grid=(12, 8),
    ),
    used(
        "orientation 99 in a JPEG",
        "a.jpg",
        QUIET,
        lambda: figure.jpeg(exif=figure.held(99)),
        ON_WHITE,
        within=2,
    ),
    used(
        "tags of nonsense in a JPEG",
        "a.jpg",
        QUIET,
        lambda: figure.jpeg(exif=b"Exif\0\0" + b"frog" * 9),
        ON_WHITE,
        within=2,
    ),
    used(
        "inks in a JPEG",
        "a.jpg",
        "print colours",
        lambda: figure.saved(inks(), "JPEG", quality=95, subsampling=0),
        ON_WHITE,
        within=4,
    ),
    used("gain map after the end of a JPEG", "a.jpg", QUIET, with_gain_map, ON_WHITE, within=2),
    used("frame beyond the canvas", "a.gif", QUIET, beyond_canvas, CLIPPED, grid=(2, 2)),
    used("animated GIF", "a.gif", ANIMATION, lambda: animated("GIF")),
    used("animated WebP", "a.webp", ANIMATION, lambda: animated("WEBP")),
]

THROUGH_PILLOW = [
    used(
        "AVIF",
        "a.avif",
        QUIET,
        lambda: figure.saved(ON_WHITE, "AVIF", quality=100, subsampling="4:4:4"),
        ON_WHITE,
        within=2,
    ),
    used("tiled planar TIFF", "a.tif", QUIET, tiff.tiled_planar, ON_WHITE),
    used("TIFF with a field beyond its end", "a.tif", QUIET, lambda: tiff.tiled_planar(stray=True), ON_WHITE),
    used("TIFF with a palette", "a.tif", QUIET, lambda: figure.saved(figure.in_palette(), "TIFF"), ON_WHITE),
    used(
        "TIFF as a fax sends it",
        "a.tif",
        QUIET,
        lambda: figure.saved(
            Image.fromarray(LILY[..., 3]).convert("1", dither=0), "TIFF", compression="group4"
        ),
        np.dstack([LILY[..., 3]] * 3 + [np.full_like(LILY[..., 3], 255)]),
    ),
    used(
        "TIFF of 3 pages",
        "a.tif",
        "3 pictures: the first",
        lambda: figure.saved(
            ON_WHITE, "TIFF", save_all=True, append_images=[Image.fromarray(UPSIDE_DOWN)] * 2
        ),
        ON_WHITE,
    ),
]

CASES = [*PNG_FILES, *OTHERS, *THROUGH_PILLOW]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.case)
def test_an_odd_picture_is_planned_with_a_note(case, tmp_path):
    (tmp_path / case.name).write_bytes(case.data())
    answer = measured.plan(case.name, tmp_path, "--json")
    answer.check_limits()
    assert answer.status == 0, answer.err
    notes = answer.err.splitlines()
    assert all(note.startswith("note: ") for note in notes)
    if case.note == QUIET:
        assert [note for note in notes if not any(words in note for words in PLANNED)] == []
    else:
        assert any(re.search(case.note, note) for note in notes), answer.err
    report = json.loads(answer.out)
    assert (report["rows"], report["columns"]) == case.grid


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.case)
def test_an_odd_picture_shows_what_it_should(case, tmp_path):
    path = tmp_path / case.name
    path.write_bytes(case.data())
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", sw.PictureWarning)
        found = sw.read_picture(path)
    assert found.shape == case.wanted.shape
    assert np.array_equal(found[..., 3], case.wanted[..., 3])
    seen = case.wanted[..., 3] > 0
    assert np.abs(found[seen].astype(int) - case.wanted[seen]).max() <= case.within


def test_one_flat_colour_makes_a_grid_of_one_cell_that_nobody_can_be_sure_of():
    data = png.packed((9, 9), 8, png.GREY, [bytes([77]) * 9] * 9)
    found = sw.recover(data)
    assert found.grid.cells.tolist() == [[0]]
    assert found.grid.palette.tolist() == [[77, 77, 77]]
    assert "the picture has one colour only" in found.warnings
    assert found.confidence < 0.5
