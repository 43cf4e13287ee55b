"""Damage that leaves something to see: refused or told, and read all the same when that is asked for.

JPEG after ITU-T T.81, PNG after ISO/IEC 15948.
"""

import functools
import re
import warnings

import numpy as np
import pytest

import measured
import squarewright as sw
from made import figure, png


def like_a_photo() -> np.ndarray:
    """Give soft shades with grain, 192 × 256, of which every row takes about the same room when packed."""
    down, across = np.mgrid[:192, :256] / 40
    shades = [np.sin(across + turn) * np.cos(down - turn) * 90 + 128 for turn in range(3)]
    grain = np.random.default_rng(52).normal(0, 12, (192, 256, 1))
    return np.clip(np.dstack(shades) + grain, 0, 255).astype(np.uint8)


PICTURE = like_a_photo()


def half(data: bytes) -> bytes:
    return data[: len(data) // 2]


@functools.cache
def jpeg(**options: object) -> bytes:
    return figure.saved(PICTURE, "JPEG", quality=90, **options)


def zeroed(data: bytes, share: float) -> bytes:
    """Set 40 bytes to zero at a place between the beginning of the first scan and the end of the file."""
    scan = data.index(b"\xff\xda") + 14
    at = scan + round((len(data) - scan - 60) * share)
    return data[:at] + bytes(40) + data[at + 40 :]


def read(data: bytes, **options: object) -> tuple[np.ndarray, str]:
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        pixels = sw.read_picture(data, **options)
    return pixels, "\n".join(str(warning.message) for warning in caught)


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.7, 0.9])
def test_zeros_amid_a_baseline_jpeg_are_told(share):
    pixels, said = read(zeroed(jpeg(), share))
    assert pixels.shape == (192, 256, 4)
    assert "damage" in said


@pytest.mark.parametrize("share", np.linspace(0.02, 0.98, 17).round(2))
def test_zeros_amid_a_progressive_jpeg_are_told_refused_or_hardly_seen(share):
    """The last scans hold bits without a code (T.81, G.1.2.3): no reader can tell, and little changes."""
    try:
        pixels, said = read(zeroed(jpeg(progressive=True), share))
    except sw.PictureError as error:
        assert error.code in {"PIC-DAMAGED", "PIC-TRUNCATED"}
        return
    changed = np.abs(pixels.astype(int) - read(jpeg(progressive=True))[0]).max(axis=2) > 8
    assert "damage" in said or changed.mean() < 0.02


@pytest.mark.parametrize(
    "options", [{}, {"progressive": True}, {"restart_marker_rows": 1}, {"subsampling": 2}]
)
def test_nothing_is_told_of_a_good_jpeg(options):
    assert read(jpeg(**options))[1] == ""


def test_the_answer_of_the_command_keeps_its_limits(tmp_path):
    script = "import sys, squarewright as sw; print(sw.read_picture('a.jpg').shape)"
    (tmp_path / "a.jpg").write_bytes(zeroed(jpeg(), 0.5))
    for answer in (measured.python("-c", script, folder=tmp_path), measured.plan("a.jpg", tmp_path)):
        answer.check_limits()


def test_a_jpeg_cut_in_half_says_how_many_rows_are_there():
    """Of noise all rows take about the same room: half the bytes are about half the rows."""
    with pytest.raises(sw.PictureError) as caught:
        sw.read_picture(half(jpeg()))
    assert caught.value.code == "PIC-TRUNCATED"
    shares = [int(share) for share in re.findall(r"(\d+) ?%", str(caught.value))]
    assert len(shares) == 1 and 35 <= shares[0] <= 65


DAMAGED = {
    "PNG without its end": (lambda: png.lily(end=b""), 1.0),
    "PNG cut in half": (lambda: half(png.of_pixels(noise_with_opacity())), 0.4),
    "baseline JPEG cut in half": (lambda: half(jpeg()), 0.4),
    "progressive JPEG cut in half": (lambda: half(jpeg(progressive=True)), 0.0),
}


def noise_with_opacity() -> np.ndarray:
    return np.dstack([PICTURE, np.full(PICTURE.shape[:2], 255, np.uint8)])


WHOLE = {
    "PNG without its end": png.lily,
    "PNG cut in half": lambda: png.of_pixels(noise_with_opacity()),
    "baseline JPEG cut in half": jpeg,
    "progressive JPEG cut in half": lambda: jpeg(progressive=True),
}


@pytest.mark.parametrize("case", DAMAGED)
def test_a_damaged_picture_is_read_only_when_that_is_allowed(case):
    make, rows = DAMAGED[case]
    with pytest.raises(sw.PictureError):
        sw.read_picture(make())
    pixels, said = read(make(), allow_damaged=True)
    whole = sw.read_picture(WHOLE[case]())
    assert pixels.shape == whole.shape
    good = int(rows * len(whole))
    assert np.array_equal(pixels[:good], whole[:good]), "the rows before the damage are the picture's own"
    assert said != ""


def test_what_is_no_picture_stays_refused_when_damage_is_allowed():
    for data in (b"", b"frog\n", png.bomb(60_000, 60_000, 1, png.GREY, 1)):
        with pytest.raises(sw.PictureError):
            sw.read_picture(data, allow_damaged=True)


def test_a_good_picture_reads_the_same_when_damage_is_allowed():
    assert read(png.lily(), allow_damaged=True)[1] == ""
    assert np.array_equal(read(jpeg(), allow_damaged=True)[0], read(jpeg())[0])
