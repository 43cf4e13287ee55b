"""The difference of colours by CIEDE2000, for judging colours in tests.

Formula: Sharma, Wu, Dalal, "The CIEDE2000 color-difference formula", Color Research & Application 30 (2005).
sRGB: IEC 61966-2-1, its matrix to XYZ in ``made.profile``.
"""

import numpy as np

from made import profile

WHITE = profile.to_xyz(profile.SRGB).sum(axis=1)


def linear(srgb: np.ndarray) -> np.ndarray:
    """Give linear light, 0 to 1, of values 0 to 255 on the curve of sRGB."""
    value = np.asarray(srgb, float) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def lab(xyz: np.ndarray) -> np.ndarray:
    """Give CIELAB under D65 (CIE 15:2004)."""
    share = xyz / WHITE
    root = np.where(share > (6 / 29) ** 3, np.cbrt(share), share / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = np.moveaxis(root, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def lab_of_srgb(pixels: np.ndarray) -> np.ndarray:
    """Give CIELAB of red, green and blue from 0 to 255."""
    return lab(linear(pixels) @ profile.to_xyz(profile.SRGB).T)


def ciede2000(one: np.ndarray, two: np.ndarray) -> np.ndarray:
    """Give the difference of two arrays of CIELAB."""
    (l1, a1, b1), (l2, a2, b2) = np.moveaxis(one, -1, 0), np.moveaxis(two, -1, 0)
    g = _grey((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2)
    c1, c2 = np.hypot(a1 * (1 + g), b1), np.hypot(a2 * (1 + g), b2)
    h1, h2 = (np.degrees(np.arctan2(b, a * (1 + g))) % 360 for a, b in ((a1, b1), (a2, b2)))
    chromatic = c1 * c2 > 0
    turn = np.where(chromatic, (h2 - h1 + 180) % 360 - 180, 0)
    # halves of a turn count upwards (equation 10)
    turn = np.where(chromatic & (h2 - h1 == 180), 180, turn)
    across = np.abs(h1 - h2) > 180
    mean = np.where(across, (h1 + h2 + np.where(h1 + h2 < 360, 360, -360)) / 2, (h1 + h2) / 2)
    mean = np.where(chromatic, mean, h1 + h2)
    lightness, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    s_l = 1 + 0.015 * (lightness - 50) ** 2 / np.sqrt(20 + (lightness - 50) ** 2)
    d_l, d_c = (l2 - l1) / s_l, (c2 - c1) / (1 + 0.045 * chroma)
    d_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn / 2)) / (1 + 0.015 * chroma * _hue_weight(mean))
    bend = np.sin(np.radians(60 * np.exp(-(((mean - 275) / 25) ** 2))))
    rotation = -2 * np.sqrt(chroma**7 / (chroma**7 + 25**7)) * bend
    return np.sqrt(d_l**2 + d_c**2 + d_h**2 + rotation * d_c * d_h)


def _grey(chroma: np.ndarray) -> np.ndarray:
    return 0.5 * (1 - np.sqrt(chroma**7 / (chroma**7 + 25**7)))


def _hue_weight(hue: np.ndarray) -> np.ndarray:
    parts = ((-0.17, 1, 30), (0.24, 2, 0), (0.32, 3, -6), (-0.20, 4, 63))
    return 1 + sum(share * np.cos(np.radians(times * hue - shift)) for share, times, shift in parts)
