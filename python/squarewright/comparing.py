"""One picture in several ways, side by side, each with the figures of its full plan."""

import base64
import html
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from functools import partial
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, Literal

from squarewright import _core, names, pictures, planning
from squarewright._core import Grid, Length, Panel, Picture, Plan, Recovery
from squarewright.errors import ArgumentError, GridError, InternalError, SquarewrightError
from squarewright.processors import processors

if TYPE_CHECKING:
    from numpy.typing import ArrayLike
    from typing_extensions import Unpack

COLUMNS, COLOURS = (32, 48, 64), (8, 12, 16)
MOST, ABREAST = _core.TILES, _core.TILES_ABREAST

_STYLE = (
    "<style>.squarewright td{padding:.4em .9em;vertical-align:top;text-align:left;min-width:25em}"
    ".squarewright dl{display:grid;grid-template-columns:max-content auto;gap:.1em .8em;margin:0}"
    ".squarewright dt{color:#5c626b}.squarewright dd{margin:0}.squarewright img{max-width:none}</style>"
)


@dataclass(frozen=True)
class Tile:
    """One way to make a picture.

    Attributes
    ----------
    columns, colours : int or None
        The columns and the most colours that were asked for; None for a figure that has its cells already.
    plan : Plan or None
        The full plan.
    error : SquarewrightError or None
        Why there is none.
    """

    columns: int | None
    colours: int | None
    plan: Plan | None
    error: SquarewrightError | None = None

    @property
    def row(self) -> dict[str, Any]:
        """What was asked for and what it comes to, ready for JSON; ``error`` alone when it cannot be made."""
        asked = {"columns_asked": self.columns, "colours_asked": self.colours}
        if self.plan is None:
            return {**asked, "error": str(self.error)}
        return {**asked, **self.plan.summary, "error": None}


@dataclass(frozen=True, repr=False)
class Comparison:
    """Several ways to make one picture, each with its full plan; from ``compare``.

    Attributes
    ----------
    name : str
        The name of the picture.
    tiles : tuple of Tile
        The ways, row by row as on the sheet.
    abreast : int
        How many stand side by side on it.
    distance : Length
        From where they are seen.
    notes : tuple of str
        What there is to know about the picture.
    """

    name: str
    tiles: tuple[Tile, ...]
    abreast: int
    distance: Length
    notes: tuple[str, ...] = ()

    @property
    def rows(self) -> list[dict[str, Any]]:
        """What each tile comes to, as a list of dicts ready for JSON."""
        return [tile.row for tile in self.tiles]

    @property
    def grids(self) -> list[Grid | None]:
        """The grid of each tile; None where it cannot be made."""
        return [None if tile.plan is None else tile.plan.grid for tile in self.tiles]

    def plan(self, index: int) -> Plan:
        """Give the full plan of a tile.

        Parameters
        ----------
        index : int
            Its place, from 0.

        Returns
        -------
        Plan

        Raises
        ------
        SquarewrightError
            What stands in its way, when it cannot be made.
        IndexError
            When there is no such tile.
        """
        tile = self.tiles[index]
        if tile.plan is None:
            assert tile.error is not None
            raise tile.error
        return tile.plan

    def to_png(self) -> bytes:
        """Draw the contact sheet as PNG, 96 pixels to the inch.

        Returns
        -------
        bytes
        """
        return _core._contact_png(self.name, self._told(), self.abreast, self.distance)

    def to_html(self) -> str:
        """Write the contact sheet as a page that stands by itself.

        Returns
        -------
        str
        """
        title = html.escape(self.name)
        head = f'<meta charset="utf-8"><title>{title}</title>'
        return (
            f'<!DOCTYPE html>\n<html lang="en"><head>{head}</head><body>{self._repr_html_()}</body></html>\n'
        )

    def _told(self) -> list[tuple[tuple[int, int] | None, Plan | str]]:
        told: list[tuple[tuple[int, int] | None, Plan | str]] = []
        for tile in self.tiles:
            known = tile.columns is None or tile.colours is None
            asked = None if known else (tile.columns or 0, tile.colours or 0)
            told.append((asked, tile.plan or str(tile.error)))
        return told

    def _repr_png_(self) -> bytes:
        return self.to_png()

    def _repr_html_(self) -> str:
        remark, told = _core._contact_words(self._told(), self.distance)
        cells = [_cell(*each) for each in told]
        rows = [cells[start : start + self.abreast] for start in range(0, len(cells), self.abreast)]
        table = "".join(f"<tr>{''.join(row)}</tr>" for row in rows)
        said = "".join(f"<p>{html.escape(words)}</p>" for words in (remark, *self.notes))
        head = f"<h2>{html.escape(self.name)}</h2>"
        return f'{_STYLE}<div class="squarewright">{head}{said}<table>{table}</table></div>'

    def __len__(self) -> int:
        return len(self.tiles)

    def __getitem__(self, index: int) -> Tile:
        return self.tiles[index]

    def __repr__(self) -> str:
        failed = sum(tile.plan is None for tile in self.tiles)
        made = f"{len(self.tiles)} tiles" + (f", {failed} of which cannot be made" if failed else "")
        hours = [hour for tile in self.tiles if tile.plan for hour in tile.plan.summary["hours"]]
        return f"Comparison({self.name!r}, {made}, {min(hours):.0f} to {max(hours):.0f} hours)"


def _cell(head: str, facts: list[tuple[str, str]], png: bytes | None) -> str:
    words = html.escape(head)
    data = base64.b64encode(png).decode() if png else ""
    image = f'<img alt="{words}" src="data:image/png;base64,{data}">' if png else ""
    listed = "".join(f"<dt>{html.escape(what)}</dt><dd>{html.escape(value)}</dd>" for what, value in facts)
    return f"<td>{image}<h3>{words}</h3><dl>{listed}</dl></td>"


def compare(
    picture: object,
    *,
    panel: Panel,
    columns: Sequence[int] | None = None,
    colours: Sequence[int] | None = None,
    distance: Length | str = "10 ft",
    pixelate: bool = False,
    brushwork: str = "easy",
    candidates: "ArrayLike | Sequence[str] | None" = None,
    figure: Literal["whole", "find"] = "whole",
    crop: tuple[int, int, int, int] | None = None,
    smallest_patch: int | None = None,
    calm: float | None = None,
    seed: int = 0,
    threads: int | None = None,
    progress: Callable[[float], object] | None = None,
    **settings: "Unpack[planning.Keywords]",
) -> Comparison:
    """Plan one picture in several ways and show them side by side, as they look from across the room.

    A photo or a drawing is pixelated to every number of columns with every number of colours. Pixel art has
    its cells and colours already: of that, and of a grid, cell sizes are compared, those of ``pitches`` or
    else the one that fits best and its alternatives. A way that cannot be made says why and leaves the
    others alone.

    Parameters
    ----------
    picture : Picture, path, bytes, file object, ndarray, Pillow image, Grid or Recovery
        What is to be made.
    panel : Panel
        The board.
    columns, colours : sequence of int, default (32, 48, 64) and (8, 12, 16)
        How many columns and how many colours at most; 36 ways in all, and 6 side by side.
    distance : Length or str, default "10 ft"
        From where the figures are seen: a pixel of their pictures is a minute of arc, the least that good
        sight tells apart, or more when they would be larger than 480 pixels.
    pixelate : bool, default False
        Pixelate the picture even when it is pixel art.
    brushwork, candidates, figure, crop, smallest_patch, calm, seed
        As for ``pixelate``.
    threads : int, optional
        How many ways are worked on at once; by default as many as there are processors. The answer is the
        same.
    progress : callable, optional
        Called with the share that is done, 0 to 1.
    **settings
        As for ``plan``.

    Returns
    -------
    Comparison

    Raises
    ------
    GridError
        ``GRID-CELLS`` when columns or colours are given for what has its cells already.
    ArgumentError
        ``VALUE-BAD`` for too many ways, or none.
    SquarewrightError
        As ``pixelate`` and ``plan``, when no way can be made.

    Examples
    --------
    >>> sheet = compare("kingfisher.jpg", panel=Panel("12 in", "12 in"))  # doctest: +SKIP
    >>> sheet.plan(4).write("kingfisher-plan")  # doctest: +SKIP
    """
    asked = None if columns is None and colours is None else (columns, colours)
    across, most = _counts(columns, COLUMNS, "columns"), _counts(colours, COLOURS, "colours")
    if len(across) * len(most) > MOST or len(most) > ABREAST:
        what = f"columns and colours cannot be {len(across)} × {len(most)} ways"
        raise ArgumentError("VALUE-BAD", what, f"Give up to {ABREAST} colours, and {MOST} ways in all.")
    far = Length(distance)
    if not far > Length("0 in"):
        raise ArgumentError(
            "VALUE-BAD", f"distance cannot be {distance}", 'Give a length above zero: "10 ft".'
        )
    pool = ThreadPoolExecutor(threads or processors())
    try:
        if isinstance(picture, Grid | Recovery):
            return _cells(_Work(pool, panel, settings, progress), picture, asked, far)
        loaded = pictures.load(picture)
        called = settings.get("name") or _name(loaded)
        work = _Work(pool, panel, {**settings, "name": called}, progress)
        reading = None if pixelate else pool.submit(read, loaded, settings.get("background"))
        sizes = _core._Sizes(
            loaded,
            across,
            brushwork=brushwork,
            candidates=candidates,
            figure=figure,
            crop=crop,
            smallest_patch=smallest_patch,
            calm=calm,
            seed=seed,
        )
        ways = [(size, count) for size in range(len(across)) for count in most]
        begun = [work.begin(partial(sizes.pixelate, *way)) for way in ways]
        found = None if reading is None else reading.result()
        if found is not None:
            for each in begun:
                each.cancel()
            return _cells(work, found, asked, far)
        tiles = work.end([(across[size], count) for size, count in ways], begun)
        return Comparison(called, tiles, len(most), far, tuple(loaded.warnings))
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


@dataclass(frozen=True)
class _Work:
    """What is the same for all tiles."""

    pool: ThreadPoolExecutor
    panel: Panel
    settings: Any
    progress: Callable[[float], object] | None

    def begin(self, grid: Callable[[], Grid | Recovery], **changes: Any) -> "Future[Plan]":  # noqa: ANN401
        settings = {**self.settings, **changes}
        return self.pool.submit(lambda: planning.plan(grid(), panel=self.panel, **settings))

    def end(
        self, asked: Sequence[tuple[int | None, int | None]], begun: "list[Future[Plan]]"
    ) -> tuple[Tile, ...]:
        for done, _ in enumerate(as_completed(begun), 1):
            if self.progress is not None:
                self.progress(done / len(begun))
        tiles = tuple(_tile(*each, future) for each, future in zip(asked, begun, strict=True))
        if all(tile.error for tile in tiles):
            raise tiles[0].error or InternalError("INTERNAL", "there is no tile")
        return tiles


def _tile(columns: int | None, colours: int | None, future: "Future[Plan]") -> Tile:
    try:
        return Tile(columns, colours, future.result())
    except InternalError:
        raise
    except SquarewrightError as error:
        return Tile(columns, colours, None, error.with_traceback(None))


def _cells(work: _Work, known: Grid | Recovery, asked: object, distance: Length) -> Comparison:
    """Compare cell sizes of a figure that has its cells already."""
    grid = known if isinstance(known, Grid) else known.grid
    cells = f"{grid.rows} rows × {grid.columns} columns"
    if asked is not None:
        subject = "the grid has" if isinstance(known, Grid) else "the picture is pixel art and has"
        hint = (
            "Leave columns and colours out to compare cell sizes, or pixelate the picture with pixelate=True."
        )
        raise GridError("GRID-CELLS", f"{subject} its {cells} and their colours already", hint)
    plain = {key: value for key, value in work.settings.items() if key not in _SIZES}
    pitches = work.settings.get("pitches")
    if pitches is None or isinstance(pitches, str):
        first = planning.plan(known, panel=work.panel, **work.settings)
        pitches = [first.fit.pitch, *(other.pitch for other in first.fit.alternatives)]
    if not 0 < len(pitches) <= MOST:
        raise ArgumentError("VALUE-BAD", f"pitches cannot be {len(pitches)} ways", f"Give 1 to {MOST}.")
    lengths = list(dict.fromkeys(Length(pitch) for pitch in pitches))
    again = _Work(work.pool, work.panel, plain, work.progress)
    begun = [again.begin(lambda: known, pitch=pitch) for pitch in lengths]
    tiles = again.end([(None, None)] * len(begun), begun)
    note = f"It has its {cells} and their colours already: cell sizes are compared."
    name = next(tile.plan.name for tile in tiles if tile.plan)
    return Comparison(name, tiles, min(len(tiles), ABREAST), distance, (note,))


_SIZES = {"pitch", "pitches", "width", "height"}


def read(picture: Picture, background: Any) -> Recovery | None:  # noqa: ANN401
    """Recover a picture when it is pixel art.

    Parameters
    ----------
    picture : Picture
        The picture.
    background : str, tuple of int or None
        As for ``recover``.

    Returns
    -------
    Recovery or None
        None when its confidence is under 0.5.
    """
    try:
        found = _core.recover(picture, background=background)
    except GridError:
        return None
    return found if found.confidence >= 0.5 else None


def _counts(given: Sequence[int] | None, usual: tuple[int, ...], name: str) -> list[int]:
    try:
        counts = list(dict.fromkeys(usual if given is None else given))
    except TypeError:
        counts = []
    if not counts or not all(isinstance(each, int) and 0 <= each < 1 << 31 for each in counts):
        hint = f"Give whole numbers: {name}={usual}."
        raise ArgumentError("VALUE-BAD", f"{name} cannot be {given!r}", hint)
    return counts


def _name(picture: Picture) -> str:
    return "figure" if picture.name is None else names.shown(PurePath(picture.name).stem)
