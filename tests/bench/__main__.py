"""Compares each room with what a person would write by hand, shows how times grow, and what memory is held.

    python tests/bench [rooms] [growth] [memory]

Both ways of a room are timed in turns within one run; figures are medians.
"""

import io
import os
import platform
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import by_hand
import growth
import material
import memory
import numpy as np
import rounds
from PIL import Image
from rounds import Case

import solvers
import squarewright as sw

PANEL = sw.Panel("12 in", "12 in")


def reading() -> list[Case]:
    """Recover and pixelate."""
    data, pixels = material.enlarged(material.figure(64), 16), material.photo(4000, 3000)
    pixelate = partial(sw.pixelate, pixels, columns=96, rows=72, colours=24)
    cut = partial(by_hand.box_and_median_cut, pixels, (96, 72), 24)
    means = partial(by_hand.area_and_kmeans, pixels, (96, 72), 24)
    return [
        Case(
            "picture",
            "a PNG of 1024 × 1024 into an array",
            partial(sw.read_picture, data),
            lambda: np.asarray(Image.open(io.BytesIO(data)).convert("RGBA")),
            "Pillow",
        ),
        Case(
            "recover",
            "64 × 64 cells at × 16, from a PNG",
            partial(sw.recover, data),
            partial(by_hand.recover, data),
            "Pillow, numpy; exact copies alone",
        ),
        Case(
            "pixelate",
            "12 megapixels to 96 × 72, every cell",
            partial(pixelate, brushwork="every cell"),
            cut,
            "Pillow, box and median cut",
        ),
        Case("pixelate", "the same, easy (calm, no specks)", pixelate, cut, "the same"),
        Case("pixelate", "the same, easy", pixelate, means, "OpenCV, scikit-image, scikit-learn; not calmed"),
    ]


def choosing(folder: Path) -> list[Case]:
    """Compare, mix and buy."""
    path, stock = folder / "photo.jpg", material.thirty_paints()
    Image.fromarray(material.photo(4000, 3000)).save(path, quality=90)
    sheet = partial(by_hand.contact_sheet, path, ((32, 24), (48, 36), (64, 48)), (8, 12, 16))
    colours = material.COLOURS
    ways = solvers.minimal(sw.ways(colours, stock, tolerance=3))
    costs = {paint.name: 1 for paint in stock.paints}
    paints = np.array([paint.colour for paint in stock.paints]) / 255
    wanted = np.array([0x5B, 0x8A, 0x45]) / 255
    return [
        Case(
            "compare",
            "3 × 3 from a JPEG of 12 megapixels",
            lambda: sw.compare(path, panel=PANEL).to_png(),
            sheet,
            "Pillow; pictures alone, no plans",
        ),
        Case(
            "mix",
            "a colour of 3 of 30 paints, 12 parts",
            lambda: sw.mix("#5b8a45", stock, max_parts=12),
            partial(by_hand.mix, wanted, paints, 12),
            "numpy, scikit-image; means, not paint",
        ),
        Case(
            "buy",
            "24 colours, 30 paints, within 3",
            lambda: sw.buy(colours, stock, tolerance=3),
            partial(solvers.cheapest_paints, ways, costs),
            "scipy (HiGHS); sets given, ours finds them",
        ),
    ]


def making() -> list[Case]:
    """Cuts, nesting and the book."""
    grid = sw.recover(material.figure(64)).grid
    many = sw.pixelate(material.photo(1280, 1280), columns=64, rows=64, colours=16)
    fit, cells, stock = sw.fit(grid, panel=PANEL), np.asarray(grid.cells), material.thirty_paints()
    boxes = material.RECTANGLES
    whole = [material.solid(*box) for box in boxes]
    square = sw.Panel("20 in", "20 in")
    nest = partial(sw.nest, whole, square, pitch="1 in", gap="0 in", step="1 in")
    return [
        Case(
            "cuts",
            "a figure of 64 × 64 cells",
            lambda: sw.plan_cuts(grid, fit),
            partial(by_hand.outline, cells, 0.67),
            "shapely; outline and clearance alone",
        ),
        Case(
            "nest",
            "sixteen rectangles on 20 × 20, exactly",
            nest,
            partial(solvers.fewest_panels, boxes, 20),
            "OR-tools (CP-SAT)",
            3,
        ),
        Case(
            "book",
            "64 × 64, 16 colours, 30 paints, all sheets",
            lambda: sw.plan(many, panel=PANEL, stock=stock).to_pdf(),
            partial(by_hand.chart, np.asarray(many.cells), many.palette),
            "matplotlib; the chart alone",
            3,
        ),
    ]


def bulk(folder: Path) -> list[Case]:
    """Many photos, in as many threads as Pillow has."""
    paths, workers = material.write_photos(folder), os.cpu_count() or 1
    settings = sw.Settings(panel="12in x 12in", pixelate=True, columns=60, colours=16, files=("plan.json",))
    threads = ThreadPoolExecutor(workers)

    def decode() -> None:
        list(threads.map(by_hand.decode, paths))

    return [
        Case(
            "bulk",
            "pixelate 8 photos of 3 megapixels",
            lambda: list(threads.map(partial(sw.pixelate, columns=60, colours=16), paths)),
            decode,
            "Pillow; decoding alone",
        ),
        Case(
            "bulk",
            "plan them, with the journal",
            lambda: sw.plan_many(paths, settings, folder / "plans", resume=False),
            decode,
            "the same",
        ),
    ]


def starting() -> list[Case]:
    """Start a Python."""
    run = partial(subprocess.run, check=True, capture_output=True)
    return [
        Case(
            "start",
            "import squarewright",
            lambda: run([sys.executable, "-c", "import squarewright"]),
            lambda: run([sys.executable, "-c", "import numpy"]),
            "import numpy",
        ),
        Case(
            "start",
            "squarewright --help",
            lambda: run([sys.executable, "-m", "squarewright", "--help"]),
            lambda: run([sys.executable, "-c", "pass"]),
            "Python alone",
        ),
    ]


def rooms() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rounds.table([*reading(), *choosing(folder), *making(), *bulk(folder), *starting()])


def machine() -> str:
    """Name the processor, the cores and the Python."""
    lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines() if sys.platform == "linux" else []
    model = next(
        (line.partition(":")[2].strip() for line in lines if line.startswith("model name")),
        platform.machine(),
    )
    return f"{os.cpu_count()} cores of {model}, Python {platform.python_version()}"


if __name__ == "__main__":
    asked = sys.argv[1:] or ["rooms", "growth", "memory"]
    print(machine())
    for part in asked:
        print()
        {"rooms": rooms, "growth": partial(growth.table, 3), "memory": memory.table}[part]()
