"""Switching the plug-in on in Krita's own settings, which have all plug-ins off at first."""

import os
from pathlib import Path

from squarewright.editors import hosts
from squarewright.errors import OutputError
from squarewright.files import write_all

_SECTION = "[python]"
_LINE = "enable_squarewright_krita=true"


def enable(settings: Path) -> bool:
    """Switch the plug-in on.

    Parameters
    ----------
    settings : Path
        Krita's settings; made when they are missing.

    Returns
    -------
    bool
        Whether something was changed.

    Raises
    ------
    OutputError
        ``OUT-DENIED`` while Krita is open, since it would write over the change; otherwise as ``write_all``.
    """
    if hosts.is_running("krita"):
        hint = "Close it, or tick Squarewright in its settings: Configure Krita, Python Plugin Manager."
        raise OutputError("OUT-DENIED", "Krita is open and would undo the change", hint)
    before = settings.read_text(encoding="utf-8", errors="surrogateescape") if settings.exists() else ""
    after = switched_on(before)
    if after == before:
        return False
    write_all(settings.parent, {settings.name: os.fsencode(after)}, overwrite=True, mkdir=True)
    return True


def switched_on(text: str) -> str:
    """Give settings in which the plug-in is on; all else stays as it is.

    Parameters
    ----------
    text : str
        The settings as they are.

    Returns
    -------
    str
    """
    name = _LINE.partition("=")[0]
    lines = text.splitlines()
    if _SECTION not in lines:
        return "\n".join([*lines, *([""] if lines else []), _SECTION, _LINE, ""])
    start = lines.index(_SECTION) + 1
    end = next((at for at in range(start, len(lines)) if lines[at].startswith("[")), len(lines))
    section = [line for line in lines[start:end] if line.partition("=")[0].strip() != name]
    return "\n".join([*lines[:start], _LINE, *section, *lines[end:], ""])
