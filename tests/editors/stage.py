"""For tests inside editors: where editors are, a screen, what the package makes of the same pixels."""

import contextlib
import os
import shutil
import subprocess
import time
from pathlib import Path

import pytest

from squarewright.editors import work

ROOT = Path(__file__).parent.parent.parent
POND = ROOT / "examples" / "pond"
SHOTS = ROOT / "target" / "screenshots"
DEBIAN = ROOT / "target" / "editors" / "debian-13"
LAYERS = ["Cells", "Inner lines", "Outline", "Marks", "Codes", "Weak spots"]


def need(name, is_there):
    """Skip a test whose editor is not there, unless all are demanded."""
    if is_there:
        return
    if os.environ.get("TEST_EDITORS") == "required":
        pytest.fail(f"{name} is demanded and not installed")
    pytest.skip(f"{name} is not installed; .ci/run installs it")


def expected(action, settings, pixels, size, **more):
    """Give the layers that the package makes of the same pixels, without any editor."""
    request = {"action": action, "settings": settings, "width": size[0], "height": size[1], **more}
    return list(work.do(request, pixels, lambda _: None).layers.values())


@contextlib.contextmanager
def screen(width=1280, height=900):
    """Start a screen with a window manager; give the environment in which it is found."""
    reader, writer = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writer), "-screen", "0", f"{width}x{height}x24", "-nolisten", "tcp"],
        pass_fds=[writer],
        stderr=subprocess.DEVNULL,
    )
    os.close(writer)
    with os.fdopen(reader) as file:
        display = f":{int(file.readline())}"
    environment = {**os.environ, "DISPLAY": display}
    manager = subprocess.Popen(
        ["openbox"], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        yield environment
    finally:
        for process in (manager, server):
            process.kill()
            process.wait()


def shoot(environment, name):
    """Keep a picture of the whole screen."""
    SHOTS.mkdir(parents=True, exist_ok=True)
    # Away from whatever has a tip to give.
    subprocess.run(["xdotool", "mousemove", "1279", "899"], env=environment, check=True, timeout=60)
    subprocess.run(
        ["import", "-window", "root", str(SHOTS / f"{name}.png")], env=environment, check=True, timeout=60
    )


def until(ready, seconds, what):
    """Wait until something is so."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = ready()
        if found:
            return found
        time.sleep(0.2)
    pytest.fail(f"{what} within {seconds} s")


def fresh(folder):
    """Give an empty folder."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    return folder
