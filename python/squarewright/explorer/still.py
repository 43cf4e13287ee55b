"""The still twin of the explorer: what it shows now, without anything that moves."""

import base64
import html
from collections.abc import Sequence
from dataclasses import dataclass

# Notebooks have styles of their own for lists and code, and some float the terms.
_STYLE = (
    "<style>.squarewright-still{display:flex;flex-wrap:wrap;gap:1em}"
    ".squarewright-still img{image-rendering:pixelated;max-width:100%}"
    ".squarewright-still dl{display:grid;grid-template-columns:max-content auto;gap:.1em .8em;margin:0}"
    ".squarewright-still dt{float:none;width:auto;font-weight:normal;opacity:.75}"
    ".squarewright-still dd{float:none;width:auto;margin:0}"
    ".squarewright-still pre{flex-basis:100%;margin:0;white-space:pre-wrap;font-family:monospace}</style>"
)


@dataclass(frozen=True, repr=False)
class Still:
    """A picture of the grid with its numbers, for notebooks that are exported and printed.

    Attributes
    ----------
    png : bytes
        The grid as PNG.
    facts : tuple of (str, str)
        What it comes to.
    notes : tuple of str
        What there is to know.
    code : str
        The code that makes it again.
    """

    png: bytes
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    code: str

    @classmethod
    def of(cls, png: bytes, facts: Sequence[tuple[str, str]], notes: Sequence[str], code: str) -> "Still":
        """Take what the explorer shows."""
        return cls(png, tuple(facts), tuple(notes), code)

    def to_html(self) -> str:
        """Write it as a piece of HTML that needs nothing else.

        Returns
        -------
        str
        """
        described = html.escape(", ".join(f"{what}: {value}" for what, value in self.facts))
        data = base64.b64encode(self.png).decode()
        listed = "".join(
            f"<dt>{html.escape(what)}</dt><dd>{html.escape(value)}</dd>" for what, value in self.facts
        )
        told = "".join(f"<p>{html.escape(note)}</p>" for note in self.notes)
        return (
            f'{_STYLE}<div class="squarewright-still"><img alt="{described}" '
            f'src="data:image/png;base64,{data}"><div><dl>{listed}</dl>{told}</div>'
            f"<pre>{html.escape(self.code)}</pre></div>"
        )

    def _repr_html_(self) -> str:
        return self.to_html()

    def _repr_png_(self) -> bytes:
        return self.png

    def __repr__(self) -> str:
        return f"Still({', '.join(value for _, value in self.facts[:3])})"
