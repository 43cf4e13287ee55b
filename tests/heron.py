"""The heron of the pond, to be put under any name."""

import os
from pathlib import Path

HERON = Path(__file__).parent.parent / "examples" / "pond" / "heron.png"
PANEL = ["--panel", "12in x 12in"]


def picture(name: str | bytes) -> str:
    """Put the heron in the current folder under a name."""
    name = os.fsdecode(name)
    Path(name).write_bytes(HERON.read_bytes())
    return name
