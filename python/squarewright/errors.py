"""What can go wrong: every exception has a stable code, says what is wrong and what to do about it."""

from squarewright.names import escaped, shown


class SquarewrightError(Exception):
    """The base of all exceptions of this package.

    Parameters
    ----------
    code : str
        The stable name of the kind of error, such as ``"PIC-EMPTY"``.
    what : str
        What is wrong.
    hint : str
        What to do about it.
    name : str, optional
        The file that it is about.

    Attributes
    ----------
    code, what, hint, name
        As given, but on one printable line each: a strange name cannot disturb a screen or a log.
    """

    def __init__(self, code: str, what: str, hint: str = "", name: str | None = None) -> None:
        self.code = code
        self.what = escaped(what)
        self.hint = escaped(hint)
        self.name = None if name is None else shown(name)
        subject = f"{self.name} {self.what}" if self.name else self.what
        super().__init__(f"{code}: {subject}. {self.hint}".rstrip())

    def __reduce__(self) -> tuple[type["SquarewrightError"], tuple[str, str, str, str | None]]:
        return type(self), (self.code, self.what, self.hint, self.name)


class PictureError(SquarewrightError, ValueError):
    """A picture cannot be used (``PIC-…``)."""


class StockError(SquarewrightError, ValueError):
    """A list of paints cannot be used (``STOCK-…``, ``GPL-BAD``)."""


class SettingsError(SquarewrightError, ValueError):
    """Settings of a file or of the environment cannot be used (``CONFIG-…``)."""


class ProjectError(SquarewrightError, ValueError):
    """A settings, wall or progress file of a newer version cannot be gone on with (``PROJECT-…``)."""


class SizeError(SquarewrightError, ValueError):
    """A length is not understood, or the cells do not fit (``SIZE-…``)."""


class GridError(SquarewrightError, ValueError):
    """Cells and colours do not make a grid, or a picture has none (``GRID-…``, ``COLOURS-…``)."""


class ArgumentError(SquarewrightError, ValueError):
    """Another argument is outside its domain (``VALUE-…``, ``COLOUR-…``)."""


class PlaceError(SquarewrightError, OSError):
    """A path cannot be read (``PATH-…``)."""


class OutputError(SquarewrightError, OSError):
    """A file cannot be written (``OUT-…``)."""


class PackageError(SquarewrightError, ImportError):
    """A package that is needed for this is not installed (``PACKAGE-MISSING``)."""


class InternalError(SquarewrightError, RuntimeError):
    """Something that must not happen (``INTERNAL``): a fault of this package."""


class PictureWarning(UserWarning):
    """Something worth knowing about a picture that was read without trouble."""
