"""A picture in the making: cells, each holding one letter of a palette."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from lattice import Cell, Cells, around, shifted
from PIL import Image

Palette = Mapping[str, str]


@dataclass
class Picture:
    """Paint cell by cell; every colour is a letter of the palette."""

    palette: Palette
    cells: dict[Cell, str] = field(default_factory=dict)

    def fill(self, shape: Iterable[Cell], colour: str) -> None:
        """Paint the shape in one flat colour."""
        self.cells.update(dict.fromkeys(shape, colour))

    def tint(self, shape: Iterable[Cell], colour: str, only: str) -> None:
        """Paint those cells of the shape that now hold one of the given colours."""
        self.fill([cell for cell in shape if self.cells.get(cell, "") in set(only)], colour)

    def shade(
        self,
        shape: Cells,
        ramp: str,
        lit: Cell = (1, 1),
        dim: Cell = (1, 2),
        edge: str = "",
    ) -> None:
        """Model a rounded part, light falling from the top left.

        The ramp runs light, middle, dark and (if given) darkest. The light
        band is as wide as the step `lit` and the dark one as the step `dim`;
        the darkest shade takes the outer half of the dark band. An `edge`
        colour draws a line round the part, to lift it off what lies behind.
        """
        if edge:
            self.tint(around(shape), edge, "".join(self.palette))
        self.fill(shape, ramp[1])
        self.fill(shape - shifted(shape, *lit), ramp[0])
        self.fill(shape - shifted(shape, -dim[0], -dim[1]), ramp[2])
        if len(ramp) > 3:
            half = (dim[0] // 2, (dim[1] + 1) // 2)
            self.fill(shape - shifted(shape, -half[0], -half[1]), ramp[3])

    def stamp(self, x: int, y: int, drawing: str) -> None:
        """Paint a small drawing made of letters; a dot leaves the cell alone."""
        for down, line in enumerate(drawing.strip("\n").splitlines()):
            for across, colour in enumerate(line.strip()):
                if colour != ".":
                    self.cells[(x + across, y + down)] = colour

    def outline(self, edges: Sequence[tuple[str, str]]) -> None:
        """Draw the line round the whole figure, in dark shades of its own colours.

        Each pair names some colours of the figure and the two line shades that
        go with them: the first facing the light, the second in the shadow.
        """
        shades = {colour: pair for colours, pair in edges for colour in colours}
        found: dict[Cell, str] = {}
        for x, y in sorted(around(frozenset(self.cells))):
            for dx, dy, side in ((0, -1, 1), (-1, 0, 1), (1, 0, 0), (0, 1, 0)):
                inner = shades.get(self.cells.get((x + dx, y + dy), ""))
                if inner:
                    found[(x, y)] = inner[side]
                    break
        self.cells.update(found)

    def mend(self, colour: str, least: int = 4) -> None:
        """Fill the openings of fewer cells than `least`: no blade could cut them."""
        for hole in self.holes():
            if len(hole) < least:
                self.fill(hole, colour)

    def parts(self) -> int:
        """Count the parts that hold together by cell edges, not by corners."""
        return len(regions(frozenset(self.cells)))

    def holes(self) -> list[Cells]:
        """Find the see-through openings, each wholly enclosed by the figure."""
        left, top, right, bottom = self.box()
        room = frozenset((x, y) for x in range(left - 1, right + 2) for y in range(top - 1, bottom + 2))
        gaps = regions(room - frozenset(self.cells))
        return [gap for gap in gaps if (left - 1, top - 1) not in gap]

    def box(self) -> tuple[int, int, int, int]:
        """Give the first column and row in use, then the last ones."""
        across, down = {x for x, _ in self.cells}, {y for _, y in self.cells}
        return (min(across), min(down), max(across), max(down))

    def image(self) -> Image.Image:
        """Render one pixel to a cell, trimmed, on an indexed transparent ground."""
        left, top, right, bottom = self.box()
        used = sorted(set(self.cells.values()))
        image = Image.new("P", (right - left + 1, bottom - top + 1), 0)
        colours = b"\0\0\0" + b"".join(bytes.fromhex(self.palette[key][1:]) for key in used)
        image.putpalette(colours)
        image.info["transparency"] = 0
        for (x, y), key in self.cells.items():
            image.putpixel((x - left, y - top), used.index(key) + 1)
        return image


def regions(cells: Cells) -> list[Cells]:
    """Split the cells into regions joined by edges, in reading order."""
    left_over, found = set(cells), list[Cells]()
    for start in sorted(cells, key=lambda cell: (cell[1], cell[0])):
        if start not in left_over:
            continue
        region, front = {start}, {start}
        while front:
            front = set(around(frozenset(front))) & left_over - region
            region |= front
        left_over -= region
        found.append(frozenset(region))
    return found
