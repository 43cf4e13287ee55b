"""Decoding against Pillow as the reference reader, and damage that must not pass.

PNG after ISO/IEC 15948, JPEG after ITU-T T.81, orientation after CIPA DC-008.
"""

import io
import struct
import time
import zlib

import numpy as np
import pytest
from PIL import Image

import squarewright as sw

RAMP = np.add.outer(np.arange(24) * 7, np.arange(32) * 3).astype(np.uint8)
COLOURS = np.dstack([RAMP, RAMP[::-1], RAMP[:, ::-1], 255 - RAMP])


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def picture(mode: str) -> Image.Image:
    return Image.fromarray(COLOURS, "RGBA").convert(mode) if mode != "P" else palette_picture()


def palette_picture() -> Image.Image:
    image = Image.fromarray((RAMP // 64).astype(np.uint8), "P")
    image.putpalette([200, 10, 20, 30, 40, 50, 60, 170, 80, 90, 100, 210])
    image.info["transparency"] = 2
    return image


@pytest.mark.filterwarnings("ignore:'mode' parameter:DeprecationWarning")
@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA"])
def test_every_kind_of_png_reads_as_the_reference_reads_it(mode: str) -> None:
    data = saved(picture(mode), "PNG")
    assert np.array_equal(sw.read_picture(data), np.asarray(Image.open(io.BytesIO(data)).convert("RGBA")))


@pytest.mark.filterwarnings("ignore:'mode' parameter:DeprecationWarning")
@pytest.mark.parametrize(
    ("kind", "mode", "options"),
    [("BMP", "RGB", {}), ("GIF", "P", {}), ("WEBP", "RGBA", {"lossless": True, "exact": True})],
)
def test_other_lossless_formats_read_as_the_reference_reads_them(kind: str, mode: str, options: dict) -> None:
    data = saved(picture(mode), kind, **options)
    wanted = np.asarray(Image.open(io.BytesIO(data)).convert("RGBA"))
    found = sw.read_picture(data)
    assert np.array_equal(found[..., 3], wanted[..., 3])
    assert np.array_equal(found[found[..., 3] > 0], wanted[wanted[..., 3] > 0])


def test_a_jpeg_reads_within_the_tolerance_of_its_standard() -> None:
    data = saved(Image.fromarray(COLOURS[..., :3]), "JPEG", quality=95, subsampling=0)
    found, wanted = sw.read_picture(data)[..., :3], np.asarray(Image.open(io.BytesIO(data)))
    assert np.abs(found.astype(int) - wanted).max() <= 3


def test_sixteen_bits_are_rounded_to_eight() -> None:
    values = np.linspace(0, 65535, 256 * 4).astype(np.uint16).reshape(4, 256)
    data = saved(Image.fromarray(values), "PNG")
    read = sw.Picture.decode(data)
    found = read.to_array()[..., 0]
    assert np.array_equal(found, np.floor(values.astype(float) * 255 / 65535 + 0.5).astype(np.uint8))


@pytest.mark.parametrize(
    ("kind", "options"), [("JPEG", {"quality": 95}), ("PNG", {}), ("WEBP", {"lossless": True})]
)
def test_a_turned_picture_stands_upright(kind: str, options: dict) -> None:
    image = Image.fromarray(COLOURS[..., :3])
    exif = Image.Exif()
    exif[0x0112] = 6
    data = saved(image, kind, exif=exif, **options)
    plain = saved(image, kind, **options)
    assert np.array_equal(sw.read_picture(data), np.rot90(sw.read_picture(plain), -1))


def chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


@pytest.mark.parametrize("side", [60_000, 2**31 - 1])
def test_a_huge_header_is_refused_at_once(side: int) -> None:
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0))
    data = b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(b"\0" * 10_000)) + chunk(b"IEND", b"")
    start = time.perf_counter()
    with pytest.raises(sw.PictureError) as caught:
        sw.read_picture(data)
    assert caught.value.code == "PIC-TOO-BIG"
    assert time.perf_counter() - start < 0.25


@pytest.mark.parametrize("options", [{}, {"progressive": True}])
def test_half_a_jpeg_is_refused(options: dict) -> None:
    data = saved(Image.fromarray(np.tile(COLOURS[..., :3], (8, 8, 1))), "JPEG", **options)
    with pytest.raises(sw.PictureError) as caught:
        sw.read_picture(data[: len(data) // 2])
    assert caught.value.code == "PIC-TRUNCATED"
    assert sw.read_picture(data + b"junk after the end").shape == (192, 256, 4)


def test_damage_inside_a_png_is_refused() -> None:
    data = bytearray(saved(Image.fromarray(COLOURS), "PNG"))
    data[data.index(b"IDAT") + 20] ^= 0xFF
    with pytest.raises(sw.PictureError) as caught:
        sw.read_picture(bytes(data))
    assert caught.value.code == "PIC-DAMAGED"


def test_changed_bytes_give_a_picture_or_a_coded_error() -> None:
    random = np.random.default_rng(1)
    seeds = [saved(Image.fromarray(COLOURS[..., :3]), kind) for kind in ("PNG", "JPEG", "GIF", "BMP", "WEBP")]
    for seed in seeds:
        for _ in range(200):
            data = np.frombuffer(seed, np.uint8).copy()
            places = random.integers(0, len(data), random.integers(1, 16))
            data[places] = random.integers(0, 256, len(places))
            try:
                read = sw.Picture.decode(data.tobytes())
                assert read.width * read.height <= 100_000_000
            except sw.PictureError as error:
                assert error.code.startswith("PIC-")
