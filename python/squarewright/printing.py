"""How a book is printed: the keywords that ``Plan.to_pdf`` and ``Plan.write`` share."""

from collections.abc import Sequence
from typing import TypedDict

from squarewright._core import Length


class Printing(TypedDict, total=False):
    """The keywords of ``Plan.to_pdf``, all optional; what each means stands there."""

    paper: str
    pages: str | Sequence[str] | None
    units: str | None
    large_print: bool
    ink: str
    language: str
    bars: tuple[Length | str, Length | str, Length | str] | None
