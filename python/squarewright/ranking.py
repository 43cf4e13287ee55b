"""Several pictures, the easiest first."""

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright import _core, names, pictures, planning
from squarewright._core import Grid, Panel, Plan, Recovery
from squarewright.comparing import read
from squarewright.errors import ArgumentError, InternalError, SquarewrightError
from squarewright.processors import processors

if TYPE_CHECKING:
    from typing_extensions import Unpack

MEASURES: dict[str, tuple[str, Callable[[dict[str, Any]], float]]] = {
    "hours": ("hours", lambda figures: sum(figures["hours"]) / 2),
    "colours": ("colours", lambda figures: figures["colours"]),
    "panels": ("panels", lambda figures: figures["panels"][0] * figures["panels"][1]),
    "risk": ("spots that break or come loose", lambda figures: figures["severe_spots"]),
}
"""What pictures are ranked by: in words, and the number that is better when it is smaller."""


@dataclass(frozen=True)
class Ranked:
    """A picture with its rank.

    Attributes
    ----------
    name : str
        What the picture is called.
    place : int or None
        1 for the easiest; pictures that are equal share it. None when it cannot be planned.
    points : int or None
        The sum of its places by each measure; fewer are better.
    reasons : tuple of str
        Why it stands there, in plain words.
    plan : Plan or None
        Its full plan.
    error : SquarewrightError or None
        Why there is none.
    """

    name: str
    place: int | None
    points: int | None
    reasons: tuple[str, ...]
    plan: Plan | None
    error: SquarewrightError | None = None

    @property
    def row(self) -> dict[str, Any]:
        """The same, ready for JSON, with the figures of its plan."""
        told = {"name": self.name, "place": self.place, "points": self.points, "reasons": list(self.reasons)}
        if self.plan is None:
            return {**told, "error": str(self.error)}
        return {**told, **self.plan.summary, "error": None}


@dataclass(frozen=True, repr=False)
class Ranking:
    """Pictures in order, the easiest first and those that cannot be planned last; from ``rank``.

    Attributes
    ----------
    ranked : tuple of Ranked
        The pictures.
    """

    ranked: tuple[Ranked, ...]

    @property
    def rows(self) -> list[dict[str, Any]]:
        """Each picture as a dict, ready for JSON."""
        return [each.row for each in self.ranked]

    def __len__(self) -> int:
        return len(self.ranked)

    def __getitem__(self, index: int) -> Ranked:
        return self.ranked[index]

    def __str__(self) -> str:
        lines = []
        for each in self.ranked:
            place = "–" if each.place is None else str(each.place)
            lines.append(f"{place}. {each.name}: {'; '.join(each.reasons)}")
        return "\n".join(names.escaped(line) for line in lines)

    def __repr__(self) -> str:
        failed = sum(each.plan is None for each in self.ranked)
        first = f", {self.ranked[0].name!r} is the easiest" if self.ranked[0].plan else ""
        bad = f", {failed} cannot be planned" if failed else ""
        return f"Ranking({len(self.ranked)} pictures{first}{bad})"


def rank(
    candidates: Sequence[object],
    *,
    panel: Panel,
    columns: int = 48,
    colours: int = 12,
    by: Sequence[str] = ("hours", "colours", "panels", "risk"),
    threads: int | None = None,
    **settings: "Unpack[planning.Keywords]",
) -> Ranking:
    """Plan several pictures and put them in order, the easiest first.

    By each measure the pictures get places, the best 1, equals the same; the sum of its places ranks a
    picture, and of equal sums the one with fewer hours is first. A picture that cannot be planned says why
    and stands last.

    Parameters
    ----------
    candidates : sequence
        Pictures of any kind that ``plan`` takes, and grids.
    panel : Panel
        The board.
    columns, colours : int, default 48 and 12
        To what photos and drawings are pixelated; pixel art keeps its cells.
    by : sequence of str, default ("hours", "colours", "panels", "risk")
        What counts: the middle of the hours of work, colours, panels, and spots that would break or come
        loose.
    threads : int, optional
        How many pictures are worked on at once; by default as many as there are processors.
    **settings
        As for ``plan``.

    Returns
    -------
    Ranking

    Raises
    ------
    ArgumentError
        ``VALUE-BAD`` when there is no picture, or for another measure.

    Examples
    --------
    >>> print(rank(["heron.png", "newt.png"], panel=Panel("12 in", "12 in")))  # doctest: +SKIP
    1. newt: fewest hours (3–8); fewest colours (7); 1 panel, as few as any; …
    """
    if isinstance(candidates, str | bytes | os.PathLike) or not candidates:
        what = f"candidates cannot be {candidates!r}" if candidates else "there are no candidates"
        raise ArgumentError("VALUE-BAD", what, "Give a list of pictures.")
    if not by or any(measure not in MEASURES for measure in by):
        raise ArgumentError("VALUE-BAD", f"by cannot be {by!r}", f"Choose from {', '.join(MEASURES)}.")

    def planned(place: int) -> Ranked:
        called = _called(candidates[place], place)
        try:
            figure = _figure(candidates[place], columns, colours, settings)
            named: planning.Keywords = {**settings, "name": settings.get("name") or called}
            plan = planning.plan(figure, panel=panel, **named)
        except InternalError:
            raise
        except SquarewrightError as error:
            return Ranked(called, None, None, (str(error),), None, error.with_traceback(None))
        return Ranked(called, None, None, (), plan)

    pool = ThreadPoolExecutor(threads or processors())
    try:
        found = list(pool.map(planned, range(len(candidates))))
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
    return Ranking(
        (*_ordered([each for each in found if each.plan], by), *(each for each in found if each.error))
    )


def _ordered(found: list[Ranked], by: Sequence[str]) -> list[Ranked]:
    values = {measure: [MEASURES[measure][1](each.row) for each in found] for measure in by}
    points = [
        sum(1 + sum(other < values[measure][index] for other in values[measure]) for measure in by)
        for index in range(len(found))
    ]
    hours = [sum(each.row["hours"]) for each in found]
    keys = [(points[index], hours[index]) for index in range(len(found))]
    order = sorted(range(len(found)), key=lambda index: keys[index])
    return [
        replace(
            found[index],
            place=1 + sum(key < keys[index] for key in keys),
            points=points[index],
            reasons=tuple(_reason(measure, values[measure], index, found[index].row) for measure in by),
        )
        for index in order
    ]


def _reason(measure: str, values: list[float], index: int, figures: dict[str, Any]) -> str:
    """Say how a picture compares by one measure."""
    words, own, least = MEASURES[measure][0], values[index], min(values)
    shown = f"{own:.0f} {words}"
    if measure == "hours":
        low, high = figures["hours"]
        shown = f"{low:.0f}–{high:.0f} hours"
    elif measure == "risk":
        shown = "nothing that breaks or comes loose" if own == 0 else shown
    elif own == 1:
        shown = f"1 {words[:-1]}"
    if own > least and measure == "hours":
        times = own / least
        return f"{shown}, " + (
            "hardly more than the least" if times < 1.05 else f"{times:.1f} times the least"
        )
    if own > least:
        return f"{shown}, {own - least:.0f} more than the least"
    alone = sum(value == own for value in values) == 1
    return f"{shown}, the least of all" if alone and len(values) > 1 else shown


def _figure(source: object, columns: int, colours: int, settings: Any) -> Grid | Recovery:  # noqa: ANN401
    if isinstance(source, Grid | Recovery):
        return source
    picture = pictures.load(source)
    found = read(picture, settings.get("background"))
    return _core.pixelate(picture, columns=columns, colours=colours) if found is None else found


def _called(source: object, place: int) -> str:
    name = source if isinstance(source, str | os.PathLike) else getattr(source, "name", None)
    if isinstance(name, str | bytes | os.PathLike) and name:
        return names.shown(Path(os.fsdecode(name)).stem)
    return f"picture {place + 1}"
