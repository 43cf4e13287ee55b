"""Ctrl-C is answered within a quarter of a second, at whatever moment it comes.

Ten moments, the same each time, spread over the longest run of each long function.
"""

import random
import signal
import subprocess
import sys
import time

import pytest

SECONDS = 0.25
MOMENTS = 10

READY = """
import signal, sys, time, warnings
import numpy as np
import squarewright as sw
warnings.simplefilter("ignore")
# a shell lets what it runs in the background ignore the signal
signal.signal(signal.SIGINT, signal.default_int_handler)
"""

LOOP = """
for _ in range({moments}):
    print("ready", flush=True)
    try:
        while True:
            {work}
    except KeyboardInterrupt:
        print(time.time(), flush=True)
"""

PIXELS = """
noise = np.random.default_rng(1).integers(0, 255, (6000, 6000, 4), np.uint8)
picture = sw.Picture.from_rgba(noise.tobytes(), 6000, 6000)
def recover():
    try: sw.recover(picture)
    except sw.GridError: pass
"""

LARGEST = """
random = np.random.default_rng(1)
palette = [(4 * number, 37 * number % 256, 255 - 4 * number) for number in range(64)]
grid = sw.Grid(random.integers(0, 64, (512, 512)), palette)
panel = sw.Panel("12 in", "12 in")
plan = sw.plan(grid, panel=panel, pitch="1/8 in")
text = plan.to_json()
"""

STOCK = """
random = np.random.default_rng(1)
levels = random.integers(0, 255, (224, 3)).tolist()
stock = sw.Stock([sw.Paint(f"paint {number}", level) for number, level in enumerate(levels[:200])])
colours = levels[200:]
chart = sw.Grid([list(range(24))], colours)
figures = [sw.Grid(random.integers(-1, 3, (20, 20)), ["#000", "#f00", "#fff"]) for _ in range(200)]
"""

WORK = {
    "decode a JPEG of 100 megapixels": (
        "data = open('big.jpg', 'rb').read()",
        "sw.Picture.decode(data)",
        0.8,
    ),
    "read a JPEG of 100 megapixels": ("", "sw.read_picture('big.jpg')", 2.0),
    "read a PNG of 100 megapixels": ("", "sw.read_picture('big.png')", 2.0),
    "recover": (PIXELS, "recover()", 0.5),
    "plan the largest grid": (LARGEST, "sw.plan(grid, panel=panel, pitch='1/8 in')", 0.2),
    "its book": (LARGEST, "plan.to_pdf()", 2.0),
    "its template": (LARGEST, "plan.to_svg()", 0.5),
    "its preview": (LARGEST, "plan.to_png()", 0.8),
    "its text and back": (LARGEST, "sw.Plan.from_json(plan.to_json())", 0.3),
    "pixelate": (PIXELS, "sw.pixelate(picture, columns=512, colours=64)", 1.5),
    "compare": (PIXELS, "sw.compare(picture, panel=sw.Panel('12 in', '12 in'))", 2.0),
    "plan with paints": (STOCK, "sw.plan(chart, panel=sw.Panel('12 in', '12 in'), stock=stock)", 0.5),
    "buy": (STOCK, "sw.buy(colours, stock, 4.0)", 1.0),
    "nest": (STOCK, "sw.nest(figures, sw.Panel('12 in', '12 in'), pitch='1/8 in')", 1.0),
    "its lists": (LARGEST, "plan.marks_csv(); plan.colours_csv()", 0.1),
}
"""What comes before each long function, the call, and the seconds over which the moments are spread."""


BIG = """
import numpy as np
from PIL import Image
down, across = np.mgrid[:10_000, :10_000].astype(np.uint16)
image = Image.fromarray(np.dstack([across % 251, down % 241, (across + down) % 239]).astype(np.uint8))
image.save("big.jpg", quality=80)
image.save("big.png", compress_level=1)
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Make pictures of the most pixels that are read, in a child: this process is to stay small."""
    place = tmp_path_factory.mktemp("big")
    subprocess.run([sys.executable, "-c", BIG], cwd=place, check=True)
    return place


@pytest.mark.parametrize("name", WORK)
def test_ctrl_c_is_answered_at_once_at_any_moment(name, folder):
    before, work, latest = WORK[name]
    script = READY + before + LOOP.format(moments=MOMENTS, work=work)
    child = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True, cwd=folder)
    chance, took = random.Random(name), []
    try:
        for _ in range(MOMENTS):
            assert child.stdout.readline() == "ready\n"
            time.sleep(chance.uniform(0.005, latest))
            sent = time.time()
            child.send_signal(signal.SIGINT)
            took.append(float(child.stdout.readline()) - sent)
    finally:
        child.kill()
        child.stdout.close()
        child.wait(30)
    assert max(took) < SECONDS, [round(seconds, 3) for seconds in took]
