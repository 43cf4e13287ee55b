"""Pixelate the picture that is open in Krita and plan it: for Tools > Scripts > Scripter.

Krita has a Python of its own, which must find the package. In a terminal, with any Python 3.11 or newer:
``pip install --no-deps --target FOLDER squarewright``; then write that folder below.
"""

import os
import sys
from collections.abc import Sequence
from pathlib import Path

FOLDER = os.environ.get("PACKAGE_FOLDER", "")
OUT = Path(os.environ.get("PLAN_FOLDER", Path.home() / "panel-plan"))
COLUMNS, COLOURS, PANEL = 48, 12, ("12 in", "12 in")

if FOLDER:
    sys.path.insert(0, FOLDER)

from krita import Krita  # noqa: E402

import squarewright as sw  # noqa: E402

# In the Scripter Krita's own Qt is loaded already, whichever that is.
QImage = next(module.QImage for name, module in sys.modules.items() if name in ("PyQt5.QtGui", "PyQt6.QtGui"))


def main(arguments: Sequence[str] = ()) -> None:
    """Pixelate and plan; ``kritarunner`` gives a picture to open."""
    krita = Krita.instance()
    if arguments:
        krita.setBatchmode(True)
        document = krita.openDocument(arguments[0])
    else:
        document = krita.activeDocument()
    if document is None:
        print("Open a picture first.")
        return
    width, height = document.width(), document.height()
    seen = document.projection(0, 0, width, height).convertToFormat(QImage.Format.Format_RGBA8888)
    data = seen.constBits()
    data.setsize(seen.sizeInBytes())
    picture = sw.Picture.from_rgba(bytes(data), width, height, Path(document.fileName()).name or None)
    grid = sw.pixelate(picture, columns=COLUMNS, colours=COLOURS)
    plan = sw.plan(grid, panel=sw.Panel(*PANEL))
    print(grid)
    for written in plan.write(OUT, mkdir=True):
        print(written)


if __name__ == "__main__":
    main()
