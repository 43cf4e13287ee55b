"""Pixelate the picture that is open in GIMP 3 and plan it: for the Python console.

That is under Filters > Development > Python-Fu.

GIMP has a Python of its own, which must find the package. In a terminal, with any Python 3.11 or newer:
``pip install --no-deps --target FOLDER squarewright``; then write that folder below, and paste it all.
"""

import os
import sys
from pathlib import Path

import gi

gi.require_version("Gimp", "3.0")
gi.require_version("Gegl", "0.4")
from gi.repository import Gegl, Gimp  # noqa: E402

FOLDER = os.environ.get("PACKAGE_FOLDER", "")
OUT = Path(os.environ.get("PLAN_FOLDER", Path.home() / "panel-plan"))
COLUMNS, COLOURS, PANEL = 48, 12, ("12 in", "12 in")

if FOLDER:
    sys.path.insert(0, FOLDER)

import squarewright as sw  # noqa: E402


def main() -> None:
    """Pixelate and plan the first open picture as it is seen; it stays as it is."""
    images = Gimp.get_images()
    if not images:
        print("Open a picture first.")
        return
    image = images[0]
    seen = Gimp.Layer.new_from_visible(image, image, "seen")
    whole = Gegl.Rectangle.new(0, 0, seen.get_width(), seen.get_height())
    data = seen.get_buffer().get(whole, 1.0, "R'G'B'A u8", Gegl.AbyssPolicy.NONE)
    seen.delete()
    file = image.get_imported_file() or image.get_file()
    name = file.get_basename() if file else None
    picture = sw.Picture.from_rgba(bytes(data), whole.width, whole.height, name)
    grid = sw.pixelate(picture, columns=COLUMNS, colours=COLOURS)
    plan = sw.plan(grid, panel=sw.Panel(*PANEL))
    print(grid)
    for written in plan.write(OUT, mkdir=True):
        print(written)


main()
