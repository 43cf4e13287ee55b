"""The limits that are promised: just within each is taken, just beyond refused, and memory stays in bounds.

Ctrl-C within a quarter of a second is in test_interrupts, files that are old or complete in test_writing,
sizes of what a file unpacks to and of its colour profile in test_bad_pictures and test_profiles.
"""

import os
from pathlib import Path

import numpy as np
import pytest

import measured
import squarewright as sw
from made import figure, png
from squarewright import _core
from squarewright.bulk.finding import PICTURES, find
from squarewright.settings.sources import DEPTH, SETTINGS_BYTES

PANEL = sw.Panel("12 in", "12 in")


def code_of(work) -> str:
    with pytest.raises(sw.SquarewrightError) as caught:
        work()
    assert caught.value.hint
    return caught.value.code


def test_pictures_have_100_megapixels_and_32768_pixels_a_side_at_most():
    for size in [(10_000, 10_000), (32_768, 3051), (1, 32_768)]:
        _core.check_size(*size)
    for size in [(10_000, 10_001), (32_769, 1), (1, 32_769), (32_768, 3052)]:
        assert code_of(lambda size=size: _core.check_size(*size)) == "PIC-TOO-BIG"


def test_a_file_of_a_picture_has_256_mib_at_most(tmp_path):
    path = tmp_path / "a.png"
    path.write_bytes(png.lily())
    os.truncate(path, 256 << 20)
    os.utime(path, (1, 1))
    assert sw.read_picture(path).shape == (80, 96, 4)
    os.truncate(path, (256 << 20) + 1)
    os.utime(path, (1, 1))
    assert code_of(lambda: sw.read_picture(path)) == "PIC-TOO-BIG"


def test_a_grid_has_512_cells_a_side_and_64_colours_at_most():
    palette = [f"#{number:02x}0000" for number in range(64)]
    for shape in [(512, 512), (1, 512), (512, 1)]:
        assert sw.Grid(np.full(shape, 63), palette).rows == shape[0]
    for shape in [(513, 1), (1, 513), (513, 512)]:
        assert code_of(lambda shape=shape: sw.Grid(np.zeros(shape, int), palette)) == "GRID-BAD"
    assert code_of(lambda: sw.Grid([[0]], [*palette, "#ffffff"])) == "COLOURS-RANGE"


def test_a_list_of_paints_has_one_mebibyte_at_most(tmp_path):
    path = tmp_path / "a.toml"
    text = b'[[paint]]\nname = "red"\ncolour = "#b3202b"\n#'
    path.write_bytes(text.ljust(1 << 20, b"x"))
    os.utime(path, (1, 1))
    assert len(sw.read_stock(path)) == 1
    path.write_bytes(text.ljust((1 << 20) + 1, b"x"))
    os.utime(path, (1, 1))
    assert code_of(lambda: sw.read_stock(path)) == "STOCK-TOO-BIG"


def test_settings_have_one_mebibyte_and_32_levels_at_most(tmp_path):
    assert (SETTINGS_BYTES, DEPTH) == (1 << 20, 32)
    path = tmp_path / "a.toml"
    path.write_bytes(b"rows = 3\n#".ljust(SETTINGS_BYTES, b"x"))
    assert sw.read_settings(path).rows == 3
    path.write_bytes(b"rows = 3\n#".ljust(SETTINGS_BYTES + 1, b"x"))
    assert code_of(lambda: sw.read_settings(path)) == "CONFIG-TOO-BIG"
    for depth, words in [(DEPTH, "x is no setting"), (DEPTH + 2, f"more than {DEPTH} tables")]:
        path.write_text(f"x = {'[' * depth}{']' * depth}")
        with pytest.raises(sw.SettingsError, match=words):
            sw.read_settings(path)


def test_a_wall_has_500_figures_at_most():
    figures = [sw.Grid([[0]], ["#336699"])] * 501
    assert sum(len(panel.figures) for panel in sw.nest(figures[1:], PANEL, pitch="1/2 in").panels) == 500
    assert code_of(lambda: sw.nest(figures, PANEL, pitch="1/2 in")) == "VALUE-BAD"


def test_a_run_has_a_hundred_thousand_pictures_at_most(tmp_path):
    names = [f"{number}.png" for number in range(PICTURES + 1)]
    assert PICTURES == 100_000
    assert len(find(names[1:], tmp_path)[0]) == PICTURES
    assert code_of(lambda: find(names, tmp_path)) == "VALUE-BAD"


SIDE = 4500
"""Pixels a side of the pictures whose reading is measured: 20 megapixels, 77 MiB at four bytes a pixel."""

WORK = {
    "read": "sw.read_picture({name!r})",
    "recover": "sw.recover({name!r})",
    "pixelate": "sw.pixelate({name!r}, columns=60)",
    "plan": "sw.plan({name!r}, panel=sw.Panel('12 in', '12 in'))",
    "compare": "sw.compare({name!r}, panel=sw.Panel('12 in', '12 in'), columns=[40, 60])",
}

CHILD = """
import warnings
import squarewright as sw
warnings.simplefilter("ignore")
try: {work}
except sw.GridError: pass
"""


@pytest.fixture(scope="module")
def large(tmp_path_factory) -> Path:
    """Make a soft scene of 20 megapixels in the formats of photos and of screens."""
    place = tmp_path_factory.mktemp("large")
    down, across = np.mgrid[:SIDE, :SIDE].astype(np.float32) / 300
    shades = [
        ((np.sin(across + turn) + np.cos(down - turn)) * 60 + 128).astype(np.uint8) for turn in (0, 1, 2)
    ]
    pixels = np.dstack(shades)
    (place / "a.jpg").write_bytes(figure.saved(pixels, "JPEG", quality=85))
    (place / "a.png").write_bytes(figure.saved(pixels, "PNG", compress_level=1))
    (place / "a.bmp").write_bytes(figure.saved(pixels, "BMP"))
    return place


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.bmp"])
@pytest.mark.parametrize("work", WORK)
def test_memory_stays_below_four_times_the_picture_and_100_mib(work, name, large):
    """The picture counts as four bytes a pixel, as it is held; the peak is that of a child with Python."""
    answer = measured.python(
        "-c", CHILD.format(work=WORK[work].format(name=name)), folder=large, patience=100
    )
    assert (answer.status, answer.err) == (0, "")
    assert answer.mebibytes <= 4 * SIDE * SIDE * 4 / (1 << 20) + 100, f"{answer.mebibytes:.0f} MiB"
