"""A wall that grows: which figures suit a free place, and at which pitch."""

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from threading import Event

import numpy as np

from squarewright._core import Grid, Length, Plan, WallPlan
from squarewright.errors import ArgumentError, SquarewrightError
from squarewright.settings import Settings
from squarewright.wall.parts import WallFigure
from squarewright.wall.plans import _one, _settings


@dataclass(frozen=True)
class Suits:
    """A figure that fits into a free place of a wall.

    Parameters
    ----------
    name : str
        Its name.
    pitch : Length
        The largest friendly pitch at which it fits there and on its boards.
    plan : Plan
        Its plan at that pitch, with the paints of the wall.
    hours : tuple of float
        The least and the most hours of work.
    paints_to_buy : int
        Paints that are neither owned nor bought for the wall already.
    panels : int
        Boards that it takes by itself.
    severe_spots : int
        Weak spots that will part or snap.
    """

    name: str
    pitch: Length
    plan: Plan = dataclasses.field(repr=False)
    hours: tuple[float, float]
    paints_to_buy: int
    panels: int
    severe_spots: int


def suiting(
    settings: Settings,
    wall: WallPlan,
    gap: Mapping[str, Length],
    candidates: Sequence[WallFigure],
) -> list[Suits]:
    """Find which candidates fit; see ``Wall.fits``."""
    for side in ("width", "height"):
        if side not in gap:
            hint = "Take one of WallPlan.gaps()."
            raise ArgumentError("VALUE-BAD", f"the gap has no {side}", hint)
    known = {bottle["paint"] for bottle in wall.buying["paints"]}
    found = (_suits(settings, wall, gap, each, known) for each in candidates)
    return sorted(
        (each for each in found if each is not None),
        key=lambda each: (each.hours[0], each.paints_to_buy, each.panels, each.severe_spots, each.name),
    )


def _suits(
    settings: Settings,
    wall: WallPlan,
    gap: Mapping[str, Length],
    figure: WallFigure,
    known: set[str],
) -> Suits | None:
    own = _settings(settings, figure)
    usual = _planned(figure, own)
    pitch = wall._pitch_for((gap["width"], gap["height"]), _box(usual.grid), usual)
    if pitch is None:
        return None
    sized = dataclasses.replace(
        own, pitch=pitch, width=None, height=None, stock=settings.stock, pinned=settings.pinned
    )
    plan = _planned(figure, sized)
    summary = plan.summary
    new = [bottle for bottle in plan.bottles if not bottle["owned"] and bottle["paint"] not in known]
    return Suits(
        name=figure.name,
        pitch=pitch,
        plan=plan,
        hours=tuple(summary["hours"]),
        paints_to_buy=len(new),
        panels=summary["panels"][0] * summary["panels"][1],
        severe_spots=summary["severe_spots"],
    )


def _planned(figure: WallFigure, settings: Settings) -> Plan:
    found = _one(figure, settings, Event())
    if isinstance(found, SquarewrightError):
        raise found
    return found


def _box(grid: Grid) -> tuple[int, int]:
    """Count the columns and the rows of the smallest box round what is painted."""
    rows, columns = np.nonzero(grid.cells >= 0)
    return int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1
