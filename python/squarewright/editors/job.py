"""The work in a process of its own, for editors whose Python cannot load the package: JSON lines out.

The first line tells protocol and version. Then come lines with ``progress`` and a last one with ``result``,
or with ``error``, ``message`` and ``hint``. Pixels go through files beside the request, packed by zlib
(RFC 1950) on the way back. When standard input ends, who asked has gone, and so does this.
"""

import json
import os
import sys
import threading
import zlib
from pathlib import Path
from typing import Any

from squarewright import _core
from squarewright.editors import work
from squarewright.errors import SquarewrightError

STOPPED = 3
"""The exit status when who asked has gone."""


def run(path: str) -> int:
    """Do what a request asks for, and tell of it on standard output.

    Parameters
    ----------
    path : str
        The file of the request; ``pixels.rgba`` lies beside it.

    Returns
    -------
    int
        0 done, 1 refused with a last line that says why.
    """
    threading.Thread(target=_leave_when_alone, daemon=True).start()
    _tell({"protocol": work.PROTOCOL, "version": _core.VERSION})
    folder = Path(path).parent
    try:
        request = json.loads(Path(path).read_bytes())
        pixels = folder / "pixels.rgba"
        made = work.do(request, pixels.read_bytes() if pixels.exists() else b"", _Progress())
    except SquarewrightError as error:
        what = f"{error.name} {error.what}" if error.name else error.what
        _tell({"error": error.code, "message": what, "hint": error.hint})
        return 1
    except Exception as error:
        _tell(
            {"error": "INTERNAL", "message": f"{type(error).__name__}: {error}", "hint": "Please report it."}
        )
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
        percent = int(share * 100)
        if percent > self.told:
            self.told = percent
            _tell({"progress": percent / 100})


def _tell(line: dict[str, Any]) -> None:
    print(json.dumps(line), flush=True)


def _leave_when_alone() -> None:
    # Without a standard input there is nobody to watch.
    while sys.stdin is not None and os.read(sys.stdin.fileno(), 4096):
        pass
    if sys.stdin is not None:
        os._exit(STOPPED)
