"""Makes BMP files field by field (the header of 40 bytes that is read everywhere)."""

import struct

from made import figure


def bmp(size: tuple[int, int], bits: int, packing: int, palette: bytes, pixels: bytes) -> bytes:
    """Make a BMP from packed rows."""
    start = 54 + len(palette)
    head = b"BM" + struct.pack("<IHHI", start + len(pixels), 0, 0, start)
    body = struct.pack("<IiiHHIIiiII", 40, *size, 1, bits, packing, len(pixels), 0, 0, len(palette) // 4, 0)
    return head + body + palette + pixels


def lily(width: int | None = None) -> bytes:
    """Make the figure on white: rows from the bottom, blue first; its header may state another width."""
    pixels = figure.opaque()[::-1, :, 2::-1]
    size = (pixels.shape[1] if width is None else width, pixels.shape[0])
    return bmp(size, 24, 0, b"", pixels.tobytes())
