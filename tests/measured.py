"""Runs the command in a child process of its own and measures it."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

SECONDS = 2.0
"""The longest that the answer to one picture may take, start of Python included."""

MEBIBYTES = 600
"""The most memory that a child may have held."""

PANEL = ("--panel", "12in x 12in")

WITHOUT_PILLOW = (
    "-c",
    "import sys; sys.modules['PIL'] = None; from squarewright.command import main; sys.exit(main())",
)
"""The command in a Python where Pillow cannot be imported."""

AS_MODULE = ("-m", "squarewright")


@dataclass(frozen=True)
class Answer:
    """What a child said and what it took."""

    status: int
    out: str
    err: str
    seconds: float
    mebibytes: float

    def check_limits(self) -> None:
        """Fail when the child took too long or too much, or showed its inside."""
        assert self.seconds <= SECONDS, f"{self.seconds:.2f} s"
        assert self.mebibytes <= MEBIBYTES, f"{self.mebibytes:.0f} MiB"
        for word in ("Traceback", "panicked", "INTERNAL"):
            assert word not in self.err, self.err


LAUNCHER = """
import json, os, signal, sys, time
report, patience, *arguments = sys.argv[1:]
started = time.perf_counter()
child = os.posix_spawn(sys.executable, [sys.executable, *arguments], os.environ)
signal.signal(signal.SIGALRM, lambda *_: os.kill(child, signal.SIGKILL))
signal.alarm(int(patience))
_, status, usage = os.wait4(child, 0)
seconds = time.perf_counter() - started
status = os.waitstatus_to_exitcode(status)
os.write(int(report), json.dumps([status, seconds, usage.ru_maxrss / 1024]).encode())
"""


def python(*arguments: str, folder: Path, patience: int = 30) -> Answer:
    """Run Python in ``folder`` and wait for it; what takes longer than ``patience`` seconds is ended.

    The peak is what the kernel keeps for the child (getrusage(2), ru_maxrss), from before it became another
    program on: a small process in between starts it, so that the size of this one does not count.
    """
    reader, writer = os.pipe()
    try:
        done = subprocess.run(
            [sys.executable, "-I", "-S", "-c", LAUNCHER, str(writer), str(patience), *arguments],
            pass_fds=[writer],
            capture_output=True,
            cwd=folder,
            check=True,
        )
    finally:
        os.close(writer)
        with os.fdopen(reader, "rb") as file:
            report = file.read()
    status, seconds, mebibytes = json.loads(report)
    return Answer(status, done.stdout.decode(), done.stderr.decode(), seconds, mebibytes)


def plan(name: str, folder: Path, *more: str, program: tuple[str, ...] = AS_MODULE) -> Answer:
    """Plan the picture ``name`` in ``folder`` into its folder ``out``."""
    return python(*program, "plan", name, *PANEL, "--out", "out", *more, folder=folder)


def tree(folder: Path) -> list[str]:
    """List everything below a folder."""
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))
