"""All pictures, one after the other or many at once."""

import dataclasses
import os
from collections.abc import Callable, Generator, Iterable, Mapping
from concurrent.futures import BrokenExecutor, CancelledError
from contextlib import ExitStack, closing
from itertools import islice
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Any

from squarewright import files
from squarewright.bulk import finding, journal
from squarewright.bulk.executors import Promise, Submit, Submitting, open_executor
from squarewright.bulk.job import Job, Outcome
from squarewright.bulk.journal import Journal
from squarewright.bulk.summary import Summary
from squarewright.errors import ArgumentError, PlaceError
from squarewright.names import escaped
from squarewright.settings import Settings, trial
from squarewright.settings.kinds import WrongTypeError
from squarewright.settings.value import DEFAULTS, KINDS

Progress = Callable[[int, int, Outcome], object]


def plan_many(
    paths: str | os.PathLike[str] | Iterable[str | os.PathLike[str]],
    settings: Settings,
    out: str | os.PathLike[str],
    executor: Submitting | None = None,
    progress: Progress | None = None,
    *,
    workers: int | None = None,
    resume: bool = True,
    overwrite: bool = False,
    mkdir: bool = False,
    fail_fast: bool = False,
    max_failures: int | None = None,
    dry_run: bool = False,
) -> Summary:
    """Plan many pictures with the same settings, each into a folder of its own.

    ``journal.jsonl`` in ``out`` has a line for each picture. A picture that has not changed, with settings
    that have not, and with all its files as they were written, is not planned again; so a run that was
    stopped or killed goes on where it was. Which worker does what, and in which order, changes no byte.

    Parameters
    ----------
    paths : path or iterable of path
        Files, folders (with the folders in them) and patterns such as ``"photos/**/*.jpg"``.
    settings : Settings
        With a panel; ``files`` says which files are written.
    out : path
        The folder of plans; made when it is missing.
    executor : Executor, optional
        Who does the work: by default threads, one for each core. Anything with ``submit`` whose futures have
        ``add_done_callback`` and ``result`` will do, such as a process pool or the executor of a
        cluster whose machines see the same files; ``squarewright.bulk.Adapted`` makes one of
        other things.
    progress : callable, optional
        Called with the number of pictures that are done, that of all, and the last outcome. What it raises
        ends the run.
    workers : int, optional
        How many threads; with ``executor``, half as many as jobs that wait there at a time.
    resume : bool, default True
        Whether pictures are left out that need no new plan.
    overwrite : bool, default False
        Whether files may be replaced that this journal does not know, or that changed since.
    mkdir : bool, default False
        Whether missing folders above ``out`` are made too.
    fail_fast : bool, default False
        Whether the first failure ends the run.
    max_failures : int, optional
        How many failures end the run.
    dry_run : bool, default False
        Do all but write.

    Returns
    -------
    Summary
        A bad picture is a failure in it and stops nothing else.

    Raises
    ------
    PlaceError
        ``PATH-NONE`` when no picture is there at all.
    ArgumentError, SizeError, GridError, StockError, PlaceError
        When the settings would fail with every picture.
    OutputError
        ``OUT-…`` when ``out`` cannot be written to, ``OUT-BUSY`` when another run writes there,
        ``OUT-JOURNAL`` when its journal is none of ours.
    TypeError
        When something in ``paths`` is no path, ``settings`` are none, or ``executor`` has no ``submit``.
    KeyboardInterrupt
        What is done is in the journal.

    Examples
    --------
    >>> settings = Settings(panel="12in x 12in", pixelate=True, columns=48)
    >>> plan_many("photos", settings, "plans")  # doctest: +SKIP
    """
    if workers is not None and workers < 1:
        raise ArgumentError(
            "VALUE-BAD", f"workers must be 1 or more, got {workers}", "Give a number above 0."
        )
    if max_failures is not None and max_failures < 1:
        what = f"max_failures must be 1 or more, got {max_failures}"
        raise ArgumentError("VALUE-BAD", what, "Give a number above 0.")
    if not isinstance(settings, Settings):
        raise TypeError(f"settings must be Settings, got {type(settings).__name__}")
    if executor is not None and not hasattr(executor, "submit"):
        raise TypeError(f"executor must have submit, got {type(executor).__name__}")
    place = Path(os.fsdecode(out)).absolute()
    ready = _ready(settings)
    given = [paths] if isinstance(paths, str | os.PathLike) else paths
    found, notes = finding.find(given, place)
    if not found:
        what = escaped("; ".join(notes)) or "no path was given"
        raise PlaceError("PATH-NONE", f"nothing to plan: {what}", "Give pictures, folders or patterns.")
    if dry_run:
        files.check_targets(place, (), overwrite, mkdir)
    else:
        files.make(place, mkdir)
    most = 1 if fail_fast else max_failures
    with Journal(place, is_kept=not dry_run) as kept:
        owned = {key: record["folder"] for key, record in kept.records.items()}
        named = finding.folders(found, owned, [journal.NAME])
        base = Job("", "", "", str(place), ready, ready.digest, None, resume, overwrite, dry_run)
        jobs = [
            dataclasses.replace(
                base, key=key, folder=named[key], path=str(path.absolute()), known=kept.records.get(key)
            )
            for key, path in found.items()
        ]
        outcomes: dict[str, Outcome] = {}
        with open_executor(executor, workers) as (submit, at_once), ExitStack() as ended:
            each = _each(jobs, submit, at_once, most)
            for outcome in ended.enter_context(closing(each)):
                outcomes[outcome.path] = outcome
                kept.add(outcome.to_record(base.digest))
                if progress is not None:
                    progress(len(outcomes), len(jobs), outcome)
    left = tuple(key for key in found if key not in outcomes)
    return Summary(place, tuple(outcomes[key] for key in found if key in outcomes), left, tuple(notes))


def _ready(settings: Settings) -> Settings:
    """Read the paints once, and find out what would go wrong with every picture."""
    ready = dataclasses.replace(settings, stock=settings.read_stock())
    ready.board  # noqa: B018 -- for what it raises
    for key in KINDS:
        value = getattr(ready, key)
        if value == DEFAULTS[key]:
            continue
        try:
            trial.run(key, value)
        except WrongTypeError:
            what = f"{key} is of another type, got {value!r}"
            raise ArgumentError("VALUE-BAD", what, "Change that value and try again.") from None
    return ready


def _each(jobs: list[Job], submit: Submit, at_once: int, most: int | None) -> Generator[Outcome, None, None]:
    """Give outcomes as they come, until there are too many failures; what is under way then is waited for."""
    waiting, ended = iter(jobs), SimpleQueue[Promise]()
    running: dict[int, tuple[Promise, Job]] = {}
    failures, is_open = 0, True
    try:
        while True:
            for job in islice(waiting, max(0, at_once - len(running)) if is_open else 0):
                try:
                    future = submit(job)
                except BrokenExecutor:
                    # Its last futures say why.
                    is_open = False
                    break
                running[id(future)] = future, job
                future.add_done_callback(ended.put)
            if not running:
                return
            future = _next(ended)
            _, job = running.pop(id(future))
            outcome = _outcome(future, job)
            if outcome is None:
                continue
            failures += outcome.state == "failed"
            if is_open and most is not None and failures >= most:
                is_open = False
                for other, _ in running.values():
                    other.cancel()
            yield outcome
    finally:
        for future, _ in running.values():
            future.cancel()


def _next(ended: "SimpleQueue[Promise]") -> Promise:
    while True:
        try:
            # Without a limit not every system would let Ctrl-C through.
            return ended.get(timeout=0.2)
        except Empty:
            continue


def _outcome(future: Promise, job: Job) -> Outcome | None:
    try:
        found = future.result()
    except CancelledError:
        return None
    except Exception as error:
        what = escaped(f"{type(error).__name__}: {error}")
        hint = "Run again; what is done is not done again."
        known: Mapping[str, Any] = job.known or {}
        earlier = {**known.get("earlier", {}), **known.get("files", {})}
        return Outcome(job.key, job.folder, "failed", "WORKER-LOST", what, hint, earlier=earlier)
    return found
