"""The most memory that a child of its own held, beside what a picture of that size is promised."""

import tempfile
from pathlib import Path

import material
from PIL import Image

import measured

WALL = Path(__file__).parents[2] / "examples" / "pond-wall.toml"

CASES = {
    "import alone": ("pass", 0),
    "read a JPEG": ("sw.read_picture('photo.jpg')", 4000 * 3000 * 4),
    "pixelate it": ("sw.pixelate('photo.jpg', columns=60, colours=16)", 4000 * 3000 * 4),
    "recover a PNG": ("sw.recover('figure.png')", 4096 * 4096 * 4),
    "plan and book of 64 × 64 cells": (
        "sw.plan(sw.recover('small.png').grid, panel=sw.Panel('12 in', '12 in')).to_pdf()",
        1024 * 1024 * 4,
    ),
    "the pond wall, fourteen figures": (f"sw.read_wall({str(WALL)!r}).plan().to_pdf()", 0),
}
"""What a child does, and the bytes of the picture once it is unpacked."""


def table() -> None:
    """Print one line for each case, in MiB; promised are four times the picture and 100 MiB."""
    print("| what | picture unpacked | peak | promised |\n|---|---|---|---|")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        Image.fromarray(material.photo(4000, 3000)).save(folder / "photo.jpg", quality=90)
        (folder / "figure.png").write_bytes(material.enlarged(material.figure(64), 64))
        (folder / "small.png").write_bytes(material.enlarged(material.figure(64), 16))
        for what, (work, unpacked) in CASES.items():
            answer = measured.python("-c", f"import squarewright as sw; {work}", folder=folder, patience=120)
            assert answer.status == 0, answer.err
            promised = f"{4 * unpacked / 2**20 + 100:.0f}" if unpacked else "–"
            print(f"| {what} | {unpacked / 2**20:.0f} | {answer.mebibytes:.0f} | {promised} |", flush=True)
