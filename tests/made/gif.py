"""Makes GIF files block by block (``GIF89a`` specification)."""

import struct

import numpy as np

from made import figure


def gif(
    canvas: tuple[int, int], frames: list[tuple[int, int, np.ndarray]], palette: bytes = figure.PALETTE
) -> bytes:
    """Make a GIF of four colours; a frame is its left, its top and its numbers of colours."""
    head = b"GIF89a" + struct.pack("<HHBBB", *canvas, 0x81 if palette else 0, 0, 0)
    return head + palette + b"".join(_frame(*frame) for frame in frames) + b";"


def _frame(left: int, top: int, numbers: np.ndarray) -> bytes:
    height, width = numbers.shape
    place = struct.pack("<4HB", left, top, width, height, 0)
    codes = _codes(numbers.tobytes())
    blocks = [codes[at : at + 255] for at in range(0, len(codes), 255)]
    return b"," + place + b"\2" + b"".join(bytes([len(block)]) + block for block in blocks) + b"\0"


def _codes(numbers: bytes) -> bytes:
    """Pack numbers 0 to 3 in codes of three bits; the table is cleared before a code of four could be due."""
    pairs = [numbers[at : at + 2] for at in range(0, len(numbers), 2)]
    bits = 0
    codes = [code for pair in pairs for code in (4, *pair)] + [5]
    for place, code in enumerate(codes):
        bits |= code << 3 * place
    return bits.to_bytes(-(-3 * len(codes) // 8), "little")


def lily() -> bytes:
    """Make the figure on white."""
    numbers = figure.indices()
    return gif((numbers.shape[1], numbers.shape[0]), [(0, 0, numbers)])
