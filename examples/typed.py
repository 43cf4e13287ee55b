"""From a picture to a choice among several in typed lines, which type checkers accept as they are."""

from pathlib import Path

import numpy as np

import squarewright as sw

POND = Path(__file__).parent / "pond"


def chosen(panel: sw.Panel, stock: sw.Stock) -> sw.Plan:
    """Compare a photo in several ways and take the one that is done first."""
    sheet = sw.compare(
        POND / "kingfisher-over-water.jpg", columns=(16, 24), colours=(4, 8), panel=panel, stock=stock
    )
    hours = [sum(tile.plan.summary["hours"]) if tile.plan else np.inf for tile in sheet.tiles]
    plan: sw.Plan = sheet.plan(int(np.argmin(hours)))
    return plan.replace(hand="left", name="kingfisher")


def main() -> None:
    """Print what was chosen, and how three figures rank."""
    panel = sw.Panel("12 in", "12 in", thickness="1/4 in")
    plan = chosen(panel, sw.Stock.basic())
    colours = np.asarray(plan.grid)
    print(plan, colours.shape, plan.fit.text(plan.fit.pitch))
    print(sw.rank([POND / f"{name}.png" for name in ("heron", "frog", "newt")], panel=panel))


if __name__ == "__main__":
    main()
