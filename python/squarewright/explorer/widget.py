"""The widget itself: traits that the page and Python share, and one way from the controls to the picture."""

import contextlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from importlib import resources
from typing import Any

import anywidget
from traitlets import Bytes, Float, Instance, Int, List, Tuple, Unicode, validate

import squarewright
from squarewright import _core
from squarewright._core import Grid, Panel, Picture, Plan, Stock
from squarewright.errors import SquarewrightError
from squarewright.explorer import controls, facts, making
from squarewright.explorer.making import Drawn, Making
from squarewright.explorer.still import Still
from squarewright.names import escaped

_STILL_SIDE = 480
"""About how many pixels the longer side of a still picture has."""
_SOURCE_SIDE = 256
"""The longer side of the small picture on which the crop is drawn, in pixels."""


def _asset(name: str) -> str:
    return resources.files("squarewright.explorer").joinpath(name).read_text(encoding="utf-8")


def _place(panel: Panel, explorer: "Explorer") -> int:
    return explorer._panels.index(panel)


def _panel_at(place: Any, explorer: "Explorer") -> Panel:  # noqa: ANN401
    known = place in range(len(explorer._panels))
    return explorer._panels[place] if known else explorer.panel


class Explorer(anywidget.AnyWidget):
    """A picture as a grid, live in a notebook; from ``explore``.

    What the controls show can be read, set and observed here under the same names.

    Attributes
    ----------
    columns, colours, brushwork, calm, smallest_patch, figure, crop, seed
        As for ``pixelate``; with None for ``calm`` and ``smallest_patch`` the brushwork's own.
    door : str
        ``"recovered"`` or ``"pixelated"``: how the grid is made.
    merge : float
        Colours up to this difference are joined, as by ``Grid.merged``.
    panel : Panel
        The board.
    across : int
        Panels side by side.
    value : Grid
        The grid that is shown.
    picture : bytes
        It as PNG, a pixel a cell.
    facts : list of (str, str)
        What it comes to.
    warnings : list of str
        What there is to know.
    error : str
        Why what the controls say cannot be made; empty when it can.
    """

    _esm = _asset("widget.js")
    _css = _asset("widget.css")

    door = Unicode("pixelated").tag(sync=True)
    columns = Int(48).tag(sync=True)
    colours = Int(12).tag(sync=True)
    brushwork = Unicode("easy").tag(sync=True)
    calm = Float(None, allow_none=True).tag(sync=True)
    smallest_patch = Int(None, allow_none=True).tag(sync=True)
    figure = Unicode("whole").tag(sync=True)
    crop = Tuple(Int(), Int(), Int(), Int(), default_value=None, allow_none=True).tag(sync=True)
    seed = Int(0)
    merge = Float(0.0).tag(sync=True)
    panel = Instance(Panel).tag(sync=True, to_json=_place, from_json=_panel_at)
    across = Int(1).tag(sync=True)

    value = Instance(Grid, allow_none=True)
    picture = Bytes(b"").tag(sync=True)
    facts = List(Tuple(Unicode(), Unicode())).tag(sync=True)
    warnings = List(Unicode()).tag(sync=True)
    error = Unicode("").tag(sync=True)

    _controls: List[controls.Control] = List().tag(sync=True)
    _source = Bytes(b"").tag(sync=True)
    _source_size = Tuple(Int(), Int(), default_value=(1, 1)).tag(sync=True)
    _move = Int(0).tag(sync=True)
    _drawn = Int(0).tag(sync=True)

    def __init__(
        self,
        given: object,
        loaded: Picture,
        *,
        panels: Sequence[Panel],
        stock: Stock | None,
        settings: Mapping[str, Any],
        is_read: bool,
        **start: Any,  # noqa: ANN401
    ) -> None:
        self._given, self._loaded, self._stock, self._settings = given, loaded, stock, dict(settings)
        self._panels, self._is_read = list(panels), is_read
        self._kept: tuple[Making, Drawn] | None = None
        self._shown: object = None
        small = _small(loaded)
        super().__init__(panel=panels[0], _source=small, _source_size=(loaded.width, loaded.height), **start)
        self._controls = self._described()
        self._follow()
        self.observe(self._follow, [*controls.ALL, "_move"])

    @property
    def grid(self) -> Grid:
        """The grid that the controls say.

        Raises
        ------
        SquarewrightError
            As ``pixelate`` or ``recover``, when it cannot be made.
        """
        return self._draw().grid

    def plan(self, **changes: Any) -> Plan:  # noqa: ANN401
        """Plan what is shown, with the panel and the paints that were given.

        Parameters
        ----------
        **changes
            Further arguments of ``plan``, or others in place of those of the explorer.

        Returns
        -------
        Plan

        Raises
        ------
        SquarewrightError
            As ``plan``.
        """
        asked = {"panel": self.panel, "stock": self._stock, **self._planning(), **changes}
        return squarewright.plan(self.grid, **asked)

    def as_code(self) -> str:
        """Write Python code that makes the same grid and its plan.

        Returns
        -------
        str
            Ready for a cell or a file. A picture that was not given as a path is called ``picture`` in it,
            and a list of paints ``stock``.
        """
        has_stock = self._stock is not None
        return making.code(self._given, self._making(), self.merge, self.panel, self._planning(), has_stock)

    def still(self) -> Still:
        """Give what is shown as it stands, for a notebook that is exported or printed.

        Returns
        -------
        Still
            Shows itself at the end of a cell; ``png`` and ``to_html()`` have the parts.

        Raises
        ------
        SquarewrightError
            As ``grid``.
        """
        grid = self.grid
        scale = max(1, _STILL_SIDE // max(grid.rows, grid.columns))
        notes = [*self.warnings, *([self.error] if self.error else [])]
        return Still.of(grid.to_png(scale), self.facts, notes, self.as_code())

    def _making(self) -> Making:
        return Making(**{name: getattr(self, name) for name in controls.MADE})

    def _planning(self) -> dict[str, Any]:
        return self._settings | ({} if self.across == 1 else {"across": self.across})

    def _draw(self) -> Drawn:
        """Make the grid, or take the last one when nothing that makes it has changed."""
        asked = self._making()
        if self._kept is None or self._kept[0] != asked:
            self._kept = asked, asked.draw(self._loaded)
        drawn = self._kept[1]
        return replace(drawn, grid=drawn.grid.merged(self.merge)) if self.merge else drawn

    def _follow(self, _change: object = None) -> None:
        """Show what the controls say. Many may change at once, of which the first call takes care."""
        asked = self._making(), self.merge, self.panel, self.across
        with self.hold_sync():
            if asked != self._shown:
                self._shown = asked
                self._show()
            self._drawn = self._move

    def _show(self) -> None:
        grid = None
        with self._told():
            drawn = self._draw()
            grid = drawn.grid
            self.picture = grid.to_png(1)
            self.facts = facts.of_grid(grid, drawn.confidence)
            self.warnings = [escaped(note) for note in drawn.notes]
            # Paints change neither hours nor weak spots, and finding them would take the longest by far.
            plan = squarewright.plan(grid, panel=self.panel, **self._planning())
            self.facts = [*self.facts, *facts.of_plan(plan)]
            told = [*self.warnings, *(escaped(note) for note in plan.warnings)]
            self.warnings = list(dict.fromkeys(told))
        if grid is None:
            # The last picture stays, faded, but its numbers are those of something else.
            self.facts, self.warnings = [], []
        else:
            self.value = grid

    @contextlib.contextmanager
    def _told(self) -> Iterator[None]:
        """Turn what goes wrong into a sentence on the page: who moves a slider sees no log."""
        said = ""
        try:
            yield
        except SquarewrightError as error:
            said = str(error)
        except KeyboardInterrupt:
            said, self._shown = "Stopped. Move a control to go on.", None
        except Exception as error:
            said = escaped(f"INTERNAL: {type(error).__name__}: {error}. Please report it.")
        self.error = said

    @validate("panel")
    def _add_panel(self, proposal: Mapping[str, Any]) -> Panel:
        panel: Panel = proposal["value"]
        if panel not in self._panels:
            self._panels.append(panel)
            self._controls = self._described()
        return panel

    def _described(self) -> list[controls.Control]:
        return controls.described(self._loaded, self.columns, self._panels, self._is_read)

    def _repr_mimebundle_(self, **options: Any) -> Any:  # noqa: ANN401
        live: Any = super()._repr_mimebundle_(**options)
        data, metadata = live
        with contextlib.suppress(SquarewrightError):
            still = self.still()
            data = {**data, "text/html": still.to_html(), "image/png": still.png}
        return data, metadata

    def __repr__(self) -> str:
        return f"Explorer({self.value!r})"


def _small(picture: Picture) -> bytes:
    """Give a small picture of the whole, on which the crop is drawn; empty when it is of no use."""
    longer = min(_SOURCE_SIDE, max(picture.width, picture.height))
    side = {"columns": longer} if picture.width >= picture.height else {"rows": longer}
    pixelate: Callable[..., Grid] = _core.pixelate
    try:
        return pixelate(picture, colours=64, brushwork="every cell", **side).to_png(1)
    except SquarewrightError:
        return b""
