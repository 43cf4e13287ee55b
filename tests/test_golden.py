"""Whole books as hashes: what changes a page unasked shows here. ``make bless`` writes them anew."""

import hashlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

import squarewright as sw

POND = Path(__file__).parent.parent / "examples" / "pond"
HASHES = Path(__file__).parent / "golden.txt"
STOCK = sw.read_stock(POND.parent / "paints.csv")
FIGURES = ["bulrush", "dragonfly", "frog", "heron", "kingfisher", "lily", "moorhen", "newt", "otter"]
WAYS = {
    "letter": {"paper": "letter"},
    "a4-metric-de": {"paper": "a4", "units": "metric", "language": "de"},
    "letter-large-grey": {"large_print": True, "ink": "grey"},
}


def books(figure: str) -> dict[str, str]:
    across = 2 if figure == "otter" else 1
    panel = sw.Panel("12 in", "12 in", thickness="1/4 in")
    plan = sw.plan(POND / f"{figure}.png", panel=panel, across=across, stock=STOCK, name=figure)
    return {
        f"{figure} {way}": hashlib.sha256(plan.to_pdf(**printing)).hexdigest()
        for way, printing in WAYS.items()
    }


@pytest.mark.parametrize("figure", FIGURES)
def test_books_are_as_they_were(figure: str) -> None:
    known = dict(line.rsplit(" ", 1) for line in HASHES.read_text().splitlines())
    found = books(figure)
    assert found == {name: known[name] for name in found}, "look at the pages, then run make bless"


def test_threads_at_the_same_time_write_the_same_books() -> None:
    with ThreadPoolExecutor(4) as pool:
        assert len({tuple(found.items()) for found in pool.map(books, ["frog"] * 4)}) == 1


if __name__ == "__main__":
    lines = [f"{name} {code}" for figure in FIGURES for name, code in books(figure).items()]
    HASHES.write_text("\n".join([*lines, ""]))
