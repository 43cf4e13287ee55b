"""Runs the command in a child process of its own and measures it."""

import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
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


def python(*arguments: str, folder: Path, patience: float = 30) -> Answer:
    """Run Python in ``folder`` and wait for it; what takes longer than ``patience`` seconds is ended.

    The peak is what the kernel keeps for the child (getrusage(2), ru_maxrss). It also counts the moment
    before the child became another program, when it was as large as this process: it is never too low.
    """
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        started = time.perf_counter()
        child = subprocess.Popen([sys.executable, *arguments], stdout=out, stderr=err, cwd=folder)
        alarm = threading.Timer(patience, os.kill, (child.pid, signal.SIGKILL))
        alarm.start()
        _, status, usage = os.wait4(child.pid, 0)
        seconds = time.perf_counter() - started
        alarm.cancel()
        child.returncode = os.waitstatus_to_exitcode(status)
        texts = [_text(file) for file in (out, err)]
    return Answer(child.returncode, *texts, seconds, usage.ru_maxrss / 1024)


def plan(name: str, folder: Path, *more: str, program: tuple[str, ...] = AS_MODULE) -> Answer:
    """Plan the picture ``name`` in ``folder`` into its folder ``out``."""
    return python(*program, "plan", name, *PANEL, "--out", "out", *more, folder=folder)


def tree(folder: Path) -> list[str]:
    """List everything below a folder."""
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def _text(file) -> str:
    file.seek(0)
    return file.read().decode()
