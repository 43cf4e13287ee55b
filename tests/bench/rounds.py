"""Times two ways of doing the same, turn by turn in one run, and gives the medians and their ratio."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median


@dataclass(frozen=True)
class Case:
    """Our way, and what a person would write with general libraries instead."""

    room: str
    what: str
    ours: Callable[[], object]
    theirs: Callable[[], object]
    by: str
    turns: int = 9


@dataclass(frozen=True)
class Timed:
    """Medians of a case, in seconds."""

    case: Case
    ours: float
    theirs: float

    @property
    def ratio(self) -> float:
        return self.ours / self.theirs


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def run(case: Case) -> Timed:
    """Time both ways in turns, after one turn of each that does not count."""
    case.ours(), case.theirs()
    both = [(seconds(case.ours), seconds(case.theirs)) for _ in range(case.turns)]
    return Timed(case, *(median(times) for times in zip(*both, strict=True)))


def shown(taken: float) -> str:
    """Write a time with three digits."""
    milliseconds = taken * 1000
    if milliseconds >= 1000:
        return f"{taken:.2f} s"
    return f"{milliseconds:.0f} ms" if milliseconds >= 100 else f"{milliseconds:.2g} ms"


def table(cases: list[Case]) -> None:
    """Print one line for each case as soon as it is known."""
    print("| room | what | ours | by hand | ratio | by hand means |\n|---|---|---|---|---|---|")
    for case in cases:
        found = run(case)
        times = f"{shown(found.ours)} | {shown(found.theirs)} | {found.ratio:.2g}"
        print(f"| {case.room} | {case.what} | {times} | {case.by} |", flush=True)
