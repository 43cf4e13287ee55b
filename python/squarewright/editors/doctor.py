"""What keeps a plug-in from working: what is stale or missing, and a small picture through both engines."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from squarewright import _core
from squarewright.editors import bridge, hosts, install

_PICTURE = bytes((200, 40, 40, 255)) * 8 + bytes((40, 80, 200, 255)) * 8
"""4 × 4 pixels in two colours."""

_ALONE = """
import sys
sys.modules["numpy"] = None
sys.path.insert(0, sys.argv[1])
import bridge
plug_in = bridge.Bridge(sys.argv[1], "en")
asked = {"action": "pixelate", "settings": {"columns": 4, "colours": 2}, "width": 4, "height": 4}
try:
    made = plug_in.start(asked, bytes.fromhex(sys.argv[2])).wait(30)
except bridge.Trouble as trouble:
    sys.exit(trouble.what)
sys.exit(made.layers["cells"] != bytes.fromhex(sys.argv[2]))
"""

_ENGINES = {"a": "in this Python without numpy, as in an editor's", "b": "in a child process, the second way"}


@dataclass(frozen=True)
class Finding:
    """One thing that was looked at.

    Parameters
    ----------
    well : bool
        Whether it is as it should be.
    what : str
        What it is.
    hint : str
        What to do about it.
    """

    well: bool
    what: str
    hint: str = ""


def plug_ins(more: Path | None = None) -> Iterator[tuple[str, Path, dict[str, Any]]]:
    """Find the plug-ins that are installed.

    Parameters
    ----------
    more : Path, optional
        A folder of plug-ins besides the usual ones.

    Yields
    ------
    tuple
        The editor, the folder of all its plug-ins, and what ours says of itself.
    """
    for key in hosts.HOSTS:
        usual = [folder for flatpak in (False, True) for folder in hosts.plug_ins(key, flatpak)]
        for folder in [*usual, *([more] if more else [])]:
            setup = install.installed(key, folder)
            if setup is not None:
                yield key, folder, setup


def examine(more: Path | None = None) -> list[Finding]:
    """Look at all that a plug-in needs.

    Parameters
    ----------
    more : Path, optional
        A folder of plug-ins besides the usual ones.

    Returns
    -------
    list of Finding
    """
    findings = [_editor(key) for key in hosts.HOSTS]
    found = list(plug_ins(more))
    if not found:
        hint = "Put it into an editor: squarewright editors install krita"
        return [*findings, Finding(False, "no plug-in is installed", hint)]
    if any(key == "gimp" for key, _, _ in found):
        findings.append(_path_of_gimp())
    for key, folder, setup in found:
        findings.extend(_plug_in(key, folder, setup))
    return findings


def _editor(key: str) -> Finding:
    name, program = hosts.HOSTS[key].name, hosts.program(key)
    if program is None:
        return Finding(
            True, f"{name} is not on the path", "That is as it should be for a Flatpak or a bundle."
        )
    try:
        done = subprocess.run([program, "--version"], capture_output=True, text=True, timeout=30, check=False)
        version = next(iter(done.stdout.strip().splitlines()), "it tells its version in its window alone")
    except (OSError, subprocess.TimeoutExpired):
        version = "it does not answer"
    return Finding(True, f"{name} is {program}: {version}")


def _path_of_gimp() -> Finding:
    """Look whether GIMP finds a Python that has its own bindings: it starts the first of the path."""
    python = shutil.which("python3")
    if sys.platform != "linux" or python is None or hosts.program("gimp") is None:
        return Finding(True, "the Python of GIMP comes with it or was not looked for")
    done = subprocess.run(
        [python, "-c", "import gi"],
        capture_output=True,
        env=bridge.clean_environment(os.environ),
        check=False,
    )
    if done.returncode == 0:
        return Finding(True, f"the first python3 of the path, {python}, can serve GIMP")
    hint = "Start GIMP from its menu, or with a PATH in which /usr/bin comes first."
    return Finding(
        False, f"the first python3 of the path, {python}, lacks gi, so no plug-in in Python starts", hint
    )


def _plug_in(key: str, folder: Path, setup: dict[str, Any]) -> Iterator[Finding]:
    host = hosts.HOSTS[key]
    code = folder / host.folder / host.inner
    again = f"Run squarewright editors install {key} again."
    fresh = setup["version"] == _core.VERSION and _is_same(code / "_vendor" / "squarewright")
    yield Finding(
        fresh,
        f"the plug-in in {folder} {'is that of' if fresh else 'differs from'} this package",
        "" if fresh else again,
    )
    script = folder / host.folder / f"{host.folder}.py"
    if key == "gimp":
        runs = os.access(script, os.X_OK)
        yield Finding(runs, f"{script.name} {'may' if runs else 'may not'} be run", "" if runs else again)
    yield from _engines(code, again, folder in hosts.plug_ins(key, flatpak=True))


def _is_same(vendored: Path) -> bool:
    """Say whether the compiled part beside a plug-in is ours."""
    ours = Path(_core.__file__)
    try:
        return (vendored / ours.name).read_bytes() == ours.read_bytes()
    except OSError:
        return False


def _engines(code: Path, again: str, flatpak: bool) -> Iterator[Finding]:
    said = {engine: _tried(code, engine) for engine in _ENGINES if not (flatpak and engine == "b")}
    # One way is enough for the work; without any, there is still the command.
    hint = again if not all(said.values()) else f"{again} Meanwhile plan with squarewright plan PICTURE."
    for engine, trouble in said.items():
        where = _ENGINES[engine]
        if trouble:
            yield Finding(False, f"no picture went through {where}: {trouble}", hint)
        else:
            yield Finding(True, f"a picture of 4 × 4 went through {where}")
    if flatpak:
        yield Finding(True, "an editor from Flatpak starts no child process: the first way is its only one")


def _tried(code: Path, engine: str) -> str:
    """Send a picture through one engine of a plug-in; give what went wrong."""
    environment = {**bridge.clean_environment(os.environ), bridge.FORCED: engine}
    command = [sys.executable, "-P", "-c", _ALONE, str(code), _PICTURE.hex()]
    try:
        done = subprocess.run(
            command, capture_output=True, text=True, env=environment, timeout=60, check=False
        )
    except subprocess.TimeoutExpired:
        return "no answer within a minute"
    said = next(iter(done.stderr.strip().splitlines()[-1:]), "another picture came back")
    return said if done.returncode else ""
