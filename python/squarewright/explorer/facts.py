"""What a grid and its plan come to, as rows of words."""

from squarewright import telling
from squarewright._core import Grid, Plan


def of_grid(grid: Grid, confidence: float | None) -> list[tuple[str, str]]:
    """Say what a grid alone tells.

    Parameters
    ----------
    grid : Grid
    confidence : float or None
        How sure its reading is, when it was recovered.

    Returns
    -------
    list of (str, str)
        What it is about, and what there is.
    """
    painted = int(grid.counts.sum())
    bare = grid.rows * grid.columns - painted
    facts = [
        ("Cells", f"{grid.rows} rows × {grid.columns} columns"),
        ("To paint", f"{painted:,} cells" + (f", {bare:,} stay bare" if bare else "")),
        ("Colours", str(len(grid.palette))),
    ]
    if confidence is not None:
        sure = "sure" if confidence >= 0.99 else "likely" if confidence >= 0.5 else "unsure: look closely"
        facts.insert(0, ("Reading", f"{sure} ({confidence:.2f})"))
    return facts


def of_plan(plan: Plan) -> list[tuple[str, str]]:
    """Say what a plan adds.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    list of (str, str)
        What it is about, and what there is.
    """
    fit, hours = plan.fit, plan.hours
    pitch, wide, high = (fit.text(length) for length in (fit.pitch, fit.width, fit.height))
    one = fit.across * fit.down == 1
    return [
        ("Patches", f"{sum(colour['patches'] for colour in plan.colours):,}"),
        ("Cell size", pitch),
        ("Figure", f"{wide} wide, {high} high"),
        ("Panels", "one" if one else f"{fit.across} across × {fit.down} down"),
        ("Work", _hours(*hours["work"])),
        ("Waiting", _hours(*hours["wait"])),
        ("Weak spots", telling.weak_words(plan) or "none"),
    ]


def _hours(low: float, high: float) -> str:
    digits = 1 if low < 3 else 0
    return f"{low:.{digits}f} to {high:.{digits}f} hours"
