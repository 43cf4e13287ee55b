"""Paint two photo-like pictures, and show them before and after pixelating.

Run it with ``python examples/pond/paint.py`` once squarewright is installed. It needs Pillow and NumPy,
writes beside itself, and draws everything from a few curves, gradients and seeded grain.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

import squarewright as sw

HERE = Path(__file__).resolve().parent
WIDTH, HEIGHT = 720, 480

Field = NDArray[np.float64]
Point = tuple[float, float]


def main() -> None:
    """Paint both pictures and set each beside its grid."""
    for name, picture, crop in (
        ("kingfisher-over-water", kingfisher(), (150, 66, 586, 426)),
        ("water-lily", water_lily(), (150, 120, 586, 440)),
    ):
        path = HERE / f"{name}.jpg"
        picture.save(path, quality=86)
        grid = sw.pixelate(path, columns=60, colours=16, crop=crop)
        before_and_after(picture.crop(crop), grid).save(HERE / f"{name}-before-after.png")
        print(f"{name}: {grid!r}")


def before_and_after(picture: Image.Image, grid: sw.Grid) -> Image.Image:
    """Set the picture and its grid side by side, in few colours so that the file stays small."""
    scale = 6
    size = (grid.columns * scale, grid.rows * scale)
    sheet = Image.new("RGB", (size[0] * 2 + 8, size[1]), "white")
    sheet.paste(picture.resize(size, Image.Resampling.LANCZOS), (0, 0))
    sheet.paste(Image.fromarray(np.array(grid.to_array(scale)[..., :3])), (size[0] + 8, 0))
    return sheet.quantize(128, dither=Image.Dither.NONE)


class Canvas:
    """Light on a canvas, painted layer by layer; values are sRGB from 0 to 1."""

    def __init__(self, seed: int) -> None:
        self.chance = np.random.default_rng(seed)
        self.pixels: Field = np.zeros((HEIGHT, WIDTH, 3))
        rows, columns = np.mgrid[:HEIGHT, :WIDTH].astype(float)
        self.down, self.across = rows / HEIGHT, columns / WIDTH

    def grain(self, across: float, down: float) -> Field:
        """Give smooth noise around 0, its grains as wide and as high as stated in pixels."""
        size = (max(2, round(WIDTH / across)), max(2, round(HEIGHT / down)))
        small = self.chance.normal(0, 1, (size[1], size[0]))
        image = Image.fromarray(small.astype(np.float32)).resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)
        return np.asarray(image, float)

    def wash(self, colour: str, cover: Field | float) -> None:
        """Lay a colour over what is there, as much as the cover says."""
        tint = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
        share = np.clip(np.broadcast_to(cover, (HEIGHT, WIDTH)), 0, 1)[..., None]
        self.pixels = self.pixels * (1 - share) + tint * share

    def shade(self, amount: Field | float, cover: Field | float) -> None:
        """Make it lighter (above 0) or darker where the cover says."""
        self.pixels = np.clip(self.pixels + (np.asarray(amount) * cover)[..., None], 0, 1)

    def shape(self, points: Sequence[Point], soft: float = 1.2) -> Field:
        """Cover a closed curve through the points, in pixels; its edge is as soft as stated."""
        image = Image.new("L", (WIDTH * 2, HEIGHT * 2), 0)
        ImageDraw.Draw(image).polygon([(2 * x, 2 * y) for x, y in curve(points)], fill=255)
        return self._blurred(image, soft)

    def ellipse(self, x: float, y: float, across: float, down: float, soft: float = 1.2) -> Field:
        """Cover an ellipse given by its middle and radii."""
        image = Image.new("L", (WIDTH * 2, HEIGHT * 2), 0)
        box = (2 * (x - across), 2 * (y - down), 2 * (x + across), 2 * (y + down))
        ImageDraw.Draw(image).ellipse(box, fill=255)
        return self._blurred(image, soft)

    def image(self) -> Image.Image:
        """Give the picture with the fine grain that a camera adds."""
        noisy = self.pixels + self.chance.normal(0, 0.012, (HEIGHT, WIDTH, 1))
        return Image.fromarray((np.clip(noisy, 0, 1) * 255).round().astype(np.uint8))

    @staticmethod
    def _blurred(image: Image.Image, soft: float) -> Field:
        blurred = image.filter(ImageFilter.GaussianBlur(2 * soft)).resize(
            (WIDTH, HEIGHT), Image.Resampling.BOX
        )
        return np.asarray(blurred, float) / 255


def curve(points: Sequence[Point], steps: int = 16) -> list[Point]:
    """Thread a closed Catmull-Rom curve through the points."""
    ring = np.array([points[-1], *points, points[0], points[1]])
    path: list[Point] = []
    for a, b, c, d in zip(ring, ring[1:], ring[2:], ring[3:], strict=False):
        for t in np.arange(steps) / steps:
            middle = 2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * (b - c) + d - a) * t**3
            path.append((float(middle[0]) / 2, float(middle[1]) / 2))
    return path


def kingfisher() -> Image.Image:
    """Paint a kingfisher on a branch over the water, far bank out of focus."""
    canvas = Canvas(7)
    canvas.wash("#24483f", 1)
    canvas.wash("#7fa287", (0.62 - canvas.down) * 1.5 + 0.12 * canvas.grain(160, 60))
    canvas.wash("#d7dcab", (0.3 - canvas.down) * 1.6 + 0.2 * canvas.grain(120, 90))
    for _ in range(14):
        x, y = canvas.chance.uniform(0, WIDTH), canvas.chance.uniform(0, HEIGHT * 0.45)
        canvas.wash("#e9e7b8", 0.35 * canvas.ellipse(x, y, 26, 26, 7))
    water = np.clip((canvas.down - 0.62) * 12, 0, 1)
    ripple = np.sin(canvas.down**1.6 * 160 + 2.2 * canvas.grain(90, 24))
    canvas.wash("#1d5560", 0.85 * water)
    canvas.wash("#8fc0b4", water * np.clip(ripple - 0.35, 0, 1) * 0.75)
    canvas.wash("#d98a45", water * canvas.ellipse(388, 420, 40, 40, 14) * np.clip(0.6 + ripple, 0, 1) * 0.5)
    branch = canvas.shape(
        [(-30, 352), (240, 322), (430, 330), (750, 290), (750, 316), (440, 358), (230, 350), (-30, 390)]
    )
    canvas.wash("#5b4331", branch)
    canvas.shade(0.10 * canvas.grain(34, 3) + 0.22 * (0.7 - canvas.down), branch)
    _bird(canvas)
    return canvas.image()


def _bird(canvas: Canvas) -> None:
    tail = canvas.shape([(432, 290), (468, 300), (508, 388), (484, 398), (446, 340)])
    canvas.wash("#155f86", tail)
    body = canvas.shape(
        [(330, 150), (392, 150), (444, 214), (452, 282), (420, 332), (376, 338), (338, 300), (322, 230)]
    )
    canvas.wash("#d9741f", body)
    canvas.shade(0.11 * canvas.grain(9, 14) + 0.6 * (0.50 - canvas.across), body)
    back = canvas.shape([(398, 160), (440, 196), (474, 268), (464, 316), (436, 296), (420, 240), (396, 200)])
    canvas.wash("#1588a8", back)
    canvas.shade(0.09 * canvas.grain(12, 12), back)
    spots = back * np.clip(canvas.grain(7, 7) - 1.0, 0, 1)
    canvas.wash("#7fe0e8", spots)
    head = canvas.shape([(318, 132), (352, 100), (398, 106), (420, 142), (404, 180), (352, 188), (322, 168)])
    canvas.wash("#1277a0", head)
    canvas.wash("#68cfe0", head * np.clip(canvas.grain(6, 6) - 0.9, 0, 1))
    cheek = canvas.shape([(330, 150), (362, 144), (386, 158), (372, 178), (336, 174)])
    canvas.wash("#dd7a24", cheek)
    throat = canvas.shape([(326, 172), (356, 176), (366, 196), (342, 206), (324, 192)])
    canvas.wash("#f3efe2", throat)
    canvas.wash("#f3efe2", canvas.shape([(384, 158), (410, 162), (408, 184), (388, 180)]))
    beak = canvas.shape([(334, 146), (326, 166), (290, 168), (214, 170), (214, 166), (286, 154)], 0.8)
    canvas.wash("#23211f", beak)
    canvas.wash("#e9e4d6", canvas.ellipse(352, 141, 19, 19, 0.8))
    canvas.wash("#0d0d10", canvas.ellipse(352, 141, 15, 15, 0.8))
    canvas.wash("#ffffff", canvas.ellipse(347, 135, 3, 3, 0.6))
    for x in (372, 396):
        canvas.wash("#c2452b", canvas.shape([(x, 330), (x + 12, 330), (x + 14, 346), (x - 6, 346)]))


def water_lily() -> Image.Image:
    """Paint a pink water lily among its leaves on dark water."""
    canvas = Canvas(11)
    canvas.wash("#10262b", 1)
    canvas.wash("#2f5960", 0.35 + 0.25 * canvas.grain(180, 22))
    canvas.wash("#9fc3c4", np.clip(canvas.grain(120, 9) - 1.1, 0, 1) * 0.5)
    for x, y, across, down in (
        (130, 372, 190, 82),
        (590, 340, 200, 88),
        (420, 118, 150, 46),
        (70, 132, 120, 40),
    ):
        leaf = canvas.ellipse(x, y, across, down, 2)
        canvas.wash("#2f7040", leaf)
        canvas.shade(0.05 * canvas.grain(30, 14) + 0.30 * (y / HEIGHT - canvas.down), leaf)
        canvas.wash("#7fae5e", (leaf - canvas.ellipse(x, y - 3, across - 7, down - 6, 3)) * 0.9)
    angles = np.linspace(-1.25, 1.25, 9)
    for length, tint, deep in (
        (170, "#c9557f", "#7c2750"),
        (142, "#e58aa8", "#a63f6b"),
        (104, "#f8c6d2", "#d0718f"),
    ):
        for angle in sorted(angles, key=abs, reverse=True):
            _petal(canvas, (360, 326), angle * (0.7 + length / 500), length, (tint, deep))
    heart = canvas.ellipse(360, 296, 40, 26, 2)
    canvas.wash("#f2b632", heart)
    canvas.shade(0.12 * canvas.grain(6, 9), heart)
    canvas.wash("#fff0a0", heart * np.clip(canvas.grain(6, 6) - 0.6, 0, 1))
    return canvas.image()


def _petal(canvas: Canvas, foot: Point, angle: float, length: float, colours: tuple[str, str]) -> None:
    along = np.array([np.sin(angle), -np.cos(angle) * 0.82])
    over = np.array([np.cos(angle), np.sin(angle)]) * length * 0.17
    start = np.array(foot)
    outline = [
        start,
        start + along * length * 0.45 + over,
        start + along * length,
        start + along * length * 0.45 - over,
    ]
    petal = canvas.shape([(float(x), float(y)) for x, y in outline])
    canvas.wash(colours[0], petal)
    away = (
        (canvas.across * WIDTH - foot[0]) * along[0] + (canvas.down * HEIGHT - foot[1]) * along[1]
    ) / length
    canvas.wash(colours[1], petal * np.clip(0.75 - away * 1.1, 0, 0.8))
    side = (canvas.across * WIDTH - foot[0]) * over[0] + (canvas.down * HEIGHT - foot[1]) * over[1]
    canvas.shade(0.05 * canvas.grain(4, 40) - 0.07 * np.sign(side), petal)


if __name__ == "__main__":
    main()
