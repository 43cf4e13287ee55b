"""What is done of a wall, and what that leaves to do and to buy."""

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from squarewright import files
from squarewright._core import WallPlan
from squarewright.errors import ArgumentError, ProjectError, SettingsError
from squarewright.names import shown
from squarewright.settings.kinds import Table
from squarewright.settings.reading import held

VERSION = 1
"""The newest form of a progress file that is understood."""

PROGRESS_BYTES = 1 << 20
"""The most bytes that a progress file may have."""

Done = Mapping[str, tuple[tuple[str, ...], ...]]


@dataclass(frozen=True)
class Progress:
    """The steps that are done, by figure and copy.

    Names stay when a wall is planned again, so that what is done stays done: figures that are new have
    nothing done, and those that are gone are not asked for. ``WallPlan.after`` plans the rest.

    Parameters
    ----------
    done : mapping, optional
        For each figure a sequence of its copies, each a sequence of steps, stages or coats. Steps and stages
        are those of ``Plan.hours``; a stage stands for all of its steps, and a word that is a step and a
        stage means the step. A coat is written as ``"undercoat 1"``, ``"outline 1 #26301c"`` or
        ``"inside 2 #5b7a3a"``; ``with_day`` writes all of a day.

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
            if not _is_text(name) or not isinstance(copies, list | tuple) or len(copies) > _COPIES:
                raise _bad(copies)
            for steps in copies:
                if not isinstance(steps, list | tuple) or not all(map(_is_text, steps)):
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

    def with_day(self, day: Mapping[str, Any]) -> "Progress":
        """Give the progress with all coats of a painting day on.

        Parameters
        ----------
        day : mapping
            One of ``WallPlan.days``.

        Returns
        -------
        Progress
        """
        progress = self
        for opening in day["openings"]:
            for work in opening["work"]:
                words = [work["set"], str(work["coat"]), *([opening["hex"]] if opening["hex"] else [])]
                progress = progress.with_done(work["figure"], " ".join(words), copy=work["copy"])
        return progress

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
            each step, figure by figure in the order of the work. A painting that was begun has the minutes
            of the coats that are left.

        Raises
        ------
        ArgumentError
            ``VALUE-BAD`` for a word that is no step, no stage and no coat.
        """
        return wall.after(self).remaining

    def hours(self, wall: WallPlan) -> tuple[float, float]:
        """Add up the hours of work that are left, low and high."""
        left = [step["work_minutes"] for step in self.remaining(wall)]
        return sum(low for low, _ in left) / 60, sum(high for _, high in left) / 60

    def buying(self, wall: WallPlan) -> dict[str, Any]:
        """Work out what the remaining steps take.

        A colour is mixed once for the wall: it takes no more paint when any figure that has it is mixed or
        painted in it. A board is in use when any figure on it was measured, primed or marked.

        Parameters
        ----------
        wall : WallPlan
            The wall, as it is planned now. What it says to be at hand is taken off.

        Returns
        -------
        dict
            As ``WallPlan.buying``.
        """
        return wall.after(self).buying

    def days(self, wall: WallPlan) -> list[dict[str, Any]]:
        """Plan the painting days of the coats that are left.

        Parameters
        ----------
        wall : WallPlan
            The wall, as it is planned now.

        Returns
        -------
        list of dict
            As ``WallPlan.days``.
        """
        return wall.after(self).days

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


def _is_text(value: object) -> bool:
    """Tell whether it is text that can be written: a half of a pair of surrogates cannot."""
    if not isinstance(value, str):
        return False
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


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
        found = json.loads(held(place, "progress file", PROGRESS_BYTES, name))
        version, done = found["schema_version"], found["done"]
        if not isinstance(version, int) or isinstance(version, bool) or version < 1:
            raise TypeError
        if version > VERSION:
            what = f"is of version {version}, newer than this package knows"
            raise ProjectError("PROJECT-NEWER", what, "Update this package.", name)
        return Progress(done)
    except (SettingsError, ProjectError):
        raise
    except (ValueError, KeyError, TypeError, RecursionError):
        hint = "Write it with Progress.write."
        raise SettingsError("CONFIG-TYPE", "is no progress file", hint, name) from None
