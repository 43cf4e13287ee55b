"""The journal of a folder of plans: one line of JSON for each picture.

A line has ``path`` (from the folder, with slashes), ``folder``, ``picture`` (the SHA-256 of the file),
``settings`` (the digest of the settings), ``version``, ``files`` (each with its SHA-256) and, when it failed,
``code`` and ``what``. ``earlier`` has files that stand there from other settings. Nothing in it hangs on time
or on the order in which pictures were done, so that two journals of the same work are the same.
"""

import contextlib
import json
import os
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Any, BinaryIO

from squarewright import files
from squarewright.errors import OutputError

NAME = "journal.jsonl"
"""The file's name."""

Record = dict[str, Any]


class Journal:
    """The journal, open for one run.

    Parameters
    ----------
    out : Path
        The folder of plans.
    is_kept : bool
        Whether anything is written; a dry run writes nothing.

    Raises
    ------
    OutputError
        ``OUT-BUSY`` when another run is at work there; ``OUT-JOURNAL`` when the file is none of ours.
    """

    def __init__(self, out: Path, is_kept: bool) -> None:
        self._out = out
        self._is_kept = is_kept
        self._file: BinaryIO | None = None
        self._kept: contextlib.ExitStack = contextlib.ExitStack()
        self.records: dict[str, Record] = {}

    def __enter__(self) -> "Journal":
        if self._is_kept:
            self._kept.enter_context(_alone(self._out))
        try:
            self._read()
            if self._is_kept:
                # A run that was killed may have left half a line, and lines out of order.
                self._rewrite()
                self._file = (self._out / NAME).open("ab")
        except BaseException:
            self._kept.close()
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            if self._file is not None:
                with contextlib.suppress(OSError):
                    self._file.close()
                self._rewrite()
        finally:
            self._kept.close()

    def add(self, record: Record) -> None:
        """Put down what became of one picture; what was put down before about it no longer holds."""
        self.records[record["path"]] = record
        if self._file is None:
            return
        try:
            self._file.write(_line(record))
            self._file.flush()
        except OSError as error:
            raise files.failure(self._out, error) from None

    def _read(self) -> None:
        try:
            data = (self._out / NAME).read_bytes()
        except FileNotFoundError:
            return
        except OSError as error:
            what = f"cannot be read ({error.strerror or error})"
            raise OutputError("OUT-JOURNAL", what, _HINT, NAME) from None
        *lines, _ = data.split(b"\n")
        for number, line in enumerate(lines, start=1):
            record = _record(line)
            if record is None:
                raise OutputError("OUT-JOURNAL", f"is no journal of plans in line {number}", _HINT, NAME)
            self.records[record["path"]] = record

    def _rewrite(self) -> None:
        ordered = sorted(self.records, key=os.fsencode)
        data = b"".join(_line(self.records[key]) for key in ordered)
        files.write_all(self._out, {NAME: data}, overwrite=True)


_HINT = "Move that file away or choose another folder."


def _record(line: bytes) -> Record | None:
    try:
        record = json.loads(line)
    except (ValueError, RecursionError):
        return None
    if not isinstance(record, dict) or not all(
        isinstance(record.get(key), str) for key in ("path", "folder")
    ):
        return None
    if not all(isinstance(record.get(key, {}), dict) for key in ("files", "earlier")):
        return None
    # A folder is a name within ours, whatever somebody wrote into the file.
    name = record["folder"]
    return None if name in {"", ".", ".."} or "/" in name or "\\" in name or "\0" in name else record


def _line(record: Record) -> bytes:
    # Escapes alone keep the bytes of names that are not UTF-8.
    return json.dumps(record, sort_keys=True).encode() + b"\n"


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Hold the folder for this run; a run that is killed lets go of it."""
    try:
        import fcntl
    except ImportError:
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            what, hint = "is being written to by another run", "Wait for it or choose another folder."
            raise OutputError("OUT-BUSY", what, hint, str(folder)) from None
        except OSError:
            # A disk in a network may know no locks.
            pass
        yield
    finally:
        os.close(handle)
