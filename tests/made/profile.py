"""Makes colour profiles tag by tag (ICC.1:2022)."""

import struct

import numpy as np

D65 = (0.3127, 0.3290)
D50 = np.array([0.9642, 1.0, 0.8249])
"""The white that profiles count from (ICC.1:2022, clause 7.2.16)."""

BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
"""Cone responses (ICC.1:2022, annex E)."""

SRGB = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
"""IEC 61966-2-1."""

DISPLAY_P3 = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
"""CSS Color Module Level 4, section 10.5; the curve is that of sRGB."""


def to_xyz(primaries: tuple[tuple[float, float], ...]) -> np.ndarray:
    """Give the matrix from linear light to XYZ under D65 (SMPTE RP 177)."""
    corners = np.array([_xyz(*corner) for corner in primaries]).T
    return corners * np.linalg.solve(corners, _xyz(*D65))


def _xyz(x: float, y: float) -> np.ndarray:
    return np.array([x / y, 1, (1 - x - y) / y])


def matrix_profile(primaries: tuple[tuple[float, float], ...]) -> bytes:
    """Make a display profile with the curve of sRGB (IEC 61966-2-1) as parametric curve 3."""
    scale = (BRADFORD @ D50) / (BRADFORD @ _xyz(*D65))
    columns = (np.linalg.inv(BRADFORD) @ np.diag(scale) @ BRADFORD @ to_xyz(primaries)).T
    curve = b"para\0\0\0\0\0\3\0\0" + _fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    text = "made".encode("utf-16-be")
    words = b"mluc\0\0\0\0" + struct.pack(">II4sII", 1, 12, b"enUS", len(text), 28) + text
    tags = {b"desc": words, b"cprt": words, b"wtpt": b"XYZ \0\0\0\0" + _fixed(*D50)}
    for name, column in zip((b"r", b"g", b"b"), columns, strict=True):
        tags[name + b"XYZ"] = b"XYZ \0\0\0\0" + _fixed(*column)
        tags[name + b"TRC"] = curve
    return _assembled(tags, b"RGB ")


def other_space(space: bytes) -> bytes:
    """Make a profile that says it is for another kind of colour, such as ``b"Lab "``."""
    whole = matrix_profile(SRGB)
    return whole[:16] + space + whole[20:]


def _fixed(*numbers: float) -> bytes:
    return b"".join(struct.pack(">i", round(number * 65536)) for number in numbers)


def _assembled(tags: dict[bytes, bytes], space: bytes) -> bytes:
    table, bodies, at = b"", b"", 132 + 12 * len(tags)
    for name, body in tags.items():
        table += struct.pack(">4sII", name, at + len(bodies), len(body))
        bodies += body + bytes(-len(body) % 4)
    size = at + len(bodies)
    head = struct.pack(">I4sI4s4s4s", size, b"\0\0\0\0", 0x04400000, b"mntr", space, b"XYZ ")
    head += struct.pack(">6H4s", 2026, 1, 1, 0, 0, 0, b"acsp") + bytes(28) + _fixed(*D50)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + bodies
