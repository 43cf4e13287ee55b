"""The wall as it is asked for, before it is planned."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from squarewright._core import Length
from squarewright.errors import ArgumentError
from squarewright.settings import Settings
from squarewright.settings.kinds import Table
from squarewright.wall.parts import LengthLike, Pack, Taken, WallFigure, length
from squarewright.wall.progress import Progress

if TYPE_CHECKING:
    from squarewright._core import WallPlan
    from squarewright.wall.suiting import Suits


@dataclass(frozen=True, kw_only=True)
class Wall:
    """Many figures for one wall; ``read_wall`` reads one from a file.

    Parameters
    ----------
    figures : sequence of WallFigure
        The figures.
    settings : Settings
        What holds for all figures that have no setting of their own; it has the panel.
    name : str, default "wall"
        The name that the pages bear.
    width, height : Length or str, optional
        The sides of the wall; without them figures get no places.
    taken : sequence of Taken
        Parts of the wall that are not free.
    gap : Length or str, default "2 in"
        What stays free between two figures on the wall.
    knife_gap : Length or str, default "1/4 in"
        What stays free between two figures on one board.
    distance : Length or str, default "6 ft"
        From the eye to the wall.
    merge : float, default 3
        Colours of different figures become one when no more than this difference shows from there
        (CIEDE2000); 0 keeps all colours that differ.
    one_pitch : bool, default False
        Whether all figures have cells of one size; otherwise each fills its own boards. A figure with a size
        of its own keeps it.
    hours : float, default 3
        Hours of painting on one day.
    pack : Pack
        How panels are sold.
    left : mapping of str to float, optional
        What is left of earlier work, in millilitres: of a paint by its name, of a mix by its colour
        (``"#5b7a3a"``).
    done : Progress, optional
        What is done: what is to buy, the painting days and the book are those of the rest.
    earlier : WallPlan, optional
        The wall as it was planned before; with ``done``, or else its own progress. A figure whose board is in
        use stays where it lies there, what is left of that board is offered to others before a new one is
        taken, and what hangs stays where it hangs. What was done to a figure that is cut otherwise now was
        done to another shape: ``WallPlan.progress`` of the new plan is without it.
    newer : int, optional
        The version of the wall file when it is newer than what is understood: then the wall can be looked at
        and planned, but not written.

    Raises
    ------
    ArgumentError, SizeError
        ``VALUE-BAD`` and ``SIZE-BAD`` for what cannot be.

    Examples
    --------
    >>> pond = Wall(
    ...     figures=[WallFigure("heron.png"), WallFigure("frog.png", copies=2)],
    ...     settings=Settings(panel="12in x 12in"),
    ... )
    >>> pond.plan().write("pond-wall")  # doctest: +SKIP
    """

    figures: tuple[WallFigure, ...]
    settings: Settings = field(default_factory=Settings)
    name: str = "wall"
    width: LengthLike | None = None
    height: LengthLike | None = None
    taken: tuple[Taken, ...] = ()
    gap: LengthLike = "2 in"
    knife_gap: LengthLike = "1/4 in"
    distance: LengthLike = "6 ft"
    merge: float = 3.0
    one_pitch: bool = False
    hours: float = 3.0
    pack: Pack = field(default_factory=Pack)
    left: Mapping[str, float] = field(default_factory=Table)
    done: Progress | None = None
    earlier: "WallPlan | None" = field(default=None, repr=False)
    newer: int | None = None
    path: Path | None = field(default=None, repr=False, compare=False)

    def __post_init__(self) -> None:
        for key, kind in (("figures", WallFigure), ("taken", Taken)):
            given = getattr(self, key)
            if isinstance(given, str) or not all(isinstance(each, kind) for each in given):
                what = f"{key} must be a list of {kind.__name__}, got {given!r}"
                raise ArgumentError("VALUE-BAD", what, "Change that value and try again.")
            object.__setattr__(self, key, tuple(given))
        for key in ("width", "height", "distance", "gap", "knife_gap"):
            value = getattr(self, key)
            if value is not None:
                object.__setattr__(self, key, length(value, key, "gap" not in key))
        object.__setattr__(self, "left", Table(self.left))
        self._refuse_twins()
        self._refuse_outside()

    def _refuse_twins(self) -> None:
        seen: set[str] = set()
        for each in self.figures:
            if each.name in seen:
                hint = "Give each a name of its own, or one of them copies."
                raise ArgumentError("VALUE-BAD", f"two figures are called {each.name}", hint)
            seen.add(each.name)

    def _refuse_outside(self) -> None:
        for each in self.taken:
            pairs = ((each.x, each.width, self.width), (each.y, each.height, self.height))
            for start, side, whole in pairs:
                if whole is not None and Length(start) + Length(side) > Length(whole):
                    what = f"{each.name} reaches out of the wall"
                    raise ArgumentError("VALUE-BAD", what, "Measure from the left and from the top edge.")
        if (self.width is None) != (self.height is None):
            hint = "Give both of them, or none when figures need no places."
            raise ArgumentError("VALUE-BAD", "a wall has a width and a height", hint)

    def plan(
        self,
        *,
        progress: Callable[[float], object] | None = None,
        threads: int | None = None,
    ) -> "WallPlan":
        """Plan all figures, and the wall as one.

        Parameters
        ----------
        progress : callable, optional
            Called with the share that is done, 0 to 1.
        threads : int, optional
            How many figures are planned at once; by default as many as there are processors. It changes
            nothing but the time.

        Returns
        -------
        WallPlan
            A figure that cannot be planned is one of its ``faults``, and the others are planned.

        Raises
        ------
        SquarewrightError
            When no figure can be planned, for a bad list of paints, and for what the wall as a whole does
            not take.
        """
        from squarewright.wall.plans import plan

        return plan(self, progress, threads)

    def fits(
        self,
        planned: "WallPlan",
        gap: Mapping[str, Length],
        candidates: "Sequence[WallFigure]",
    ) -> "list[Suits]":
        """Tell which figures suit a free place of the wall, and at which pitch.

        Parameters
        ----------
        planned : WallPlan
            The plan of this wall.
        gap : mapping
            A free place with ``width`` and ``height``: one of ``planned.gaps()``.
        candidates : sequence of WallFigure
            The figures to choose from.

        Returns
        -------
        list of Suits
            Those that fit, each at the largest friendly pitch that does: first the one with the fewest
            hours, then with the fewest paints to buy, the fewest panels and the fewest severe weak spots.

        Raises
        ------
        SquarewrightError
            For a candidate that cannot be planned, and a place without sides.
        """
        from squarewright.wall.suiting import suiting

        return suiting(self.settings, planned, gap, candidates)

    def __repr__(self) -> str:
        count = sum(each.copies for each in self.figures)
        plural = "" if count == 1 else "s"
        return f"Wall({self.name!r}, {count} figure{plural})"

    def keywords(self) -> dict[str, Any]:
        """Give what the core is told about the wall, by name."""
        mixes = [(key, ml) for key, ml in self.left.items() if key.startswith("#")]
        bottles = [(key, ml) for key, ml in self.left.items() if not key.startswith("#")]
        sold = self.pack
        pack = (sold.panels, sold.hundredths, sold.currency, sold.owned, list(sold.offcuts))
        told: dict[str, Any] = {
            "name": self.name,
            "distance": self.distance,
            "merge": self.merge,
            "hours": self.hours,
        }
        earlier = self.earlier
        if earlier is not None and self.done is not None:
            earlier = earlier.after(self.done)
        told |= {"gap": self.knife_gap, "pack": pack, "left": (bottles, mixes)}
        return {**told, "room": self._room(), "earlier": earlier}

    def _room(self) -> tuple[Any, ...] | None:
        if self.width is None or self.height is None:
            return None
        taken = [(each.name, (each.x, each.y, each.width, each.height)) for each in self.taken]
        return self.width, self.height, self.gap, taken
