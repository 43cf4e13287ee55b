"""What is done of a wall, and what that leaves to do and to buy."""

import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from squarewright import files, places
from squarewright._core import Plan, WallPlan
from squarewright.errors import ArgumentError, ProjectError, SettingsError
from squarewright.names import shown
from squarewright.settings.kinds import Table

VERSION = 1
"""The newest form of a progress file that is understood."""

PROGRESS_BYTES = 1 << 20
"""The most bytes that a progress file may have."""

Done = Mapping[str, tuple[tuple[str, ...], ...]]


@dataclass(frozen=True)
class Progress:
    """The steps that are done, by figure and copy.

    Names stay when a wall is planned again, so that what is done stays done: figures that are new have
    nothing done, and those that are gone are not asked for.

    Parameters
    ----------
    done : mapping, optional
        For each figure a sequence of its copies, each a sequence of steps or stages as ``Plan.hours`` names
        them. A stage stands for all of its steps; a word that is a step and a stage means the step.

    Raises
    ------
    ArgumentError
        ``VALUE-BAD`` when it is anything else.

    Examples
    --------
    >>> begun = Progress().with_done("frog", "gather", "mark", copy=2)
    >>> begun.done["frog"]
    ((), ('gather', 'mark'))
    """

    done: Done = field(default_factory=Table)

    def __post_init__(self) -> None:
        if not isinstance(self.done, Mapping):
            raise _bad(self.done)
        read: dict[str, tuple[tuple[str, ...], ...]] = {}
        for name, copies in self.done.items():
            if not isinstance(name, str) or not isinstance(copies, list | tuple):
                raise _bad(copies)
            for steps in copies:
                if not isinstance(steps, list | tuple) or not all(isinstance(step, str) for step in steps):
                    raise _bad(steps)
            read[name] = tuple(tuple(sorted(set(steps))) for steps in copies)
        object.__setattr__(self, "done", Table(read))

    def with_done(self, figure: str, *steps: str, copy: int = 1) -> "Progress":
        """Give the progress with more steps done.

        Parameters
        ----------
        figure : str
            The name of the figure.
        *steps : str
            Steps or stages.
        copy : int, default 1
            Which of its copies.

        Returns
        -------
        Progress
        """
        if not 1 <= copy <= _COPIES:
            raise _bad(copy)
        copies = [list(each) for each in self.done.get(figure, ())]
        copies += [[] for _ in range(copy - len(copies))]
        copies[copy - 1] += steps
        return Progress({**self.done, figure: tuple(map(tuple, copies))})

    def remaining(self, wall: WallPlan) -> list[dict[str, Any]]:
        """List what is left to do.

        Parameters
        ----------
        wall : WallPlan
            The wall, as it is planned now.

        Returns
        -------
        list of dict
            ``figure``, ``copy``, ``stage``, ``step``, ``work_minutes`` and ``wait_minutes`` (low and high) of
            each step, figure by figure in the order of the work.

        Raises
        ------
        ArgumentError
            ``VALUE-BAD`` for a step that a figure does not have.
        """
        left: list[dict[str, Any]] = []
        for name, plan in wall.figures.items():
            steps = _steps(plan)
            copies = self.done.get(name, ())
            for word in (word for own in copies for word in own):
                if not any(word in words for words, _ in steps):
                    hint = f"Choose from {', '.join(step['step'] for _, step in steps)}."
                    raise ArgumentError("VALUE-BAD", f"{name} has no step called {word}", hint)
            for copy in _copies(wall, name):
                own = copies[copy - 1] if copy <= len(copies) else ()
                open_steps = (step for words, step in steps if not words & set(own))
                left += [{"figure": name, "copy": copy, **step} for step in open_steps]
        return left

    def hours(self, wall: WallPlan) -> tuple[float, float]:
        """Add up the hours of work that are left, low and high."""
        left = [step["work_minutes"] for step in self.remaining(wall)]
        return sum(low for low, _ in left) / 60, sum(high for _, high in left) / 60

    def buying(self, wall: WallPlan) -> dict[str, Any]:
        """Work out what the remaining steps take.

        A colour is mixed once for the wall: it takes no more paint when any figure that has it is mixed. A
        board is in use when it was measured for any figure on it.

        Parameters
        ----------
        wall : WallPlan
            The wall, as it is planned now. What it says to be at hand is taken off.

        Returns
        -------
        dict
            ``panels`` (``needed`` and ``packs``), ``paints`` (``paint``, ``poured_ml``, ``to_buy`` for each),
            ``primer_ml``, ``varnish_ml``, ``undercoat_ml``, ``glue_ml``, ``cards`` and ``fixings``.
        """
        left = {(step["figure"], step["copy"], step["step"]) for step in self.remaining(wall)}
        each = [
            (name, copy, plan)
            for name, plan in wall.figures.items()
            for copy in range(1, wall.copies[name] + 1)
        ]

        def total(of: str, step: str) -> float:
            owed = (plan for name, copy, plan in each if (name, copy, step) in left)
            return float(sum(_amount(plan, of) for plan in owed))

        undercoat = total("undercoat", "paint")
        return {
            "panels": self._panels(wall, left),
            "paints": _paints(wall, left, undercoat),
            "primer_ml": total("primer", "prime"),
            "varnish_ml": total("varnish", "hang"),
            "undercoat_ml": undercoat,
            "glue_ml": total("glue", "glue"),
            "cards": int(total("cards", "cut card")),
            "fixings": int(total("fixings", "hang")),
        }

    @staticmethod
    def _panels(wall: WallPlan, left: set[tuple[str, int, str]]) -> dict[str, int]:
        boards, bought = wall.panels, wall.buying["panels"]
        whole = wall.nesting
        needed = 0
        for panel in () if whole is None else whole.panels:
            lying = [boards["shared"][nested.index] for nested in panel.figures]
            needed += all((name, copy, "measure board") in left for name, copy in lying)
        for name, count in boards["own"].items():
            copies = wall.copies[name]
            owed = sum((name, copy, "measure board") in left for copy in range(1, copies + 1))
            needed += count // copies * owed
        missing = max(0, needed - bought["at_hand"])
        return {"needed": needed, "packs": -(-missing // bought["pack"])}

    def to_json(self) -> str:
        """Write the progress as JSON."""
        told = {name: [list(steps) for steps in copies] for name, copies in self.done.items()}
        return json.dumps({"schema_version": VERSION, "done": told}, indent=2) + "\n"

    def write(self, path: str | os.PathLike[str], *, overwrite: bool = False) -> Path:
        """Write the progress into a file.

        Parameters
        ----------
        path : path
            Where to.
        overwrite : bool, default False
            Whether a file that is there already may be replaced.

        Returns
        -------
        Path
            The file written.

        Raises
        ------
        OutputError
            ``OUT-…`` when it cannot be written.
        """
        place = Path(os.fsdecode(path))
        return files.write_all(place.parent, {place.name: self.to_json().encode()}, overwrite)[0]


_COPIES = 500


def _steps(plan: Plan) -> list[tuple[set[str], dict[str, Any]]]:
    """Give the steps of a figure, each with the words that it is done by."""
    steps: list[dict[str, Any]] = plan.hours["steps"]
    names = {step["step"] for step in steps}
    return [({step["step"], *({step["stage"]} - names)}, step) for step in steps]


def _amount(plan: Plan, of: str) -> float:
    if of in {"primer", "varnish", "undercoat"}:
        return float(plan.layers[of]["ml"])
    if of == "fixings":
        return float(plan.hanging["fixings"])
    backing = plan.backing
    if backing is None:
        return 0.0
    return float(backing["glue_ml"][2]) if of == "glue" else 1.0


def _paints(wall: WallPlan, left: set[tuple[str, int, str]], undercoat: float) -> list[dict[str, Any]]:
    poured: dict[str, float] = {}
    everything: dict[str, float] = {}
    for jar in wall.jars:
        users = [(use["figure"], copy) for use in jar["uses"] for copy in _copies(wall, use["figure"])]
        is_mixed = any(
            (name, copy, "mix") not in left and (name, copy, "choose") not in left for name, copy in users
        )
        parts = sum(count for _, count in jar["doses"])
        for paint, count in jar["doses"]:
            share = jar["batch_ml"] * count / parts
            everything[paint] = everything.get(paint, 0.0) + share
            poured[paint] = poured.get(paint, 0.0) + (0.0 if is_mixed else share)
    rows = []
    for bottle in wall.buying["paints"]:
        name = bottle["paint"]
        # One paint, the whitest, goes under others too: it gives more than its jars take.
        is_white = bottle["poured_ml"] - everything.get(name, 0.0) > _HAIR
        needed = poured.get(name, 0.0) + (undercoat if is_white else 0.0)
        missing = (needed - bottle["at_hand_ml"]) / bottle["bottle_ml"] - 1e-3
        rows.append({"paint": name, "poured_ml": needed, "to_buy": max(0, int(-(-missing // 1)))})
    return rows


_HAIR = 1e-6


def _copies(wall: WallPlan, name: str) -> Iterable[int]:
    return range(1, wall.copies[name] + 1)


def _bad(got: object) -> ArgumentError:
    what = f"progress must be lists of steps for the copies of each figure, got {got!r}"
    return ArgumentError("VALUE-BAD", what, "Change that value and try again.")


def read_progress(path: str | os.PathLike[str]) -> Progress:
    """Read a progress file.

    Parameters
    ----------
    path : path
        The file, as ``Progress.write`` makes it.

    Returns
    -------
    Progress

    Raises
    ------
    PlaceError
        ``PATH-…`` when it cannot be read.
    ProjectError
        ``PROJECT-NEWER`` when it is of a newer version than this package knows.
    SettingsError
        ``CONFIG-TYPE`` when it is no progress file, ``CONFIG-TOO-BIG``, ``CONFIG-CHANGED``.
    """
    place = Path(os.fsdecode(path))
    name = shown(place.name)
    try:
        found = json.loads(places.read(place, "progress file", PROGRESS_BYTES))
        version, done = found["schema_version"], found["done"]
        if isinstance(version, int) and version > VERSION:
            what = f"is of version {version}, newer than this package knows"
            raise ProjectError("PROJECT-NEWER", what, "Update this package.", name)
        return Progress(done)
    except places.TooBigError:
        raise SettingsError("CONFIG-TOO-BIG", "is too big", "Keep progress alone in it.", name) from None
    except places.ChangedError:
        hint = "Wait until it is written completely, then try again."
        raise SettingsError("CONFIG-CHANGED", "changed while it was read", hint, name) from None
    except ProjectError:
        raise
    except (ValueError, KeyError, TypeError, RecursionError):
        hint = "Write it with Progress.write."
        raise SettingsError("CONFIG-TYPE", "is no progress file", hint, name) from None
