"""From a plug-in to the package: in the editor's own Python if that can load it, else in a child process.

It is copied beside each plug-in and uses the standard library of Python 3.9 or newer alone.
"""

from __future__ import annotations

import contextlib
import importlib
import json
import os
import queue
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import zlib
from pathlib import Path
from typing import Any, NamedTuple

PROTOCOL = 1
FORCED = "PLUG_IN_ENGINE"
"""Where the environment names an engine, ``a`` or ``b``, that one alone is tried."""

_FOREIGN = ("PYTHON", "LD_", "DYLD_", "QT_", "GI_", FORCED)
"""Beginnings of names in the environment of an editor that would mislead another Python."""

_AGAIN = "Run this in a terminal: squarewright editors install {editor}"


class Trouble(Exception):
    """What stands in the way: a code, and what its words leave open: what is wrong, what to do, where."""

    def __init__(self, code: str, what: str = "", hint: str = "", name: str = "") -> None:
        super().__init__(" ".join(filter(None, [code, name, what, hint])))
        self.code, self.what, self.hint, self.name = code, what, hint, name


class Cancelled(BaseException):
    """Nobody waits for the work any more."""


class Source(NamedTuple):
    """A part of a picture: red, green, blue and opacity of its pixels, and where it lies."""

    pixels: bytes
    width: int
    height: int
    left: int
    top: int


class Made:
    """What became of a request: facts, the size of the layers, the layers by name, paints."""

    def __init__(self, facts: dict[str, Any], size: Any, layers: dict[str, Any], paints: list[Any]) -> None:  # noqa: ANN401
        self.facts, self.size, self.layers, self.paints = facts, tuple(size), layers, paints


def clean_environment(environment: Any) -> dict[str, Any]:  # noqa: ANN401 -- a mapping
    """Give an environment without what an editor sets for itself."""
    return {name: value for name, value in environment.items() if not name.startswith(_FOREIGN)}


class Bridge:
    """What a plug-in knows of its package: words, settings, and the two engines.

    Parameters
    ----------
    folder : path
        Where ``bridge.json``, ``form.json`` and ``words.json`` lie, and ``_vendor`` with the package.
    language : str, optional
        A tag such as ``"de"`` or ``"de_AT.UTF-8"``; by default that of the environment.
    """

    def __init__(self, folder: Any, language: str | None = None) -> None:  # noqa: ANN401
        self.folder = Path(folder)
        self.setup = self._read("bridge.json")
        self.form = self._read("form.json")
        words = self._read("words.json")
        tags = [language] if language else _languages(os.environ)
        self.language = next((tag[:2] for tag in tags if tag[:2] in words), "en")
        self.words = words[self.language]

    def _read(self, name: str) -> Any:  # noqa: ANN401
        return json.loads((self.folder / name).read_text(encoding="utf-8"))

    def say(self, key: str, count: int = 1, **fields: object) -> str:
        """Give the words of a key, for a count of things, with fields filled in."""
        forms = self.words["editor." + key]
        words = forms[0 if count == 1 else 1]
        return re.sub(r"\{(\w+)\}", lambda name: str(dict(fields, count=count)[name.group(1)]), words)

    def fields(self, action: str) -> list[Any]:
        """Give the settings that an action asks for, in order."""
        return [field for field in self.form if action in field["actions"]]

    def defaults(self, action: str) -> dict[str, Any]:
        """Give the settings of an action as they are by themselves; the language is the editor's."""
        chosen = {field["key"]: field["default"] for field in self.fields(action)}
        if "language" in chosen:
            chosen["language"] = self.language
        return chosen

    def applies(self, field: dict[str, Any], chosen: dict[str, Any]) -> bool:
        """Say whether a setting is of use, or belongs to the door that is not chosen."""
        door = chosen.get("door", "")
        return not (door and field["door"] and field["door"] != door)

    def explain(self, trouble: Trouble) -> str:
        """Say what stands in the way, in words for whoever sits before an editor where there are some."""
        code, what, hint, name = trouble.code, trouble.what, trouble.hint, trouble.name
        if f"editor.trouble.{code}" in self.words:
            return self.say(f"trouble.{code}", what=what, hint=hint, name=name).strip()
        return f"{_sentence(f'{name} {what}'.strip())} {hint} ({code})".replace("  ", " ")

    def sentence(self, action: str, facts: dict[str, Any]) -> str:
        """Say in one sentence what was found; warnings follow it."""
        if action == "palette":
            words = self.say("done.palette", facts["paints"])
            more = [self.say("done.typical")] if facts["typical"] else []
            if facts["unnamed"]:
                more.append(self.say("done.unnamed", facts["unnamed"]))
        else:
            parts = [
                self.say(f"done.{facts['door']}", columns=facts["columns"], rows=facts["rows"]),
                self.say("done.colours", facts["colours"]),
            ]
            if action == "plan":
                parts.append(self.say("done.pitch", facts["panels"], pitch=facts["pitch"]))
                parts.append(self.say("done.weak", facts["weak_spots"]))
            if facts.get("files"):
                parts.append(self.say("done.book", folder=os.path.dirname(facts["files"][0])))  # noqa: PTH120
            words, more = ", ".join(parts), facts["warnings"]
        return " ".join(map(_sentence, [words, *more]))

    def request(
        self,
        action: str,
        chosen: dict[str, Any],
        picture: tuple[int, int, str] | None = None,
        preview: int = 0,
    ) -> dict[str, Any]:
        """Put together what is asked of an engine.

        Parameters
        ----------
        action : str
            ``"plan"``, ``"pixelate"`` or ``"palette"``.
        chosen : dict[str, Any]
            The settings.
        picture : tuple, optional
            Width, height and the path of the document, or an empty path.
        preview : int
            The longer side of a preview in pixels; 0 for the work itself.
        """
        asked = {"protocol": PROTOCOL, "action": action, "settings": chosen, "language": self.language}
        if picture is not None:
            width, height, source = picture
            name = Path(source).stem if source else self.say("untitled")
            place = chosen.get("folder") or (str(Path(source).parent) if source else str(Path.home()))
            asked.update(width=width, height=height, source=source or None, name=name)
            asked["out"] = str(Path(place) / f"{name}-plan")
        if preview:
            asked["side"] = preview
        return asked

    def start(self, request: dict[str, Any], pixels: bytes = b"") -> Task:
        """Begin the work in the first engine that is there.

        Raises
        ------
        Trouble
            ``NO-ENGINE`` when none is, ``VERSION`` when they do not fit together.
        """
        why = []
        for begin in self._engines():
            try:
                task: Task = begin(request, pixels)
                return task
            except Trouble as trouble:
                if trouble.code == "VERSION":
                    raise
                why.append(trouble.what)
        raise Trouble("NO-ENGINE", " · ".join(why), self.again())

    def again(self) -> str:
        """Say how the plug-in is installed again."""
        return self.say("again", editor=self.setup["editor"])

    def _engines(self) -> list[Any]:
        both = {"a": self._in_process, "b": self._in_child}
        forced = os.environ.get(FORCED, "").lower()
        return [both[forced]] if forced in both else list(both.values())

    def _fits(self, protocol: Any, version: str) -> None:  # noqa: ANN401
        if protocol != PROTOCOL or version != self.setup["version"]:
            raise Trouble("VERSION", f"{self.setup['version']}, {version}", self.again())

    def _in_process(self, request: dict[str, Any], pixels: bytes) -> Task:
        work = self._work()
        self._fits(work.PROTOCOL, work._core.VERSION)
        return InProcess(work, request, pixels)

    def _work(self) -> Any:  # noqa: ANN401 -- a module
        vendored = str(self.folder / "_vendor")
        if vendored not in sys.path:
            sys.path.insert(0, vendored)
        try:
            return importlib.import_module("squarewright.editors.work")
        except Exception as error:
            for name in [name for name in sys.modules if name.split(".")[0] == "squarewright"]:
                del sys.modules[name]
            raise Trouble("ENGINE-A", f"{type(error).__name__}: {error}") from None

    def _in_child(self, request: dict[str, Any], pixels: bytes) -> Task:
        python = self.setup.get("python")
        if not python or not Path(python).exists():
            raise Trouble("ENGINE-B", self.say("no-python", python=python or "–"))
        return InChild(self, python, request, pixels)


class Task:
    """Work that goes on; whoever waits looks up with ``poll`` now and then, and may ``cancel``."""

    def __init__(self) -> None:
        self._told: queue.Queue[Any] = queue.Queue()
        self.progress = 0.0
        self.made: Made | None = None
        self.trouble: Trouble | None = None
        self.cancelled = False

    @property
    def done(self) -> bool:
        """Whether there is nothing to wait for any more."""
        return self.cancelled or self.made is not None or self.trouble is not None

    def poll(self) -> bool:
        """Take in what the work has told; say whether it is done."""
        while not self.done:
            try:
                kind, value = self._told.get_nowait()
            except queue.Empty:
                break
            setattr(self, kind, value)
        return self.done

    def wait(self, seconds: float = 600.0) -> Made:
        """Wait for the end; for editors without windows and for tests."""
        end = time.monotonic() + seconds
        while not self.poll():
            if time.monotonic() > end:
                self.cancel()
                raise Trouble("TIMEOUT", "the work takes too long")
            time.sleep(0.01)
        if self.trouble is not None:
            raise self.trouble
        if self.made is None:
            raise Trouble("CANCELLED", "the work was stopped")
        return self.made

    def cancel(self) -> None:
        """Stop the work and forget it."""
        self.cancelled = True


class InProcess(Task):
    """The work on a thread of this Python (engine A)."""

    def __init__(self, work: Any, request: dict[str, Any], pixels: bytes) -> None:  # noqa: ANN401
        super().__init__()
        self._work, self._request, self._pixels = work, request, pixels
        threading.Thread(target=self._run, name="squarewright", daemon=True).start()

    def _run(self) -> None:
        try:
            made = self._work.do(self._request, self._pixels, self._progress)
            self._told.put(("made", Made(made.facts, made.size, made.layers, made.paints)))
        except Cancelled:
            pass
        except Exception as error:
            self._told.put(("trouble", _trouble(error)))

    def _progress(self, share: float) -> None:
        if self.cancelled:
            raise Cancelled
        self._told.put(("progress", share))


def _trouble(error: Exception) -> Trouble:
    code = getattr(error, "code", None)
    if code is None:
        return Trouble("INTERNAL", f"{type(error).__name__}: {error}")
    return Trouble(code, error.what, error.hint, error.name or "")  # type: ignore[attr-defined]


class InChild(Task):
    """The work in a child process, by the Python that the package was installed with (engine B)."""

    def __init__(self, bridge: Bridge, python: str, request: dict[str, Any], pixels: bytes) -> None:
        super().__init__()
        self._bridge = bridge
        self._folder = Path(tempfile.mkdtemp(prefix="squarewright-"))
        try:
            (self._folder / "pixels.rgba").write_bytes(pixels)
            (self._folder / "request.json").write_text(json.dumps(request), encoding="utf-8")
            self._child: Any = subprocess.Popen(
                # Not -I: that hides packages which a person installed for themselves alone.
                [python, "-P", "-u", "-m", "squarewright", "job", str(self._folder / "request.json")],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                cwd=self._folder,
                env=clean_environment(os.environ),
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            )
        except OSError as error:
            shutil.rmtree(self._folder, ignore_errors=True)
            raise Trouble("ENGINE-B", f"{python}: {error.strerror or error}") from None
        self._errors = b""
        self._listening = threading.Thread(target=self._drain, daemon=True)
        self._listening.start()
        threading.Thread(target=self._listen, name="squarewright", daemon=True).start()

    def cancel(self) -> None:
        """Stop the child: it leaves when its input ends, and no file of a book is half-written then."""
        super().cancel()
        with contextlib.suppress(OSError):
            self._child.stdin.close()

    def _drain(self) -> None:
        self._errors = self._child.stderr.read()

    def _listen(self) -> None:
        try:
            ending = None
            for number, line in enumerate(self._child.stdout):
                told = json.loads(line)
                if number == 0:
                    self._bridge._fits(told.get("protocol"), told.get("version"))
                elif "progress" in told:
                    self._told.put(("progress", told["progress"]))
                else:
                    ending = told
            self._told.put(self._ended(ending))
        except Trouble as trouble:
            self._told.put(("trouble", trouble))
        except (OSError, ValueError, KeyError, zlib.error) as error:
            self._told.put(("trouble", Trouble("CHILD", f"{type(error).__name__}: {error}")))
        finally:
            self._child.kill()
            self._child.wait()
            self._listening.join()
            for pipe in (self._child.stdin, self._child.stdout, self._child.stderr):
                pipe.close()
            shutil.rmtree(self._folder, ignore_errors=True)

    def _ended(self, ending: dict[str, Any] | None) -> tuple[str, Any]:
        if ending is None:
            self._listening.join(2)
            said = self._errors.decode(errors="replace").strip().splitlines()
            return "trouble", Trouble("CHILD", said[-1] if said else "–", self._bridge.again())
        if "error" in ending:
            return "trouble", Trouble(*(ending[part] for part in ("error", "message", "hint", "name")))
        made = ending["result"]
        layers = {name: zlib.decompress((self._folder / f"{name}.z").read_bytes()) for name in made["layers"]}
        paints = [tuple(paint) for paint in made["paints"]]
        return "made", Made(made["facts"], made["size"], layers, paints)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + ("" if words.endswith((".", "!", "?")) else ".")


def _languages(environment: Any) -> list[Any]:  # noqa: ANN401
    """Give the languages that are wanted, as gettext reads them from the environment."""
    chosen = next(
        (environment[name] for name in ("LC_ALL", "LC_MESSAGES", "LANG") if environment.get(name)), ""
    )
    if chosen.split(".")[0] in {"", "C", "POSIX"}:
        return []
    return [*environment.get("LANGUAGE", "").split(":"), chosen]
