"""The work in a process of its own, for editors whose Python cannot load the package: JSON lines out.

The first line tells protocol and version. Then come lines with ``progress`` and a last one with ``result``,
or with ``error``, ``message``, ``hint`` and ``name``. Pixels go through files beside the request, packed by
zlib (RFC 1950) on the way back. When standard input ends, nobody waits any more: it stops as at Ctrl-C.
"""

import _thread
import contextlib
import json
import os
import signal
import sys
import threading
import time
import zlib
from pathlib import Path
from typing import Any

from squarewright import _core
from squarewright.editors import work
from squarewright.errors import SquarewrightError

STOPPED = 3
"""The exit status when nobody waits any more."""

PATIENCE = 20.0
"""Seconds that the work has to stop by itself."""


def run(path: str) -> int:
    """Do what a request asks for, and tell of it on standard output.

    Parameters
    ----------
    path : str
        The file of the request; ``pixels.rgba`` lies beside it.

    Returns
    -------
    int
        0 done, 1 refused with a last line that says why, 3 stopped.
    """
    # An editor may have been started so that Ctrl-C is ignored, and its children inherit that.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        threading.Thread(target=_stop_when_alone, daemon=True).start()
        return _done(Path(path))
    except (KeyboardInterrupt, BrokenPipeError):
        _clear(Path(path).parent)
        # What is still to be said would go nowhere.
        os._exit(STOPPED)


def _done(path: Path) -> int:
    _tell({"protocol": work.PROTOCOL, "version": _core.VERSION})
    folder = path.parent
    try:
        request = json.loads(path.read_bytes())
        pixels = folder / "pixels.rgba"
        made = work.do(request, pixels.read_bytes() if pixels.exists() else b"", _Progress())
    except SquarewrightError as error:
        _tell({"error": error.code, "message": error.what, "hint": error.hint, "name": error.name or ""})
        return 1
    except BrokenPipeError:
        raise
    except Exception as error:
        _tell({"error": "INTERNAL", "message": f"{type(error).__name__}: {error}", "hint": "", "name": ""})
        return 1
    for name, layer in made.layers.items():
        (folder / f"{name}.z").write_bytes(zlib.compress(layer, 1))
    result = {"facts": made.facts, "size": made.size, "layers": list(made.layers), "paints": made.paints}
    _tell({"result": result})
    return 0


class _Progress:
    """Tells the share that is done in whole percents."""

    def __init__(self) -> None:
        self.told = -1

    def __call__(self, share: float) -> None:
        if share >= work.WRITING:
            signal.signal(signal.SIGINT, signal.SIG_IGN)
        percent = int(share * 100)
        if percent > self.told:
            self.told = percent
            _tell({"progress": percent / 100})


def _tell(line: dict[str, Any]) -> None:
    print(json.dumps(line), flush=True)


def _stop_when_alone() -> None:
    # Without a standard input there is nobody to watch.
    if sys.stdin is None:
        return
    while os.read(sys.stdin.fileno(), 4096):
        pass
    _thread.interrupt_main()
    time.sleep(PATIENCE)
    os._exit(STOPPED)


def _clear(folder: Path) -> None:
    """Take away the files of a request that nobody waits for, and their folder when it held them alone."""
    for each in (folder / "request.json", folder / "pixels.rgba", *folder.glob("*.z")):
        each.unlink(missing_ok=True)
    with contextlib.suppress(OSError):
        folder.rmdir()
