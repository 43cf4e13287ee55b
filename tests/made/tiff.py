"""Makes TIFF files directory by directory (TIFF 6.0, 1992)."""

import struct

import numpy as np

from made import figure


def directory(at: int, fields: dict[int, list[int]], following: int) -> bytes:
    """Give a directory that stands at ``at``, all fields as LONG, and the lists that do not fit in it."""
    entries, lists = b"", b""
    after = at + 2 + 12 * len(fields) + 4
    for tag, values in sorted(fields.items()):
        packed = struct.pack(f"<{len(values)}I", *values)
        if len(values) == 1:
            entries += struct.pack("<HHI", tag, 4, 1) + packed
        else:
            entries += struct.pack("<HHII", tag, 4, len(values), after + len(lists))
            lists += packed
    return struct.pack("<H", len(fields)) + entries + struct.pack("<I", following) + lists


def cycle() -> bytes:
    """Make a TIFF without pixels whose only directory says that the next one is itself."""
    return b"II*\0" + struct.pack("<I", 8) + directory(8, {256: [4], 257: [4]}, following=8)


def tiled_planar(stray: bool = False) -> bytes:
    """Make the figure on white in tiles of 16 × 16, red, green and blue apart.

    On demand with one more field, of a private number, whose content would stand beyond the end of the file.
    """
    pixels = figure.opaque()[..., :3]
    height, width, _ = pixels.shape
    tiles = [
        pixels[top : top + 16, left : left + 16, plane].tobytes()
        for plane in range(3)
        for top in range(0, height, 16)
        for left in range(0, width, 16)
    ]
    at = 8 + sum(map(len, tiles))
    fields = {
        256: [width],
        257: [height],
        258: [8, 8, 8],
        259: [1],
        262: [2],
        277: [3],
        284: [2],
        322: [16],
        323: [16],
        324: [8 + 256 * place for place in range(len(tiles))],
        325: [256] * len(tiles),
    }
    if stray:
        fields[65_000] = [0, 0]
    whole = b"II*\0" + struct.pack("<I", at) + b"".join(tiles) + directory(at, fields, following=0)
    return whole[:-8] if stray else whole


def fax(body: bytes) -> bytes:
    """Make a black and white picture of 64 × 64 whose packed rows (ITU-T T.6) are ``body``."""
    fields = {256: [64], 257: [64], 258: [1], 259: [4], 262: [0], 273: [8], 277: [1], 278: [64]}
    fields |= {279: [len(body)]}
    at = 8 + len(body)
    return b"II*\0" + struct.pack("<I", at) + body + directory(at, fields, following=0)


def floats() -> bytes:
    """Make grey ramps of 32-bit floating-point samples."""
    values = np.tile(np.arange(16, dtype="<f4") * 16, (16, 1))
    fields = {256: [16], 257: [16], 258: [32], 259: [1], 262: [1], 273: [8], 277: [1], 278: [16]}
    fields |= {279: [values.nbytes], 339: [3]}
    at = 8 + values.nbytes
    return b"II*\0" + struct.pack("<I", at) + values.tobytes() + directory(at, fields, following=0)
