"""What the files of a plan hold."""

from collections.abc import Callable, Sequence

from squarewright._core import Plan
from squarewright.printing import Printing

PLAN_FILES = (
    "book.pdf",
    "report.html",
    "template.svg",
    "preview.png",
    "projector.png",
    "palette.gpl",
    "plan.json",
    "colours.csv",
    "marks.csv",
    "cuts.csv",
)
"""The files of a plan."""


def contents(plan: Plan, printing: Printing, only: Sequence[str] = PLAN_FILES) -> dict[str, bytes]:
    """Make the files of a plan.

    Parameters
    ----------
    plan : Plan
        The plan.
    printing : Printing
        How the book is printed, as for ``Plan.to_pdf``.
    only : sequence of str
        Which of ``PLAN_FILES`` are made.

    Returns
    -------
    dict of str to bytes
        What each holds, in the order of ``PLAN_FILES``.
    """
    units, language = printing.get("units"), printing.get("language", "en")
    makers: dict[str, Callable[[], bytes]] = {
        "book.pdf": lambda: plan.to_pdf(**printing),
        "report.html": lambda: plan.to_html(units=units, language=language).encode(),
        "template.svg": lambda: plan.to_svg().encode(),
        "preview.png": plan.to_png,
        "projector.png": plan.to_projector_png,
        "palette.gpl": lambda: plan.to_gpl().encode(),
        "plan.json": lambda: plan.to_json().encode(),
        "colours.csv": lambda: plan.colours_csv().encode(),
        "marks.csv": lambda: plan.marks_csv().encode(),
        "cuts.csv": lambda: plan.cuts_csv().encode(),
    }
    return {name: makers[name]() for name in PLAN_FILES if name in only}
