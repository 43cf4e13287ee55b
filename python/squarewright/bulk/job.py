"""One picture of many: read, planned, written, by whatever thread, process or machine it falls to."""

import hashlib
import os
import stat
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from threading import Event
from typing import Any

from squarewright import files, names, pictures
from squarewright._core import VERSION
from squarewright.contents import contents
from squarewright.errors import InternalError, OutputError, SquarewrightError
from squarewright.settings import Settings


@dataclass(frozen=True)
class Job:
    """What a worker needs to know; plain data that can be sent anywhere.

    Parameters
    ----------
    key, folder : str
        The picture and the folder of its plan, as the journal has them.
    path, out : str
        Where the picture is, and the folder of all plans.
    settings : Settings
        With the paints themselves, not their path.
    digest : str
        Of the settings.
    known : mapping or None
        What the journal has about the picture.
    resume, overwrite, dry_run : bool
        As for ``plan_many``.
    """

    key: str
    folder: str
    path: str
    out: str
    settings: Settings
    digest: str
    known: Mapping[str, Any] | None = None
    resume: bool = True
    overwrite: bool = False
    dry_run: bool = False


@dataclass(frozen=True)
class Outcome:
    """What became of one picture.

    Parameters
    ----------
    path : str
        The picture, from the folder of plans.
    folder : str
        The name of its folder there.
    state : str
        ``"done"``, ``"unchanged"`` or ``"failed"``.
    code, what, hint : str or None
        Why it failed, and what to do.
    picture : str or None
        The SHA-256 of its file.
    files : mapping of str to str
        What was written, or was there already, with its SHA-256.
    notes : tuple of str
        What there is to know about the plan.
    seconds : float
        How long it took; not in the journal.
    """

    path: str
    folder: str
    state: str
    code: str | None = None
    what: str | None = None
    hint: str | None = None
    picture: str | None = None
    files: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    seconds: float = field(default=0.0, compare=False)
    earlier: Mapping[str, str] = field(default_factory=dict, repr=False)

    def to_record(self, digest: str) -> dict[str, Any]:
        """Give what the journal keeps: what would differ from run to run is left out."""
        record: dict[str, Any] = {"path": self.path, "folder": self.folder, "picture": self.picture}
        record |= {"settings": digest, "version": VERSION, "files": dict(self.files)}
        if self.earlier:
            record["earlier"] = dict(self.earlier)
        if self.code is not None:
            record |= {"code": self.code, "what": self.what}
        return record


class StoppedError(Exception):
    """The run was told to stop."""


def do(job: Job, stop: Event | None = None) -> Outcome:
    """Plan one picture; whatever is wrong with it becomes an outcome.

    Parameters
    ----------
    job : Job
        What to do.
    stop : Event, optional
        When it is set, the work ends as soon as it can.

    Returns
    -------
    Outcome

    Raises
    ------
    StoppedError
        When the work was told to stop.
    """
    started, work = time.perf_counter(), _Work(job, stop)
    error: SquarewrightError | None
    try:
        state, error = work.run(), None
    except SquarewrightError as refused:
        state, error = "failed", refused
    except StoppedError:
        raise
    except Exception as unforeseen:
        what = f"{type(unforeseen).__name__}: {unforeseen}"
        state, error = "failed", InternalError("INTERNAL", what, "Please report it.")
    return Outcome(
        path=job.key,
        folder=job.folder,
        state=state,
        code=None if error is None else error.code,
        what=None if error is None else error.what,
        hint=None if error is None else error.hint,
        picture=work.picture,
        files=work.files,
        notes=tuple(work.notes),
        seconds=time.perf_counter() - started,
        earlier={name: digest for name, digest in work.ours.items() if name not in work.files},
    )


class _Work:
    """The steps of one job, with what is known so far for the case that the next one fails."""

    def __init__(self, job: Job, stop: Event | None) -> None:
        known = job.known or {}
        self._job = job
        self._stop = stop
        self._folder = Path(job.out) / job.folder
        self.picture: str | None = None
        self.files: dict[str, str] = {}
        self.notes: list[str] = []
        self.ours: dict[str, str] = {**known.get("earlier", {}), **known.get("files", {})}

    def run(self) -> str:
        job, path = self._job, Path(self._job.path)
        self._watch(0.0)
        data = pictures.read_file(path)
        self.picture = hashlib.sha256(data).hexdigest()
        if job.resume and self._is_unchanged():
            self.files = dict((job.known or {})["files"])
            return "unchanged"
        settings = job.settings
        picture = pictures.decode_file(data, path, settings.allow_damaged)
        del data
        progress = None if self._stop is None else self._watch
        plan = settings.plan(picture, name=names.shown(path.stem), progress=progress)
        self._watch(1.0)
        self.notes.extend(plan.warnings)
        self._write(contents(plan, settings.printing, settings.files))
        return "done"

    def _watch(self, _: float) -> None:
        if self._stop is not None and self._stop.is_set():
            raise StoppedError

    def _is_unchanged(self) -> bool:
        job, known = self._job, self._job.known
        if known is None or "code" in known or set(known.get("files", ())) != set(job.settings.files):
            return False
        same = (known.get("picture"), known.get("settings"), known.get("version"))
        return same == (self.picture, job.digest, VERSION) and all(
            _digest(self._folder / name) == digest for name, digest in known["files"].items()
        )

    def _write(self, held: Mapping[str, bytes]) -> None:
        job = self._job
        made = {name: hashlib.sha256(data).hexdigest() for name, data in held.items()}
        there = {name: _digest(self._folder / name) for name in held}
        files.keep_input(Path(job.path).absolute(), self._folder, held)
        # What holds the very bytes that would be written was written by a run that was killed, or may as well
        # have been: it stays.
        stays = [name for name in held if there[name] == made[name]]
        known = {name: (None, made[name], self.ours.get(name)) for name in held}
        foreign = [name for name in held if there[name] not in known[name]]
        if foreign and not job.overwrite:
            raise self._refusal(foreign)
        waiting = {name: data for name, data in held.items() if name not in stays}
        replaces = any(there[name] is not None for name in waiting)
        if job.dry_run:
            files.check_targets(self._folder, waiting, replaces, mkdir=True)
        else:
            # No other run writes here.
            files.sweep(self._folder, age=0)
            if waiting:
                files.write_all(self._folder, waiting, replaces, mkdir=True)
        self.files = made
        stale = [name for name in self.ours if name not in made and _digest(self._folder / name) is not None]
        self.ours = {name: self.ours[name] for name in stale}
        if stale:
            self.notes.append(f"{', '.join(sorted(stale))} in its folder is from other settings")

    def _refusal(self, foreign: list[str]) -> OutputError:
        hint = "Move it away, or allow overwriting with --overwrite (in Python: overwrite=True)."
        changed = [name for name in foreign if name in self.ours]
        if changed:
            what = f"has {', '.join(changed)}, which changed after it was written"
            return OutputError("OUT-CHANGED", what, hint, str(self._folder))
        what = f"already has {', '.join(foreign)}, which this journal does not know"
        return OutputError("OUT-EXISTS", what, hint, str(self._folder))


def _digest(path: Path) -> str | None:
    """Give the SHA-256 of a file, a word where it is no plain file, ``None`` where there is nothing."""
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            return "no file"
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError as error:
        return f"unread: {os.strerror(error.errno or 0)}"
