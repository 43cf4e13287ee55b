"""A picture as a grid, live in a notebook."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from squarewright import _core, pictures
from squarewright._core import Panel, Picture, Stock
from squarewright.errors import ArgumentError, GridError, PackageError
from squarewright.explorer import controls
from squarewright.names import shown

if TYPE_CHECKING:
    from squarewright.explorer.widget import Explorer

_PLANNING = ("ruler", "pitches", "pitch", "margin", "ending", "backing", "edges", "hand", "name")
"""Arguments of ``plan`` that may be given and stay as they are."""
_SURE = 0.5


def explore(
    picture: object,
    panel: Panel | Sequence[Panel] | None = None,
    stock: Stock | None = None,
    **start: Any,  # noqa: ANN401
) -> "Explorer":
    """Try columns, colours, calm and panels by eye, live in a notebook.

    Works in JupyterLab and wherever anywidget does. Pixel art is shown by its own cells, anything else
    pixelated.

    Parameters
    ----------
    picture : Picture, path, bytes, file object, ndarray or Pillow image
        The picture.
    panel : Panel or sequence of Panel, optional
        The board, or boards to choose from; by default squares and sheets of common sizes.
    stock : Stock, optional
        The paints with which ``Explorer.plan`` plans.
    **start
        Where the controls stand at first: ``columns``, ``colours``, ``brushwork``, ``calm``,
        ``smallest_patch``, ``figure``, ``crop`` and ``seed`` as for ``pixelate``; ``merge`` as for
        ``Grid.merged``; ``across``, panels side by side; ``door``, ``"recovered"`` or ``"pixelated"``. And
        ``ruler``, ``pitches``, ``pitch``, ``margin``, ``ending``, ``backing``, ``edges``, ``hand`` and
        ``name``, as for ``plan``.

    Returns
    -------
    Explorer
        Its ``grid``, ``plan()``, ``as_code()`` and ``still()`` give what is shown.

    Raises
    ------
    PackageError
        ``PACKAGE-MISSING`` when anywidget is not installed.
    ArgumentError
        ``VALUE-BAD`` for a bad setting.
    SquarewrightError
        As ``pixelate`` and ``recover``, when the start cannot be shown.

    Examples
    --------
    >>> explorer = explore("kingfisher.jpg", columns=60)  # doctest: +SKIP
    >>> explorer.plan().write("kingfisher-plan")  # doctest: +SKIP
    """
    explorer_type = _widget()
    unknown = start.keys() - {*controls.ALL, *_PLANNING}
    if unknown or "panel" in start:
        listed = ", ".join(sorted(unknown))
        known = ", ".join(name for name in (*controls.ALL, *_PLANNING) if name != "panel")
        raise ArgumentError("VALUE-BAD", f"explore has no setting {listed}", f"It has {known}.")
    loaded = pictures.load(picture)
    settings = {name: start.pop(name) for name in _PLANNING if name in start}
    settings.setdefault("name", _name(loaded))
    is_read = _is_read(loaded)
    pixelating = {"columns", "colours", "brushwork", "calm", "smallest_patch", "figure"} & start.keys()
    start.setdefault("door", "recovered" if is_read and not pixelating else "pixelated")
    from traitlets import TraitError

    try:
        explorer = explorer_type(
            picture,
            loaded,
            panels=_panels(panel),
            stock=stock,
            settings=settings,
            is_read=is_read or start["door"] == "recovered",
            **start,
        )
    except TraitError as error:
        raise ArgumentError("VALUE-BAD", str(error), "See help(squarewright.explore).") from None
    explorer.grid  # noqa: B018 - a start that cannot be made is told at once
    return explorer


def _widget() -> "type[Explorer]":
    try:
        import anywidget  # noqa: F401
    except ImportError:
        hint = 'Install it: pip install "squarewright[notebook]".'
        what = "anywidget is not installed, which explore works with"
        raise PackageError("PACKAGE-MISSING", what, hint) from None
    from squarewright.explorer.widget import Explorer

    return Explorer


def _is_read(picture: Picture) -> bool:
    """Say whether a picture is pixel art whose cells can be read."""
    try:
        return _core.recover(picture).confidence >= _SURE
    except GridError:
        return False


def _panels(panel: Panel | Sequence[Panel] | None) -> list[Panel]:
    if panel is None:
        # Sizes of craft cork: common practice.
        sides = (("12 in", "12 in"), ("12 in", "24 in"), ("24 in", "36 in"))
        return [Panel(*each, thickness="1/4 in") for each in sides]
    panels = [panel] if isinstance(panel, Panel) else list(panel)
    if not panels or not all(isinstance(each, Panel) for each in panels):
        raise ArgumentError(
            "VALUE-BAD", "panel must be a Panel or some of them", 'Give Panel("12 in", "12 in").'
        )
    return panels


def _name(picture: Picture) -> str:
    return "figure" if picture.name is None else shown(picture.name.rsplit(".", 1)[0])
