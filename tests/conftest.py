"""What several tests need: the command in a child within limits, and a user who owns nothing."""

import contextlib
import io
import json
import os
import shutil
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import pytest

LIMIT_SECONDS, LIMIT_KIB = 2, 600 * 1024
MEASURED = """
import json, os, sys, time
from squarewright.command import main
start = time.perf_counter()
status = main(sys.argv[2:])
told = {"status": status, "seconds": time.perf_counter() - start}
# what getrusage(2) tells has in it what the process was before it became this program
peak = next(line for line in open("/proc/self/status") if line.startswith("VmHWM:"))
told["kib"] = int(peak.split()[1])
os.write(int(sys.argv[1]), json.dumps(told).encode())
"""


@pytest.fixture
def run():
    return _run


def _run(*arguments, **options):
    """Run the command in a child, within the limits of time and memory; give its status and words."""
    reader, writer = os.pipe()
    done = subprocess.run(
        [sys.executable, "-c", MEASURED, str(writer), *arguments],
        pass_fds=[writer],
        capture_output=True,
        timeout=60,
        check=False,
        **options,
    )
    os.close(writer)
    with os.fdopen(reader, "rb") as file:
        measured = json.loads(file.read() or b"null")
    assert measured, done.stderr.decode(errors="replace")
    assert measured["seconds"] <= LIMIT_SECONDS and measured["kib"] <= LIMIT_KIB, measured
    assert b"Traceback" not in done.stderr
    return measured["status"], done.stdout.decode(), done.stderr.decode()


STRANGER = 65534


@pytest.fixture
def reachable():
    """Give a folder that every user may read and enter, and its owner alone may change."""
    place = Path(tempfile.mkdtemp(prefix="squarewright-"))
    place.chmod(0o755)
    yield place
    for each in (place, *place.rglob("*")):
        each.chmod(0o755)
    shutil.rmtree(place)


@pytest.fixture
def as_stranger():
    return _as_stranger


def _as_stranger(work):
    """Run a command in a child that has no rights; give its status and what it said on standard error.

    The super-user, whom tests may run as, is refused nothing.
    """
    reader, writer = os.pipe()
    with warnings.catch_warnings():
        # Newer Pythons warn of a fork beside threads; none of them is at work here.
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        said = io.StringIO()
        try:
            if os.geteuid() == 0:
                os.setgroups([])
                os.setgid(STRANGER)
                os.setuid(STRANGER)
            with contextlib.redirect_stderr(said), contextlib.redirect_stdout(io.StringIO()):
                status = work()
            os.write(writer, f"{status} {said.getvalue()}".encode())
        except BaseException as error:
            os.write(writer, repr(error).encode())
        finally:
            os._exit(0)
    os.close(writer)
    os.waitpid(child, 0)
    with os.fdopen(reader, "rb") as file:
        return file.read().decode()
