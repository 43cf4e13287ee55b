"""Writing files whole or not at all, and never over what is there unless that is asked for."""

import contextlib
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from squarewright._core import Plan
from squarewright.errors import OutputError

PLAN_FILES = ("book.pdf", "template.svg", "preview.png", "plan.json", "colours.csv", "marks.csv")
"""The files of a plan."""


def write_plan(
    plan: Plan, folder: str | os.PathLike[str], paper: str = "letter", overwrite: bool = False
) -> list[Path]:
    """Write the files of a plan into a folder.

    Parameters
    ----------
    plan : Plan
        The plan.
    folder : path
        Made when it is missing.
    paper : str, default "letter"
        ``"letter"`` or ``"a4"``.
    overwrite : bool, default False
        Whether files that are there already may be replaced.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    OutputError
        ``OUT-EXISTS`` when files are there already, ``OUT-FOLDER``, ``OUT-DENIED`` or ``OUT-FAILED``.
    """
    place = Path(os.fsdecode(folder))
    check_targets(place, PLAN_FILES, overwrite)
    contents = {
        "book.pdf": plan.to_pdf(paper),
        "template.svg": plan.to_svg().encode(),
        "preview.png": plan.to_png(),
        "plan.json": plan.to_json().encode(),
        "colours.csv": plan.colours_csv().encode(),
        "marks.csv": plan.marks_csv().encode(),
    }
    return write_all(place, contents, overwrite)


def check_targets(folder: Path, names: tuple[str, ...], overwrite: bool) -> None:
    """Refuse to go on when a file cannot be written or would be overwritten.

    Parameters
    ----------
    folder : Path
        Where the files are to go.
    names : tuple of str
        Their names.
    overwrite : bool
        Whether files that are there already may be replaced.

    Raises
    ------
    OutputError
        ``OUT-EXISTS`` or ``OUT-FOLDER``.
    """
    if os.path.lexists(folder) and not folder.is_dir():
        raise OutputError("OUT-FOLDER", "is not a folder", "Choose another folder.", str(folder))
    there = [name for name in names if os.path.lexists(folder / name)]
    stuck = [name for name in there if (folder / name).is_dir()]
    if stuck:
        what = f"has folders where files are to go: {', '.join(stuck)}"
        raise OutputError("OUT-FOLDER", what, "Choose another folder.", str(folder))
    if there and not overwrite:
        what = f"already has {', '.join(there)}"
        raise OutputError("OUT-EXISTS", what, "Choose another folder or allow overwriting.", str(folder))


def keep_input(picture: Path, folder: Path, names: tuple[str, ...]) -> None:
    """Refuse to go on when the picture itself would be replaced.

    Parameters
    ----------
    picture : Path
        The picture that is planned.
    folder : Path
        Where the files are to go.
    names : tuple of str
        Their names.

    Raises
    ------
    OutputError
        ``OUT-SAME`` when one of them is the picture.
    """
    targets = [folder / name for name in names]
    if any(target.exists() and target.samefile(picture) for target in targets):
        hint = "Choose another folder: the picture is never replaced."
        raise OutputError("OUT-SAME", "is the picture itself", hint, picture.name)


def write_all(folder: Path, contents: Mapping[str, bytes], overwrite: bool) -> list[Path]:
    """Write files into a folder: first all of them under other names, then each in its place.

    Parameters
    ----------
    folder : Path
        Made when it is missing.
    contents : mapping of str to bytes
        What each file holds.
    overwrite : bool
        Whether files that are there already may be replaced.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    OutputError
        ``OUT-…`` when one cannot be written; then none is in its place. ``OUT-PARTIAL`` when the last step
        failed half-way: each file is then as it was or complete, and the message says which are new.
    """
    check_targets(folder, tuple(contents), overwrite)
    waiting: list[tuple[Path, Path]] = []
    placed: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in contents.items():
            waiting.append((_written_beside(folder, name, data), folder / name))
        for temporary, target in waiting:
            temporary.replace(target)
            placed.append(target.name)
    except PermissionError:
        if placed:
            raise _partial(folder, placed) from None
        what = "may not be written to"
        raise OutputError("OUT-DENIED", what, "Choose another folder.", str(folder)) from None
    except OSError as error:
        if placed:
            raise _partial(folder, placed) from None
        what = f"cannot be written to ({error.strerror or error})"
        hint = "Check the disk or choose another folder."
        raise OutputError("OUT-FAILED", what, hint, str(folder)) from None
    finally:
        for temporary, _ in waiting:
            with contextlib.suppress(OSError):
                temporary.unlink(missing_ok=True)
    return [target for _, target in waiting]


def _partial(folder: Path, placed: list[str]) -> OutputError:
    what = f"took {', '.join(placed)} and then no more; the other files are as they were"
    return OutputError("OUT-PARTIAL", what, "Close what holds the files open and write again.", str(folder))


def _written_beside(folder: Path, name: str, data: bytes) -> Path:
    handle, temporary = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
    path = Path(temporary)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        path.chmod(0o666 & ~_umask())
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    return path


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
