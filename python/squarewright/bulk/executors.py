"""Who does the work: threads of our own, any executor, or whatever an adapter makes one of."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from functools import partial
from threading import Event
from typing import Any, Protocol

from squarewright.bulk.job import Job, Outcome, do
from squarewright.processors import processors

AT_ONCE = 64
"""How many jobs an executor of unknown size is given at a time."""


class Promise(Protocol):
    """What becomes the outcome of a job: a future of ``concurrent.futures``, or something like it."""

    def add_done_callback(self, tell: Callable[[Any], object], /) -> object:
        """Have a function called with this promise once it is kept."""

    def result(self) -> Outcome:
        """Give the outcome."""

    def cancel(self) -> object:
        """Forget about it, if it has not begun."""


class Submitting(Protocol):
    """Anything with ``submit``, such as an executor of ``concurrent.futures`` or of a cluster."""

    def submit(self, function: Callable[[Job], Outcome], job: Job, /) -> Promise:
        """Have the function called with the job, some time and somewhere."""


class Adapted:
    """An executor out of a function that runs another one elsewhere and waits for what it gives.

    Parameters
    ----------
    run : callable
        Called with a function and its argument, both picklable, in a thread of its own.
    workers : int
        How many run at the same time.

    Examples
    --------
    With a pool of ``multiprocessing``:

    >>> Adapted(lambda function, job: pool.apply(function, (job,)), workers=4)  # doctest: +SKIP
    """

    def __init__(self, run: Callable[[Callable[[Job], Outcome], Job], Outcome], workers: int) -> None:
        self._run = run
        self._max_workers = workers
        self._threads = ThreadPoolExecutor(workers, thread_name_prefix="squarewright")

    def submit(self, function: Callable[[Job], Outcome], job: Job, /) -> Future[Outcome]:
        """Have the function run with a job."""
        return self._threads.submit(self._run, function, job)


Submit = Callable[[Job], Promise]


@contextmanager
def open_executor(executor: Submitting | None, workers: int | None) -> Iterator[tuple[Submit, int]]:
    """Give what submits a job, and how many jobs should wait there at a time.

    Our own threads are told to stop when the block is left by an error; an executor that was given stays
    open.
    """
    if executor is not None:
        size = workers or getattr(executor, "_max_workers", None) or AT_ONCE
        yield partial(executor.submit, do), 2 * int(size)
        return
    stop, count = Event(), workers or processors()
    with ThreadPoolExecutor(count, thread_name_prefix="squarewright") as threads:
        try:
            yield partial(threads.submit, partial(do, stop=stop)), 2 * count
        except BaseException:
            stop.set()
            threads.shutdown(wait=False, cancel_futures=True)
            raise
