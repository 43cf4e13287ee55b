"""Draw the pond wall: every figure at one pixel to a cell, and some enlarged.

Run it from anywhere with ``python examples/pond/draw.py``. It needs Pillow
alone, writes beside itself, and writes the same bytes each time.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

from figures import (
    beetle,
    bulrush,
    dragonfly,
    duckling,
    frog,
    heron,
    kingfisher,
    lily,
    marigold,
    moorhen,
    newt,
    otter,
    snail,
    stickleback,
)
from picture import Picture
from PIL import Image

HERE = Path(__file__).resolve().parent
DEMO = HERE.parents[1] / "python" / "squarewright" / "demo"

FIGURES: dict[str, Callable[[], Picture]] = {
    "lily": lily.draw,
    "frog": frog.draw,
    "newt": newt.draw,
    "dragonfly": dragonfly.draw,
    "bulrush": bulrush.draw,
    "kingfisher": kingfisher.draw,
    "moorhen": moorhen.draw,
    "heron": heron.draw,
    "otter": otter.draw,
    "beetle": beetle.draw,
    "duckling": duckling.draw,
    "marigold": marigold.draw,
    "snail": snail.draw,
    "stickleback": stickleback.draw,
}

Margin = tuple[int, int, int, int]  # left, top, right, bottom
PANEL = 64  # cells of 3/16 in across a 12 in square
WHITE = b"\xff\xff\xff"


def main() -> None:
    """Draw, check and write every figure, then the enlarged copies."""
    images: dict[str, Image.Image] = {}
    for name, draw in FIGURES.items():
        picture = draw()
        images[name] = picture.image()
        check(name, picture, images[name])
        save(images[name], HERE / f"{name}.png")
        print(row(name, picture, images[name]))
    heron_x12 = enlarged(images["heron"], 12)
    save(heron_x12, HERE / "heron-x12.png")
    DEMO.mkdir(parents=True, exist_ok=True)
    save(heron_x12, DEMO / "heron.png")
    frog_x16 = on_white(enlarged(images["frog"], 16, (21, 13, 34, 27)))
    save(frog_x16, HERE / "frog-x16-on-white.png")
    dragonfly_x9 = enlarged(images["dragonfly"], 9, (5, 2, 13, 7))
    save(dragonfly_x9, HERE / "dragonfly-x9-cropped-margin.png")


def enlarged(image: Image.Image, scale: int, margin: Margin = (0, 0, 0, 0)) -> Image.Image:
    """Enlarge each cell to a square of pixels, inside a margin."""
    left, top, right, bottom = margin
    width, height = image.width * scale, image.height * scale
    big = image.resize((width, height), Image.Resampling.NEAREST)
    sheet = Image.new("P", (left + width + right, top + height + bottom), 0)
    sheet.putpalette(image.getpalette() or [])
    sheet.info["transparency"] = 0
    sheet.paste(big, (left, top))
    return sheet


def on_white(image: Image.Image) -> Image.Image:
    """Replace the transparent ground by a flat white one."""
    flat = image.copy()
    flat.putpalette(WHITE + bytes(image.getpalette() or [])[3:])
    del flat.info["transparency"]
    return flat


def save(image: Image.Image, path: Path) -> None:
    """Write an indexed PNG that holds nothing but the picture."""
    image.save(path, optimize=True)


def row(name: str, picture: Picture, image: Image.Image) -> str:
    """Describe a figure as one row of the table in the notes."""
    size = f"{image.width} × {image.height}"
    holes = len(picture.holes())
    traits = [
        f"{holes} see-through hole{'s' if holes > 1 else ''}" if holes else "",
        "corner joints" if picture.parts() > 1 else "",
        "two 12 in squares wide at 3/16 in a cell" if image.width > PANEL else "",
    ]
    noted = ", ".join(trait for trait in traits if trait) or "-"
    return f"| {name} | {size} | {len(picture.palette)} | {len(picture.cells)} | {noted} |"


def check(name: str, picture: Picture, image: Image.Image) -> None:
    """Insist on what the figures promise: colours, and a cell size one can recover."""
    colours = set(picture.palette.values())
    assert set(picture.cells.values()) == set(picture.palette), f"{name}: unused colour"
    assert len(colours) == len(picture.palette), f"{name}: same colour twice"
    assert 5 <= len(colours) <= 16, f"{name}: {len(colours)} colours"
    for turned in (image, image.transpose(Image.Transpose.TRANSPOSE)):
        edges = colour_edges(turned)
        steps = [after - before for before, after in pairwise(edges)]
        assert len(edges) >= 5, f"{name}: too few colour edges"
        assert math.gcd(*steps) == 1, f"{name}: the cell size would be taken too large"


def colour_edges(image: Image.Image) -> list[int]:
    """List the columns whose colours differ somewhere from the column before."""
    lines = [image.crop((x, 0, x + 1, image.height)).tobytes() for x in range(image.width)]
    return [x for x in range(1, image.width) if lines[x] != lines[x - 1]]


if __name__ == "__main__":
    main()
