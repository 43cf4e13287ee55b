"""From the wall as it is asked for to its plan: every figure on a thread, then all as one."""

import dataclasses
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Event
from typing import Any

from squarewright import _core, pictures
from squarewright._core import Grid, Length, Painting, Plan, Recovery, WallPlan
from squarewright.errors import ArgumentError, InternalError, SquarewrightError
from squarewright.processors import processors
from squarewright.settings import Settings
from squarewright.settings.kinds import Table
from squarewright.wall.parts import WallFigure
from squarewright.wall.wall import Wall

Progress = Callable[[float], object]
_SIZES = ("pitch", "width", "height")
_SHARE = 0.6


class _StoppedError(Exception):
    """The caller wants no more of it."""


def plan(wall: Wall, progress: Progress | None, threads: int | None) -> WallPlan:
    """Plan a wall; see ``Wall.plan``."""
    if not wall.figures:
        raise ArgumentError("VALUE-BAD", "the wall has no figures", "Name one picture or more.")
    if threads is not None and threads < 1:
        raise ArgumentError(
            "VALUE-BAD", f"threads must be 1 or more, got {threads}", "Give a number above 0."
        )
    stock = wall.settings.read_stock()
    board = wall.settings.board
    made, pitch = _figures(wall, progress, threads or processors())
    faults = [
        (each.name, found.code, f"{found.name or ''} {found.what}".strip(), found.hint)
        for each, found in zip(wall.figures, made, strict=True)
        if isinstance(found, SquarewrightError)
    ]
    planned = [
        (each.name, found, each.copies, _place(each))
        for each, found in zip(wall.figures, made, strict=True)
        if isinstance(found, Plan)
    ]
    if not planned:
        raise next(found for found in made if isinstance(found, SquarewrightError))
    whole = _core._plan_wall(
        planned,
        panel=board,
        stock=stock,
        pinned=wall.settings._recipes(stock),
        painting=Painting(**wall.settings.painting),
        faults=faults,
        pitch=pitch,
        threads=threads or processors(),
        progress=None if progress is None else lambda share: progress(_SHARE + (1 - _SHARE) * share),
        **wall.keywords(),
    )
    if wall.done is not None and wall.earlier is None:
        whole = whole.after(wall.done)
    told = {"printing": wall.settings.printing, "files": wall.settings.files, "newer": wall.newer}
    return whole._at(whole._sources, {**told, "path": wall.path})


def _place(figure: WallFigure) -> tuple[Length, Length] | None:
    if isinstance(figure.place, str):
        return None
    x, y = figure.place
    return Length(x), Length(y)


def _figures(
    wall: Wall, progress: Progress | None, threads: int
) -> tuple[list[Plan | SquarewrightError], Length | None]:
    """Plan each figure by itself, without paints, in the order of the figures; and give their one pitch."""
    stop, done, pitch = Event(), 0, None
    own = [_settings(wall.settings, each) for each in wall.figures]

    def made(place: int) -> Plan | SquarewrightError:
        return _one(wall.figures[place], own[place], stop)

    pool = ThreadPoolExecutor(threads)
    try:
        found: list[Plan | SquarewrightError] = []
        for each in pool.map(made, range(len(own))):
            found.append(each)
            done += 1
            if progress is not None:
                progress(_SHARE * done / len(own))
        if wall.one_pitch:
            pitched, pitch = _pitched(wall, own, found)
            again = [place for place in range(len(own)) if pitched[place] is not own[place]]
            own = pitched
            for place, each in zip(again, pool.map(made, again), strict=True):
                found[place] = each
    finally:
        stop.set()
        pool.shutdown(wait=False, cancel_futures=True)
    return found, pitch


def _settings(shared: Settings, figure: WallFigure) -> Settings:
    """Put the settings of a figure over those of the wall; tables are put together key by key."""
    changes: dict[str, Any] = {"stock": None, "pinned": {}}
    for key, value in figure.settings.items():
        common = getattr(shared, key)
        is_table = isinstance(value, Table) and isinstance(common, Table)
        changes[key] = {**common, **value} if is_table else value
    if any(key in figure.settings for key in _SIZES):
        # One size alone: that of the figure.
        changes |= {key: None for key in _SIZES if key not in figure.settings}
    return dataclasses.replace(shared, **changes)


def _pitched(
    wall: Wall, own: list[Settings], found: list[Plan | SquarewrightError]
) -> tuple[list[Settings], Length | None]:
    """Give the figures that have no size of their own the smallest of their pitches."""
    pitches = {
        place: plan.fit.pitch
        for place, (each, plan) in enumerate(zip(wall.figures, found, strict=True))
        if isinstance(plan, Plan) and not any(key in each.settings for key in _SIZES)
    }
    if not pitches:
        return own, None
    least = min(pitches.values(), key=lambda pitch: pitch.inches)
    pitched = [
        dataclasses.replace(settings, pitch=least, width=None, height=None)
        if place in pitches and pitches[place] != least
        else settings
        for place, settings in enumerate(own)
    ]
    return pitched, least


def _one(figure: WallFigure, settings: Settings, stop: Event) -> Plan | SquarewrightError:
    def watch(_: float) -> None:
        if stop.is_set():
            raise _StoppedError

    try:
        source = figure.picture
        if not isinstance(source, Grid | Recovery):
            source = pictures.load(source, allow_damaged=settings.allow_damaged)
        plan = settings.plan(source, name=figure.name, progress=watch)
        return plan.replace(plan.grid.mirrored()) if figure.mirror else plan
    except InternalError:
        raise
    except SquarewrightError as error:
        return error.with_traceback(None)
