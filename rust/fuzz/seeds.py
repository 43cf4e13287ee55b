"""The files that fuzzing begins with: small, all made here, one folder for each corpus."""

import random
from pathlib import Path

import numpy as np

import squarewright as sw
from made import document, figure, gif, png, profile

PAINTS = sw.Stock(
    [
        sw.Paint("reed green", "#3c7a3a", ml=59, price=4.5, currency="EUR", opacity="half", owned=True),
        sw.Paint("pond blue", "#2b3a93", tint="#7f8fd6", share=0.1, white="#f4f3ee"),
        sw.Paint("lily white", "#f4f3ee"),
    ]
)

CSV = '\ufeffname;colour;ml;price\r\nrot;#b3202b;59,5;4,50 EUR\r\n\'=odd;"#fff";;\r\n'

OLD_GPL = "GIMP Palette\n# pond\n179 32 43 red\n255 255 255\n"


def pictures() -> dict[str, list[bytes]]:
    """Give small pictures of each format."""
    small, opaque, indexed = figure.rgba(1), figure.opaque(3), figure.in_palette()
    tags = figure.held(6)
    return {
        "png": [
            png.of_pixels(small),
            figure.saved(indexed, "PNG", exif=tags, dpi=(72, 72), transparency=0),
            png.packed((5, 2), 1, png.GREY, [b"\x50", b"\xa8"]),
            png.packed((3, 1), 16, png.GREY, [bytes(6)]),
            png.lily(png.profile(profile.matrix_profile(profile.DISPLAY_P3))),
        ],
        "jpeg": [
            figure.jpeg(opaque),
            figure.jpeg(opaque, progressive=True, exif=tags),
            figure.saved(opaque[..., :3], "JPEG", quality=60, subsampling=2, restart_marker_rows=1),
            figure.saved(opaque[..., 0], "JPEG", quality=80),
        ],
        "gif": [gif.lily(), figure.saved(indexed, "GIF", transparency=0)],
        "bmp": [figure.saved(indexed, "BMP"), figure.saved(small, "BMP")],
        "webp": [
            figure.saved(small, "WEBP", lossless=True),
            figure.saved(opaque, "WEBP", quality=60, exif=tags),
            figure.saved(figure.rgba(2), "WEBP", quality=60),
        ],
        "ora": [document.ora(png.of_pixels(small))],
    }


def plans() -> list[bytes]:
    """Give plans as text: one figure, ways to make it."""
    grid = sw.Grid([[0, -1], [0, 1]], ["#b3202b", "#2b3a93"])
    panel = sw.Panel("12 in", "12 in")
    return [
        sw.plan(grid, panel=panel).to_json().encode(),
        sw.plan(grid, panel=panel, pitch="1/2 in", ending="whole square", stock=PAINTS).to_json().encode(),
    ]


def texts() -> list[bytes]:
    """Give lists of paints in each of their forms."""
    return [
        PAINTS.to_toml().encode(),
        PAINTS.to_csv().encode(),
        PAINTS.to_gpl().encode(),
        CSV.encode(),
        CSV.encode("utf-16"),
        OLD_GPL.encode(),
    ]


def chances(name: str) -> list[bytes]:
    """Give bytes by chance, for what is made from them; the same each time."""
    chance = np.random.default_rng(random.Random(name).randrange(1 << 32))
    return [chance.bytes(size) for size in (8, 64, 200, 200, 400, 400, 900, 900)]


def write(folder: Path) -> dict[str, Path]:
    """Write all corpora below a folder and give where each is."""
    kinds = pictures() | {"stock": texts(), "plan": plans()}
    kinds |= {name: chances(name) for name in ("recover", "pixelate", "cuts")}
    for name, files in kinds.items():
        (folder / name).mkdir(parents=True, exist_ok=True)
        for number, data in enumerate(files):
            (folder / name / f"{number}").write_bytes(data)
    return {name: folder / name for name in kinds}
