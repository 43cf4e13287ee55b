"""Times the main road as ratios to Pillow, by medians of interleaved runs.

The figure is 64 × 64 cells of the demo's own art, enlarged sixteen times; its unit is decoding that file.
The photo is 12 megapixels of our own painting, in memory; its unit is shrinking it to 96 × 72 pixels and
choosing 24 colours. Many photos are eight of 3 megapixels, cut from the same painting; their unit is decoding
them all with Pillow in as many threads.
"""

import io
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from statistics import median

import numpy as np
from PIL import Image

import squarewright as sw

POND = Path(__file__).parent / "pond"
RUNS = 9


def figure() -> bytes:
    """Give a PNG of 64 × 64 cells at 16 pixels a cell."""
    pixels = sw.read_picture(POND / "moorhen.png")
    tiled = np.tile(pixels, (2, 2, 1))[:64, :64]
    out = io.BytesIO()
    Image.fromarray(tiled.repeat(16, axis=0).repeat(16, axis=1)).save(out, "PNG")
    return out.getvalue()


def seconds(work: Callable[[], object]) -> float:
    """Time one run."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def photo() -> np.ndarray:
    """Give the painted kingfisher enlarged to 12 megapixels, uint8 of shape (3000, 4000, 3)."""
    with Image.open(POND / "kingfisher-over-water.jpg") as image:
        return np.asarray(image.convert("RGB").resize((4000, 3000), Image.Resampling.BICUBIC))


def box_and_median_cut(array: np.ndarray) -> Image.Image:
    """Shrink an array with Pillow and reduce it to 24 colours."""
    small = Image.fromarray(array).resize((96, 72), Image.Resampling.BOX)
    return small.quantize(24, method=Image.Quantize.MEDIANCUT)


def write_photos(folder: Path) -> list[Path]:
    """Write eight photos of 2000 × 1500 pixels as JPEG, each another part of the painting."""
    whole = Image.fromarray(photo()).resize((2400, 1800), Image.Resampling.BICUBIC)
    paths = [folder / f"photo-{number}.jpg" for number in range(8)]
    for number, path in enumerate(paths):
        left, top = 50 * number, 40 * (number % 4)
        whole.crop((left, top, left + 2000, top + 1500)).save(path, quality=90)
    return paths


def decode(path: Path) -> None:
    """Decode a file with Pillow, which lets other threads run meanwhile."""
    with Image.open(path) as image:
        image.load()


def compare_many(folder: Path) -> None:
    """Print one line for each way through many photos."""
    paths, workers = write_photos(folder), os.cpu_count() or 1
    settings = sw.Settings(panel="12in x 12in", pixelate=True, columns=60, colours=16, files=("plan.json",))
    with ThreadPoolExecutor(workers) as threads:

        def in_threads(work: Callable[[Path], object]) -> None:
            list(threads.map(work, paths))

        compare(
            {
                "decode 8 photos with Pillow (the unit)": lambda: in_threads(decode),
                "pixelate 8 photos": lambda: in_threads(
                    lambda path: sw.pixelate(path, columns=60, colours=16)
                ),
                "plan 8 photos in bulk": lambda: sw.plan_many(
                    paths, settings, folder / "plans", resume=False
                ),
            }
        )


def compare(steps: dict[str, Callable[[], object]]) -> None:
    """Print one line for each step, with its ratio to the first."""
    times: dict[str, list[float]] = {name: [] for name in steps}
    for _ in range(RUNS):
        for name, work in steps.items():
            times[name].append(seconds(work))
    unit = median(next(iter(times.values())))
    for name, found in times.items():
        print(f"{name:<46}{median(found) * 1000:9.1f} ms{median(found) / unit:9.2f} ×")


def contact_sheet(array: np.ndarray) -> None:
    """Time a sheet of 3 × 3 from a JPEG file of 12 megapixels, with and without a list of paints."""
    panel, stock = sw.Panel("12 in", "12 in"), sw.Stock.basic()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "kingfisher.jpg"
        Image.fromarray(array).save(path, quality=90)
        compare(
            {
                "decode 12 megapixels (the unit)": lambda: sw.read_picture(path),
                "compare 3 × 3 from its file, PNG": lambda: sw.compare(path, panel=panel).to_png(),
                "the same with 30 paints": lambda: sw.compare(path, panel=panel, stock=stock).to_png(),
            }
        )


def main() -> None:
    """Print one line for each measured step."""
    data, array = figure(), photo()
    panel = sw.Panel("12 in", "12 in")
    pixelate = partial(sw.pixelate, columns=96, rows=72, colours=24)
    started = [sys.executable, "-c", "import squarewright"]
    helped = [sys.executable, "-m", "squarewright", "--help"]
    bare = [sys.executable, "-c", "pass"]
    compare(
        {
            "decode with Pillow (the unit)": lambda: np.asarray(Image.open(io.BytesIO(data)).convert("RGBA")),
            "recover 64 × 64 at ×16 from its file": lambda: sw.recover(data),
            "plan and PDF from its file": lambda: sw.plan(data, panel=panel).to_pdf(),
            "start Python and import": lambda: subprocess.run(started, check=True),
            "show the help of the command": lambda: subprocess.run(helped, check=True, capture_output=True),
            "start Python alone": lambda: subprocess.run(bare, check=True),
        }
    )
    compare(
        {
            "Pillow BOX and median cut (the unit)": lambda: box_and_median_cut(array),
            "pixelate 12 megapixels, every cell": lambda: pixelate(array, brushwork="every cell"),
            "pixelate 12 megapixels, easy": lambda: pixelate(array),
        }
    )
    contact_sheet(array)
    with tempfile.TemporaryDirectory() as folder:
        compare_many(Path(folder))


if __name__ == "__main__":
    main()
