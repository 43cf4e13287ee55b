"""Writing files whole or not at all, over what is there only when asked, and never over a picture."""

import contextlib
import errno
import os
import re
import stat
import time
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from squarewright._core import Plan
from squarewright.contents import PLAN_FILES as PLAN_FILES
from squarewright.contents import contents as contents_of
from squarewright.errors import OutputError
from squarewright.names import shown
from squarewright.printing import Printing

_UNFINISHED = re.compile(r"\.squarewright-[0-9a-f]{16}\.part")
_DAY = 24 * 60 * 60
_NEW_FILE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)


def write_plan(
    plan: Plan,
    folder: str | os.PathLike[str],
    overwrite: bool = False,
    mkdir: bool = False,
    printing: Printing | None = None,
    only: Sequence[str] = PLAN_FILES,
) -> list[Path]:
    """Write the files of a plan into a folder.

    Parameters
    ----------
    plan : Plan
        The plan.
    folder : path
        Made when it is missing.
    overwrite : bool, default False
        Whether files that are there already may be replaced.
    mkdir : bool, default False
        Whether missing folders above it are made too.
    printing : Printing, optional
        How the book is printed, as for ``Plan.to_pdf``.
    only : sequence of str
        Which of ``PLAN_FILES`` are written.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    OutputError
        As ``check_plan`` and ``write_all``.
    """
    place = Path(os.fsdecode(folder))
    check_plan(plan, place, overwrite, mkdir, only)
    return write_all(place, contents_of(plan, printing or {}, only), overwrite, mkdir)


def check_plan(
    plan: Plan, folder: Path, overwrite: bool, mkdir: bool, only: Sequence[str] = PLAN_FILES
) -> None:
    """Refuse to go on when the files of a plan cannot be written, or one would replace its picture.

    Parameters
    ----------
    plan : Plan
        The plan; it remembers the path that its picture was read from.
    folder : Path
        Where the files are to go.
    overwrite : bool
        Whether files that are there already may be replaced.
    mkdir : bool
        Whether missing folders above it may be made.
    only : sequence of str
        Which of ``PLAN_FILES`` are to be written.

    Raises
    ------
    OutputError
        ``OUT-SAME`` when one of them is the picture, by whatever name; otherwise as ``check_targets``.
    """
    if plan._path is not None:
        keep_input(plan._path, folder, only)
    check_targets(folder, only, overwrite, mkdir)


def keep_input(picture: Path, folder: Path, names: Iterable[str]) -> None:
    """Refuse to go on when the picture itself would be replaced.

    Parameters
    ----------
    picture : Path
        The picture that is planned.
    folder : Path
        Where the files are to go.
    names : iterable of str
        Their names.

    Raises
    ------
    OutputError
        ``OUT-SAME`` when one of them is the picture: the file itself, a link to it of either kind, or its
        name in other letters on a disk that takes them for the same.
    """
    for target in (folder / name for name in names):
        if _same(picture, target):
            hint = "Choose another folder: the picture is never replaced."
            raise OutputError("OUT-SAME", "is the picture itself", hint, str(target))


def _same(picture: Path, target: Path) -> bool:
    try:
        if os.path.samestat(picture.stat(), target.stat()):
            return True
        if _folded(picture.name) != _folded(target.name) or not picture.parent.samefile(target.parent):
            return False
        # Some disks in a network number a file anew for each look. Two spellings that both lead to a file,
        # with one of them in the list of the folder, are one file.
        listed = set(os.listdir(target.parent)) & {picture.name, target.name}  # noqa: PTH208 -- names alone
        return len(listed) < 2
    except (OSError, ValueError):
        # One of them is not there, so that it cannot be the other.
        return False


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def check_targets(folder: Path, names: Iterable[str], overwrite: bool, mkdir: bool = False) -> None:
    """Refuse to go on when a file cannot be written or would be overwritten.

    Parameters
    ----------
    folder : Path
        Where the files are to go.
    names : iterable of str
        Their names.
    overwrite : bool
        Whether files that are there already may be replaced. A link is there whatever it leads to.
    mkdir : bool, default False
        Whether missing folders above it may be made.

    Raises
    ------
    OutputError
        ``OUT-EXISTS``, ``OUT-FOLDER`` or ``OUT-DENIED``.
    """
    try:
        _check_folder(folder, mkdir)
        modes = {name: _mode(folder / name) for name in names}
    except ValueError:
        raise OutputError("OUT-FOLDER", "is not a path", "Choose another folder.", str(folder)) from None
    except OSError as error:
        raise failure(folder, error) from None
    there = [name for name, mode in modes.items() if mode is not None]
    stuck = [name for name in there if not _is_plain(modes[name])]
    if stuck:
        what = f"has something else where files are to go: {', '.join(stuck)}"
        raise OutputError("OUT-FOLDER", what, "Choose another folder.", str(folder))
    if there and not overwrite:
        raise _exists(folder, there)


def _check_folder(folder: Path, mkdir: bool) -> None:
    mode = _mode(folder)
    if mode is not None and not folder.is_dir():
        what = "is a link to no folder" if stat.S_ISLNK(mode) else "is not a folder"
        raise OutputError("OUT-FOLDER", what, "Choose another folder.", str(folder))
    if mode is not None:
        return
    missing = [parent for parent in folder.parents if _mode(parent) is None]
    above = next((parent for parent in folder.parents if parent not in missing), None)
    if above is not None and not above.is_dir():
        what = f"cannot be made: {shown(above)} is not a folder"
        raise OutputError("OUT-FOLDER", what, "Choose another folder.", str(folder))
    if missing and not mkdir:
        what = f"cannot be made: there is no folder {shown(missing[-1])}"
        hint = "Make it, or allow that with --mkdir (in Python: mkdir=True)."
        raise OutputError("OUT-FOLDER", what, hint, str(folder))


def _mode(path: Path) -> int | None:
    try:
        return path.lstat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return None


def _is_plain(mode: int | None) -> bool:
    return mode is not None and (stat.S_ISREG(mode) or stat.S_ISLNK(mode))


def write_all(
    folder: Path, contents: Mapping[str, bytes], overwrite: bool, mkdir: bool = False
) -> list[Path]:
    """Write files into a folder: first all of them under other names, then each in its place.

    What is in place is on the disk: files are synchronised before they get their names, the folder after
    (POSIX.1-2017, ``fsync`` and ``rename``).

    Parameters
    ----------
    folder : Path
        Made when it is missing, and taken away again when nothing comes to stand in it.
    contents : mapping of str to bytes
        What each file holds.
    overwrite : bool
        Whether files that are there already may be replaced; they keep their permissions. A link is replaced
        itself and never followed.
    mkdir : bool, default False
        Whether missing folders above it are made too.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    OutputError
        ``OUT-EXISTS``, ``OUT-FOLDER``, ``OUT-DENIED``, ``OUT-SPACE`` or ``OUT-FAILED`` when one cannot be
        written; then none is in its place. ``OUT-PARTIAL`` when the last step failed half-way: each file is
        then as it was or complete, and the message says which are new.
    """
    check_targets(folder, contents, overwrite, mkdir)
    made: list[Path] = []
    waiting: list[tuple[Path, Path]] = []
    placed: list[str] = []
    try:
        _make(folder, made)
        sweep(folder)
        for name, data in contents.items():
            temporary, target = folder / f".squarewright-{os.urandom(8).hex()}.part", folder / name
            waiting.append((temporary, target))
            _write(temporary, data, _mode(target))
        for temporary, target in waiting:
            _place(temporary, target, overwrite)
            placed.append(target.name)
        for changed in [folder, *(each.parent for each in made)]:
            _synchronise(changed)
    except OSError as error:
        raise failure(folder, error, placed) from None
    finally:
        for temporary, _ in waiting:
            with contextlib.suppress(OSError):
                temporary.unlink(missing_ok=True)
        if not placed:
            for each in reversed(made):
                with contextlib.suppress(OSError):
                    each.rmdir()
    return [target for _, target in waiting]


def make(folder: Path, mkdir: bool) -> None:
    """Make a folder when it is missing; errors are those of ``check_targets``."""
    check_targets(folder, (), overwrite=False, mkdir=mkdir)
    try:
        _make(folder, [])
    except OSError as error:
        raise failure(folder, error) from None


def _make(folder: Path, made: list[Path]) -> None:
    missing = [each for each in (folder, *folder.parents) if _mode(each) is None]
    for each in reversed(missing):
        made.append(each)
        try:
            each.mkdir()
        except FileExistsError:
            made.pop()


def sweep(folder: Path, age: float = _DAY) -> None:
    """Remove what a run that was killed left behind, when that was more than a day or ``age`` seconds ago."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            ours = _UNFINISHED.fullmatch(entry.name) and entry.is_file(follow_symlinks=False)
            if ours and entry.stat(follow_symlinks=False).st_mtime <= time.time() - age:
                Path(entry.path).unlink()


def _write(path: Path, data: bytes, replaced: int | None) -> None:
    keeps = replaced is not None and stat.S_ISREG(replaced)
    mode = stat.S_IMODE(replaced) & 0o777 if replaced is not None and keeps else 0o666
    with os.fdopen(os.open(path, _NEW_FILE, mode), "wb") as file:
        if keeps and hasattr(os, "fchmod"):
            # A disk without permissions refuses to set them.
            with contextlib.suppress(PermissionError):
                os.fchmod(file.fileno(), mode)
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _place(temporary: Path, target: Path, overwrite: bool) -> None:
    if overwrite:
        temporary.replace(target)
        return
    try:
        # A second name is refused when it is taken, at the very moment; a rename would replace.
        target.hardlink_to(temporary)
    except FileExistsError:
        raise
    except OSError:
        # The disk knows no second names.
        if _mode(target) is not None:
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(target)) from None
        temporary.rename(target)
    else:
        temporary.unlink()


def _synchronise(folder: Path) -> None:
    if os.name != "posix":
        return
    # Not every disk lets a folder be opened or synchronised; the files are whole either way.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def failure(folder: Path, error: OSError, placed: Sequence[str] = ()) -> OutputError:
    """Say what kept files from being written.

    Parameters
    ----------
    folder : Path
        Where they were to go.
    error : OSError
        What the system said.
    placed : sequence of str
        The files that are in place nevertheless.

    Returns
    -------
    OutputError
    """
    if isinstance(error, OutputError):
        return error
    if placed:
        what = f"took {', '.join(placed)} and then no more; the other files are as they were"
        hint = "Close what holds the files open and write again."
        return OutputError("OUT-PARTIAL", what, hint, str(folder))
    if isinstance(error, FileExistsError):
        return _exists(folder, [Path(str(error.filename2 or error.filename)).name])
    if error.errno in {errno.ENOSPC, errno.EDQUOT}:
        return OutputError(
            "OUT-SPACE", "has no room left", "Free some space or choose another disk.", str(folder)
        )
    if error.errno in {errno.EACCES, errno.EPERM, errno.EROFS}:
        held = f" ({Path(str(error.filename2)).name} may not be replaced)" if error.filename2 else ""
        hint = "Choose another folder or change its permissions."
        return OutputError("OUT-DENIED", f"may not be written to{held}", hint, str(folder))
    if error.errno in {errno.ELOOP, errno.ENAMETOOLONG, errno.ENOTDIR}:
        what = f"cannot be a folder ({error.strerror})"
        return OutputError("OUT-FOLDER", what, "Choose another folder.", str(folder))
    what = f"cannot be written to ({error.strerror or error})"
    return OutputError("OUT-FAILED", what, "Check the disk or choose another folder.", str(folder))


def _exists(folder: Path, names: list[str]) -> OutputError:
    hint = "Choose another folder, or allow overwriting with --overwrite (in Python: overwrite=True)."
    return OutputError("OUT-EXISTS", f"already has {', '.join(names)}", hint, str(folder))
