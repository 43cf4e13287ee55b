"""Makes PNG files chunk by chunk (ISO/IEC 15948)."""

import functools
import struct
import zlib
from collections.abc import Sequence

import numpy as np

from made import figure

SIGNATURE = b"\x89PNG\r\n\x1a\n"
GREY, RGB, INDEXED, GREY_ALPHA, RGBA = 0, 2, 3, 4, 6

MEBIBYTE = 1 << 20


def chunk(name: bytes, body: bytes) -> bytes:
    """Give length, name, content and checksum."""
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def header(width: int, height: int, depth: int = 8, colour: int = RGBA) -> bytes:
    """Give the first chunk."""
    return chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0))


END = chunk(b"IEND", b"")


def of(*chunks: bytes) -> bytes:
    """Put chunks behind the signature."""
    return SIGNATURE + b"".join(chunks)


def data(rows: Sequence[bytes], kind: int = 0) -> bytes:
    """Pack rows, each behind the byte that says how it is filtered."""
    return chunk(b"IDAT", zlib.compress(b"".join(bytes([kind]) + row for row in rows)))


def packed(
    size: tuple[int, int], depth: int, colour: int, rows: Sequence[bytes], between: Sequence[bytes] = ()
) -> bytes:
    """Make a PNG from packed rows, with chunks between header and pixels."""
    return of(header(*size, depth, colour), *between, data(rows), END)


def lily(*between: bytes, end: bytes = END) -> bytes:
    """Make the figure, see-through where it is bare, with chunks between header and pixels."""
    return of(*lily_start(), *between, data(_rows(figure.rgba())), end)


def lily_start() -> tuple[bytes, ...]:
    """Give the chunks of the figure that come before its pixels."""
    return (header(figure.COLUMNS * figure.CELL, figure.ROWS * figure.CELL),)


def on_white(*between: bytes) -> bytes:
    """Make the figure on white, with chunks between header and pixels."""
    pixels = figure.opaque()[..., :3]
    return packed((pixels.shape[1], pixels.shape[0]), 8, RGB, _rows(pixels), between)


def of_pixels(pixels: np.ndarray) -> bytes:
    """Make a PNG of red, green, blue and opacity."""
    return packed((pixels.shape[1], pixels.shape[0]), 8, RGBA, _rows(pixels))


def profile(body: bytes) -> bytes:
    """Give the chunk of a colour profile."""
    return chunk(b"iCCP", b"made\0\0" + zlib.compress(body))


def _rows(pixels: np.ndarray) -> list[bytes]:
    return [row.tobytes() for row in pixels]


@functools.cache
def _flushed() -> bytes:
    packer = zlib.compressobj(9)
    return packer.compress(bytes(MEBIBYTE)) + packer.flush(zlib.Z_FULL_FLUSH)


def zeros(mebibytes: int) -> bytes:
    """Pack that many MiB of zeros by zlib (RFC 1950), at a thousandth of the size.

    A fully flushed stretch does not look back, so that it may be repeated; of n zeros the checksum is
    1 + 65536 n, n modulo 65521.
    """
    once = _flushed()
    stretch = once[2:]
    last = zlib.compressobj(9, zlib.DEFLATED, -15).flush()
    total = mebibytes * MEBIBYTE % 65521 << 16 | 1
    return once[:2] + stretch * mebibytes + last + struct.pack(">I", total)


def bomb(width: int, height: int, depth: int, colour: int, mebibytes: int) -> bytes:
    """Make a PNG whose pixels are that many MiB of zeros."""
    return of(header(width, height, depth, colour), chunk(b"IDAT", zeros(mebibytes)), END)
