"""The command line: ``squarewright``, each of its commands in a file of its own."""

import argparse
import contextlib
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NoReturn

import squarewright
from squarewright import errors, names
from squarewright.command import bulk, compare, editors, options, paints, plan, streams, wall

DONE, FAILED, USAGE, BAD_FILE, NOTHING, EXISTS, INTERNAL, INTERRUPTED = 0, 1, 2, 3, 4, 5, 70, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str, optional
        What was typed after the command's name; by default that of this process.

    Returns
    -------
    int
        0 done · 1 a picture or place failed · 2 usage or a bad value · 3 bad settings, a bad wall file or
        list of paints · 4 nothing matched · 5 would overwrite · 70 internal · 130 interrupted.
    """
    begun: list[Path] = []
    streams.print_anything()
    try:
        with _stoppable():
            return _run(_printable(_parser().parse_args(arguments)), begun)
    except SystemExit:
        # Help and version were printed; whether anyone could read them changes nothing.
        try:
            print(end="", flush=True)
        except OSError:
            streams.abandon(sys.stdout)
        raise
    except KeyboardInterrupt:
        return _stop(f"interrupted. {_touched(begun)}", INTERRUPTED)
    except errors.SquarewrightError as error:
        return _stop(f"{error} {_touched(begun)}", _exit_code(error))
    except BrokenPipeError:
        # Who read our words has gone; nobody is to be told.
        streams.abandon(sys.stdout)
        return FAILED
    except Exception as error:
        what = f"INTERNAL: {type(error).__name__}: {error}. Please report it."
        return _stop(f"{what} {_touched(begun)}", INTERNAL)


@contextlib.contextmanager
def _stoppable() -> Iterator[None]:
    """Let a request to end, or a closed terminal, take the same way out as Ctrl-C: past the tidying up."""
    kept: dict[int, object] = {}
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        # Python sets signals from its main thread alone; and one that is ignored stays so.
        with contextlib.suppress(ValueError):
            if number is not None and signal.getsignal(number) is signal.SIG_DFL:
                kept[number] = signal.signal(number, signal.default_int_handler)
    try:
        yield
    finally:
        for number in kept:
            signal.signal(number, signal.SIG_DFL)


def _printable(typed: argparse.Namespace) -> argparse.Namespace:
    """Escape what cannot be printed, except in paths: no length, colour or name needs it."""
    for option, value in vars(typed).items():
        if isinstance(value, str) and option not in options.PATHS:
            setattr(typed, option, names.escaped(value))
    return typed


def _stop(message: str, code: int) -> int:
    streams.tell(f"squarewright: {message}")
    return code


def _touched(begun: list[Path]) -> str:
    if not begun:
        return "Nothing was written."
    return f"Each file in {names.shown(begun[0])} is as it was or complete."


def _exit_code(error: errors.SquarewrightError) -> int:
    if error.code in bulk.OVERWRITING:
        return EXISTS
    if error.code == "PATH-NONE":
        return NOTHING
    if isinstance(error, errors.SizeError | errors.ArgumentError) or error.code == "COLOURS-RANGE":
        return USAGE
    if isinstance(error, errors.StockError | errors.SettingsError | errors.ProjectError):
        return BAD_FILE
    return INTERNAL if isinstance(error, errors.InternalError) else FAILED


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        streams.tell(f"{self.prog}: {message}. See {self.prog} --help. Nothing was written.")
        raise SystemExit(USAGE)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="squarewright",
        description="From a picture to a book for a hand-made panel.",
        epilog="""example:
  squarewright plan heron.png --panel "12in x 12in"

Each command has a --help of its own.
exit status: 0 done, 1 a picture or place failed, 2 usage or a bad value, 3 bad settings, a bad list of
paints or wall file, 4 nothing matched, 5 would overwrite, 70 internal, 130 interrupted""",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"squarewright {squarewright.__version__}")
    commands = parser.add_subparsers(
        dest="command", required=True, metavar="plan | compare | bulk | wall | paints | editors | demo"
    )
    plan.add(commands)
    compare.add(commands)
    bulk.add(commands)
    wall.add(commands)
    paints.add(commands)
    editors.add(commands)
    plan.add_demo(commands)
    return parser


def _run(typed: argparse.Namespace, begun: list[Path]) -> int:
    if typed.command == "job":
        from squarewright.editors import job

        return job.run(typed.request)
    commands: dict[str, Callable[[argparse.Namespace, list[Path]], int]] = {
        "plan": plan.run,
        "demo": plan.run,
        "compare": compare.run,
        "bulk": bulk.run,
        "wall": wall.run,
        "paints": paints.run,
        "editors": editors.run,
    }
    return commands[typed.command](typed, begun)
