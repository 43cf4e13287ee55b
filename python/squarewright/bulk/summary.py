"""What became of many pictures: counts, codes, a table."""

import html
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from squarewright.bulk.job import Outcome
from squarewright.names import escaped


@dataclass(frozen=True, repr=False)
class Summary:
    """What became of all pictures of a run.

    Parameters
    ----------
    out : Path
        The folder of plans.
    outcomes : tuple of Outcome
        One for each picture that was tried, ordered by path.
    left : tuple of str
        Pictures that were not tried as the run ended before.
    notes : tuple of str
        What else there is to know, such as a pattern without a picture.
    """

    out: Path
    outcomes: tuple[Outcome, ...]
    left: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def done(self) -> tuple[Outcome, ...]:
        """Pictures that were planned in this run."""
        return self._with("done")

    @property
    def unchanged(self) -> tuple[Outcome, ...]:
        """Pictures whose plans stand there already."""
        return self._with("unchanged")

    @property
    def failed(self) -> tuple[Outcome, ...]:
        """Pictures that have no plan, or no new one."""
        return self._with("failed")

    @property
    def codes(self) -> dict[str, int]:
        """How many pictures failed for each reason, most first."""
        counts = Counter(str(outcome.code) for outcome in self.failed)
        return dict(sorted(counts.items(), key=lambda each: (-each[1], each[0])))

    def _with(self, state: str) -> tuple[Outcome, ...]:
        return tuple(outcome for outcome in self.outcomes if outcome.state == state)

    @property
    def _counted(self) -> str:
        counts = {"done": len(self.done), "unchanged": len(self.unchanged), "failed": len(self.failed)}
        counts["left"] = len(self.left)
        return ", ".join(f"{count} {word}" for word, count in counts.items() if count or word == "done")

    def __repr__(self) -> str:
        return f"Summary({self._counted})"

    def _repr_html_(self) -> str:
        rows = [(outcome.state, escaped(outcome.path), _reason(outcome)) for outcome in self.outcomes]
        rows += [("left", escaped(path), "") for path in self.left]
        told = "".join(f"<tr>{''.join(f'<td>{html.escape(word)}</td>' for word in row)}</tr>" for row in rows)
        said = "".join(f"<p>{html.escape(words)}</p>" for words in (f"{self._counted}.", *self.notes))
        head = "<tr><th>state</th><th>picture</th><th>why</th></tr>"
        return f"{said}<table><thead>{head}</thead><tbody>{told}</tbody></table>"

    def __str__(self) -> str:
        lines = [f"{self._counted}."]
        width = max(map(len, self.codes), default=0)
        for code, count in self.codes.items():
            lines.append(f"{code:{width}}  {count}")
            lines.extend(f"  {_why(outcome)}" for outcome in self.failed if outcome.code == code)
        return "\n".join(lines)


def _why(outcome: Outcome) -> str:
    return f"{escaped(outcome.path)} {outcome.what}. {outcome.hint or ''}".rstrip()


def _reason(outcome: Outcome) -> str:
    return "" if outcome.code is None else f"{outcome.code}: {outcome.what}. {outcome.hint or ''}".rstrip()
