"""Make the pictures of the README, those of the painted photos aside, which ``pond/paint.py`` makes.

Run it with ``python examples/pictures.py`` once squarewright is installed. It needs Pillow, and pypdfium2 to
show pages of the book; it writes beside itself, or into a folder that it is given.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pypdfium2 as pdfium
from PIL import Image

import squarewright as sw

HERE = Path(__file__).resolve().parent
POND = HERE / "pond"
PANEL = sw.Panel("12 in", "12 in", thickness="1/4 in")
GROUND, GAP, DOTS = "#d8d8d8", 12, 72


def main(folder: Path = HERE) -> None:
    """Make all of them.

    Parameters
    ----------
    folder : Path
        Where they go.
    """
    plan = sw.plan(POND / "heron.png", panel=PANEL, stock=sw.read_stock(HERE / "paints.csv"))
    folder.joinpath("heron-preview.png").write_bytes(plan.to_png())
    pages(plan).save(folder / "heron-pages.png", optimize=True)
    wall = sw.read_wall(HERE / "pond-wall.toml").plan()
    folder.joinpath("pond-wall.png").write_bytes(wall.to_png())
    compared().save(folder / "kingfisher-compared.png", optimize=True)


def pages(plan: sw.Plan) -> Image.Image:
    """Set sheets of a book side by side: a chart, mixes, and a template at true size."""
    shown = [
        pdfium.PdfDocument(plan.to_pdf(pages=kind))[0].render(scale=DOTS / 72).to_pil()
        for kind in ("chart", "mixing", "template")
    ]
    width, height = shown[0].size
    sheet = Image.new("RGB", (GAP + len(shown) * (width + GAP), height + 2 * GAP), GROUND)
    for place, page in enumerate(shown):
        sheet.paste(page, (GAP + place * (width + GAP), GAP))
    return sheet


def compared() -> Image.Image:
    """Show the painted kingfisher in two sizes with two numbers of colours."""
    photo = POND / "kingfisher-over-water.jpg"
    sheet = sw.compare(photo, columns=(32, 60), colours=(8, 16), panel=PANEL, stock=sw.Stock.basic())
    shown = Image.open(io.BytesIO(sheet.to_png())).convert("RGB")
    return shown.quantize(128, dither=Image.Dither.NONE)


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:2]))
