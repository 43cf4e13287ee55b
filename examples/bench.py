"""Times the main road as ratios to one Pillow operation: decoding the same picture file.

Medians of interleaved runs; the figure is 64 × 64 cells of the demo's own art, enlarged sixteen times.
"""

import io
import subprocess
import sys
import time
from collections.abc import Callable
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


def main() -> None:
    """Print one line for each measured step."""
    data = figure()
    panel = sw.Panel("12 in", "12 in")
    started = [sys.executable, "-c", "import squarewright"]
    bare = [sys.executable, "-c", "pass"]
    steps: dict[str, Callable[[], object]] = {
        "decode with Pillow (the unit)": lambda: np.asarray(Image.open(io.BytesIO(data)).convert("RGBA")),
        "recover 64 × 64 at ×16 from its file": lambda: sw.recover(data),
        "plan and PDF from its file": lambda: sw.plan(data, panel=panel).to_pdf(),
        "start Python and import": lambda: subprocess.run(started, check=True),
        "start Python alone": lambda: subprocess.run(bare, check=True),
    }
    times: dict[str, list[float]] = {name: [] for name in steps}
    for _ in range(RUNS):
        for name, work in steps.items():
            times[name].append(seconds(work))
    unit = median(times["decode with Pillow (the unit)"])
    for name, found in times.items():
        print(f"{name:<40}{median(found) * 1000:9.1f} ms{median(found) / unit:9.2f} ×")


if __name__ == "__main__":
    main()
