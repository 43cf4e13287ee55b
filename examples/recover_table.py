"""Measures recovery on any folder of sprites: ``python examples/recover_table.py FOLDER [COPIES]``.

Each copy is a sprite of the folder (PNG, one pixel a cell) put through one family of degradations of
``tests/copies.py``; the table shows how often the grid, and 99 of 100 colours, came out right.
"""

import importlib
import sys
import time
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np

import squarewright as sw

HERE = Path(__file__).resolve().parent
LEAST = 8  # cells a side: fewer leave the pitch open
NEAR = 6  # levels in each channel: about what the eye just sees


def load_copies() -> Any:
    """Load the degradations that the tests use."""
    sys.path.insert(0, str(HERE.parent / "tests"))
    return importlib.import_module("copies")


def main() -> int:
    """Print one line for each family."""
    if len(sys.argv) not in (2, 3):
        print(__doc__)
        return 2
    copies, count = load_copies(), int(sys.argv[2]) if len(sys.argv) == 3 else 40
    sprites = [np.array(sw.read_picture(path)) for path in sorted(Path(sys.argv[1]).rglob("*.png"))]
    sprites = [sprite for sprite in sprites if min(sprite.shape[:2]) >= LEAST and max(sprite.shape[:2]) <= 64]
    if not sprites:
        print(f"no sprites of {LEAST} to 64 pixels a side in {sys.argv[1]}")
        return 1
    print(f"{'family':<20}{'grid':>8}{'colours':>9}{'sure':>8}{'time':>10}")
    for family in copies.FAMILIES:
        grids, colours, sure, times = [], [], [], []
        for seed in range(count):
            copy = copies.make(family, sprites[(seed * 97 + len(family)) % len(sprites)], seed)
            start = time.perf_counter()
            found = sw.recover(copy.picture, background="keep")
            times.append(time.perf_counter() - start)
            grids.append(copies.has_grid(copy, found))
            colours.append(grids[-1] and copies.colours_right(copy, found, NEAR) >= 0.99)
            sure.append(found.confidence >= 0.99)
        shares = "".join(f"{100 * np.mean(part):8.1f}%" for part in (grids, colours, sure))
        print(f"{family:<20}{shares[1:]}{1000 * median(times):7.0f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
