"""Putting a plug-in where an editor finds it, and taking it away: only what is ours is ever replaced."""

import json
import shutil
import sys
import zipfile
from pathlib import Path
from typing import Any

from squarewright import _core
from squarewright.editors import form, work
from squarewright.editors.hosts import HERE, HOSTS, Host
from squarewright.errors import OutputError
from squarewright.files import failure

_LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.pyi", "gimp", "krita", "explorer", "demo", "py.typed")
"""What of the package a plug-in has no use for."""


def install(key: str, plug_ins: Path) -> Path:
    """Put a plug-in into the folder of all plug-ins, with a copy of this package beside it.

    Parameters
    ----------
    key : str
        ``"gimp"`` or ``"krita"``.
    plug_ins : Path
        Made when it is missing.

    Returns
    -------
    Path
        Its folder.

    Raises
    ------
    OutputError
        ``OUT-EXISTS`` when something else stands there, and as ``write_all``.
    """
    host = HOSTS[key]
    for place in _places(host, plug_ins):
        if _is_there(place) and not _is_ours(host, plug_ins):
            hint = "Move it away, or choose another folder with --dest."
            raise OutputError("OUT-EXISTS", "is there already and is not ours", hint, str(place))
    made = plug_ins / f".{host.folder}.new"
    try:
        plug_ins.mkdir(parents=True, exist_ok=True)
        _remove(made)
        fill(key, made, sys.executable)
        _remove(plug_ins / host.folder)
        (made / host.folder).rename(plug_ins / host.folder)
        for name in host.beside:
            (plug_ins / name).parent.mkdir(exist_ok=True)
            (made / Path(name).name).replace(plug_ins / name)
    except OSError as error:
        raise failure(plug_ins, error) from None
    finally:
        _remove(made)
    return plug_ins / host.folder


def fill(key: str, folder: Path, python: str | None) -> None:
    """Lay out a plug-in in an empty folder, what stands beside it too.

    Parameters
    ----------
    key : str
        ``"gimp"`` or ``"krita"``.
    folder : Path
        Where it is made.
    python : str or None
        The Python of the child; None when it is made for another machine.
    """
    host = HOSTS[key]
    shutil.copytree(HERE / key, folder, ignore=shutil.ignore_patterns("__pycache__"))
    code = folder / host.folder / host.inner
    shutil.copyfile(HERE / "bridge.py", code / "bridge.py")
    setup = {
        "editor": key,
        "protocol": work.PROTOCOL,
        "version": _core.VERSION,
        "python": python,
    }
    for name, held in (("bridge", setup), ("form", form.form()), ("words", words())):
        text = json.dumps(held, ensure_ascii=False, indent=1)
        (code / f"{name}.json").write_text(f"{text}\n", encoding="utf-8")
    shutil.copytree(HERE.parent, code / "_vendor" / "squarewright", ignore=_LEFT_OUT)
    for script in (folder / host.folder).glob(f"{host.folder}.py"):
        script.chmod(0o755)


def words() -> dict[str, dict[str, list[str]]]:
    """Give the words of the plug-ins out of the catalogues of the book, by language and key.

    Returns
    -------
    dict
        Of each, the form for one thing and that for several.
    """
    tags = next(field.choices for field in form.FIELDS if field.key == "language")
    found = {}
    for tag in tags:
        one, many = _core._words(tag, 1), _core._words(tag, 2)
        found[tag] = {key: [one[key], many[key]] for key in sorted(one) if key.startswith("editor.")}
    return found


def uninstall(key: str, plug_ins: Path) -> list[Path]:
    """Take a plug-in away.

    Parameters
    ----------
    key : str
        ``"gimp"`` or ``"krita"``.
    plug_ins : Path
        The folder of all plug-ins.

    Returns
    -------
    list of Path
        What was removed; nothing when it is not installed.

    Raises
    ------
    OutputError
        ``OUT-EXISTS`` when something else stands under its name, ``OUT-DENIED`` when it may not be removed.
    """
    host = HOSTS[key]
    there = [place for place in _places(host, plug_ins) if _is_there(place)]
    if there and not _is_ours(host, plug_ins):
        raise OutputError("OUT-EXISTS", "is not ours", "Remove it yourself if it must go.", str(there[0]))
    try:
        for place in there:
            _remove(place)
    except OSError as error:
        raise failure(plug_ins, error) from None
    return there


def installed(key: str, plug_ins: Path) -> dict[str, Any] | None:
    """Give what a plug-in says of itself, when it is installed: version, protocol, Python.

    Parameters
    ----------
    key : str
        ``"gimp"`` or ``"krita"``.
    plug_ins : Path
        The folder of all plug-ins.

    Returns
    -------
    dict or None
    """
    host = HOSTS[key]
    try:
        told = json.loads((plug_ins / host.folder / host.inner / "bridge.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return told if isinstance(told, dict) and told.get("editor") == key else None


def pack(target: Path, overwrite: bool) -> Path:
    """Make the archive that Krita imports as a plug-in, for machines with this system and processor.

    Parameters
    ----------
    target : Path
        The file.
    overwrite : bool
        Whether one that is there already may be replaced.

    Returns
    -------
    Path

    Raises
    ------
    OutputError
        As ``write_all``.
    """
    import io
    import tempfile

    from squarewright.files import write_all

    held = io.BytesIO()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "plug-in"
        fill("krita", folder, None)
        with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
            for path in sorted(folder.rglob("*")):
                if path.is_file():
                    name = path.relative_to(folder).as_posix()
                    # The same package gives the same bytes, whatever the clock says.
                    entry = zipfile.ZipInfo(f"actions/{name}" if name.endswith(".action") else name)
                    entry.external_attr, entry.compress_type = 0o644 << 16, zipfile.ZIP_DEFLATED
                    archive.writestr(entry, path.read_bytes())
    return write_all(target.parent, {target.name: held.getvalue()}, overwrite)[0]


def _places(host: Host, plug_ins: Path) -> list[Path]:
    beside = (plug_ins / name for name in host.beside)
    return [plug_ins / host.folder, *(place.parent.resolve() / place.name for place in beside)]


def _is_there(place: Path) -> bool:
    return place.exists() or place.is_symlink()


def _is_ours(host: Host, plug_ins: Path) -> bool:
    key = next(key for key, each in HOSTS.items() if each == host)
    folder = plug_ins / host.folder
    return not folder.is_symlink() and installed(key, plug_ins) is not None


def _remove(place: Path) -> None:
    if place.is_dir() and not place.is_symlink():
        shutil.rmtree(place)
    else:
        place.unlink(missing_ok=True)
