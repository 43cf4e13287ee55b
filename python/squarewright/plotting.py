"""Drawing with matplotlib, where it is installed."""

from typing import TYPE_CHECKING

from squarewright._core import Grid
from squarewright.errors import PackageError

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def plot(grid: Grid, ax: "Axes | None", lines: bool) -> "Axes":
    """Draw a grid.

    Parameters
    ----------
    grid : Grid
        What is drawn.
    ax : Axes or None
        Where to; a new one when it is None.
    lines : bool
        Whether lines between the cells are drawn.

    Returns
    -------
    Axes

    Raises
    ------
    PackageError
        ``PACKAGE-MISSING`` when matplotlib is not installed.
    """
    try:
        from matplotlib import pyplot, ticker
    except ImportError:
        hint = 'Install it: pip install "squarewright[plot]".'
        raise PackageError(
            "PACKAGE-MISSING", "matplotlib is not installed, which plot draws with", hint
        ) from None
    if ax is None:
        _, ax = pyplot.subplots()
    # Half-way marks make the numbers of the cells those of the chart, counted from 1.
    edges = (0.5, grid.columns + 0.5, grid.rows + 0.5, 0.5)
    ax.imshow(grid.to_array(), interpolation="nearest", aspect="equal", extent=edges)
    for axis in (ax.xaxis, ax.yaxis):
        axis.set_major_locator(ticker.MaxNLocator(integer=True))
    if lines:
        ax.vlines([column + 0.5 for column in range(grid.columns + 1)], *edges[2:], colors="0.6", lw=0.5)
        ax.hlines([row + 0.5 for row in range(grid.rows + 1)], *edges[:2], colors="0.6", lw=0.5)
    return ax
