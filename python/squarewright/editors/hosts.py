"""Where the editors keep their plug-ins, on each system, and how one tells that they are there."""

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Host:
    """An editor, and what our plug-in is called in it.

    Parameters
    ----------
    name : str
        As it is typed and shown.
    folder : str
        The folder of the plug-in.
    inner : str
        Where in it the code lies, with the files that the installation adds; empty for the folder itself.
    beside : tuple of str
        Files that belong to it, from the folder of all plug-ins.
    programs : tuple of str
        What its programs are called.
    flatpak : str
        What it is called as a Flatpak.
    """

    name: str
    folder: str
    inner: str
    beside: tuple[str, ...]
    programs: tuple[str, ...]
    flatpak: str


HOSTS = {
    "gimp": Host(
        *(
            "GIMP",
            "squarewright-gimp",
            "squarewright_gimp",
            (),
            ("gimp", "gimp-3.0", "gimp-3"),
            "org.gimp.GIMP",
        )
    ),
    "krita": Host(
        "Krita",
        "squarewright_krita",
        "",
        ("squarewright_krita.desktop", "../actions/squarewright_krita.action"),
        ("krita",),
        "org.kde.krita",
    ),
}
"""The editors, by what is typed."""


def plug_ins(key: str, flatpak: bool = False) -> list[Path]:
    """Give the folders that an editor looks for plug-ins in; the newest version comes last.

    GIMP has one for each minor version ("GIMP's own folders", gimp(1), and its developer site on plug-in
    folders), Krita one in its resources ("Resource folder", docs.krita.org).

    Parameters
    ----------
    key : str
        ``"gimp"`` or ``"krita"``.
    flatpak : bool
        Whether the editor is a Flatpak.

    Returns
    -------
    list of Path
        They need not exist.
    """
    if key == "krita":
        return [_data(flatpak) / "krita" / "pykrita"]
    base = _config(flatpak) / "GIMP"
    found = sorted(base.glob("3.*"), key=_version) if base.is_dir() else []
    return [folder / "plug-ins" for folder in found] or [base / "3.0" / "plug-ins"]


def _version(folder: Path) -> int:
    minor = folder.name.partition(".")[2]
    return int(minor) if minor.isdigit() else -1


def _config(flatpak: bool) -> Path:
    """Give the folder above GIMP's own."""
    home = Path.home()
    if flatpak:
        return home / ".var" / "app" / HOSTS["gimp"].flatpak / "config"
    if sys.platform == "win32":
        return Path(os.environ.get("APPDATA", home / "AppData" / "Roaming"))
    if sys.platform == "darwin":
        return home / "Library" / "Application Support"
    return Path(os.environ.get("XDG_CONFIG_HOME") or home / ".config")


def _data(flatpak: bool) -> Path:
    """Give the folder above Krita's resources."""
    home = Path.home()
    if flatpak:
        return home / ".var" / "app" / HOSTS["krita"].flatpak / "data"
    if sys.platform == "win32":
        return Path(os.environ.get("APPDATA", home / "AppData" / "Roaming"))
    if sys.platform == "darwin":
        return home / "Library" / "Application Support"
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share")


def krita_settings(flatpak: bool = False) -> Path:
    """Give the file in which Krita keeps which plug-ins are on.

    Parameters
    ----------
    flatpak : bool
        Whether Krita is a Flatpak.

    Returns
    -------
    Path
        It need not exist.
    """
    home = Path.home()
    if flatpak:
        return home / ".var" / "app" / HOSTS["krita"].flatpak / "config" / "kritarc"
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", home / "AppData" / "Local")) / "kritarc"
    if sys.platform == "darwin":
        return home / "Library" / "Preferences" / "kritarc"
    return Path(os.environ.get("XDG_CONFIG_HOME") or home / ".config") / "kritarc"


def program(key: str) -> str | None:
    """Give the program of an editor, when it is on the path."""
    return next(filter(None, map(shutil.which, HOSTS[key].programs)), None)


def is_running(key: str) -> bool:
    """Say whether an editor is open, as far as the system tells."""
    names = HOSTS[key].programs
    if Path("/proc/self/comm").exists():
        return any(name in names for name in _running_here())
    command = ["tasklist"] if sys.platform == "win32" else ["ps", "-axco", "command"]
    try:
        said = subprocess.run(command, capture_output=True, text=True, check=False, timeout=20).stdout
    except (OSError, subprocess.TimeoutExpired):
        return False
    return any(line.split(".exe")[0].strip().lower() in names for line in said.splitlines())


def _running_here() -> list[str]:
    found = []
    for each in Path("/proc").glob("[0-9]*/comm"):
        try:
            found.append(each.read_text().strip())
        except OSError:
            continue
    return found
