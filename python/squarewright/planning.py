"""Planning with settings by name, and planning again with some of them changed."""

import functools
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, TypedDict

from squarewright import _core
from squarewright._core import Grid, Length, Mounting, Painting, Panel, Plan, Recipe, Stock
from squarewright.errors import ArgumentError

if TYPE_CHECKING:
    from typing_extensions import Unpack


class Keywords(TypedDict, total=False):
    """What ``plan`` can be told besides the figure and the panel; see there."""

    ruler: Length | str | None
    pitches: Literal["any"] | Sequence[Length | str] | None
    pitch: Length | str | None
    width: Length | str | None
    height: Length | str | None
    across: int | None
    down: int | None
    margin: Length | str | None
    ending: str
    backing: bool
    edges: bool
    paints: str
    raw: str | Sequence[int] | None
    ground: str | Sequence[int] | None
    background: str | Sequence[int] | None
    stock: Stock | None
    pinned: Sequence[Recipe] | None
    hand: str
    marking: str
    transfer: str | None
    clearance: Length | str | None
    painting: Painting | None
    mounting: Mounting | None
    rates: Mapping[str, tuple[float, float]] | None
    name: str | None


class Changes(Keywords, total=False):
    """What ``Plan.replace`` can change."""

    panel: Panel


@functools.wraps(_core.plan)
def plan(
    picture_or_grid: object,
    *,
    panel: Panel,
    progress: Callable[[float], object] | None = None,
    **settings: "Unpack[Keywords]",
) -> Plan:
    """Plan a figure; the plan remembers what was asked, so that it can be planned again with changes."""
    made = _core.plan(picture_or_grid, panel=panel, progress=progress, **settings)
    return made._at(made._path, {"panel": panel, **settings})


def replace(old: Plan, grid: Grid | None, changes: Mapping[str, Any]) -> Plan:
    """Plan a figure again with some settings changed.

    Parameters
    ----------
    old : Plan
        The plan; it stays as it is.
    grid : Grid or None
        Another grid in place of its own.
    changes : mapping
        Settings of ``plan`` in place of those that it was made with.

    Returns
    -------
    Plan

    Raises
    ------
    ArgumentError
        ``VALUE-BAD`` for a plan that was read back from JSON, and for ``background``, which is settled.
    """
    if old._settings is None:
        what = "the plan was read back from JSON, which does not keep what was asked for"
        raise ArgumentError("VALUE-BAD", what, "Plan its grid again: squarewright.plan(plan.grid, panel=…).")
    if "background" in changes:
        hint = "Plan the picture again with another background."
        raise ArgumentError("VALUE-BAD", "background is settled once a picture has become cells", hint)
    settings: Any = {**old._settings, "name": old.name, **changes}
    made = plan(old._figure if grid is None else grid, **settings)
    for stage, minutes in old._taken:
        if stage in made.stages:
            made = made.with_rate(stage, minutes)
    return made
