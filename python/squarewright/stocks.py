"""Lists of paints as files."""

import os
from pathlib import Path

from squarewright import files, places
from squarewright._core import STOCK_BYTES, Stock, _stock_too_big
from squarewright.errors import ArgumentError, StockError
from squarewright.names import shown


def read_stock(path: str | os.PathLike[str], *, decimal: str = ".") -> Stock:
    """Read a list of paints: TOML, CSV or the open palette text of image editors (GPL).

    The ending of the file says which it is. A CSV has a header, its fields are parted by commas or
    semicolons, and it is UTF-8 or UTF-16. The columns are ``name`` and ``colour`` and, where they are known,
    ``owned`` (yes or no; else the paint is on sale), ``ml``, ``price``, ``currency``, ``opacity``,
    ``strength``, ``tint`` with ``share`` and ``white``, and ``note``. In TOML each paint is a table
    ``[[paint]]`` with the same keys, and ``surface = [0.02, 0.4]`` may stand before them. Without ``white`` a
    tint was mixed with the lightest paint of the list.

    Parameters
    ----------
    path : path
        The file; at most 1 MiB and 2,000 paints.
    decimal : str, default "."
        What stands before the decimals of numbers in text: ``"."`` or ``","``.

    Returns
    -------
    Stock

    Raises
    ------
    PlaceError
        ``PATH-…`` when the file cannot be read.
    StockError
        ``STOCK-…`` or ``GPL-BAD`` with the row and the column of what is wrong.
    ArgumentError
        ``VALUE-BAD`` for another ``decimal``.

    Examples
    --------
    >>> read_stock("paints.csv", decimal=",")  # doctest: +SKIP
    Stock(24 paints)
    """
    place = Path(os.fsdecode(path))
    try:
        data = places.read(place, "list of paints", STOCK_BYTES)
    except places.TooBigError as error:
        raise _stock_too_big(error.size, error.name) from None
    except places.ChangedError as error:
        hint = "Wait until it is written completely, then try again."
        raise StockError("STOCK-CHANGED", "changed while it was read", hint, error.name) from None
    return Stock._read(data, shown(place.name), decimal)


def write(stock: Stock, path: str | os.PathLike[str], overwrite: bool = False, dry_run: bool = False) -> Path:
    """Write a list of paints as its file's ending says: TOML, CSV or GPL.

    Parameters
    ----------
    stock : Stock
        The paints.
    path : path
        Where to.
    overwrite : bool, default False
        Whether a file that is there already may be replaced.
    dry_run : bool, default False
        Whether all is tried but the writing.

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    ArgumentError
        ``VALUE-BAD`` for another ending.
    OutputError
        ``OUT-…`` when it cannot be written.
    """
    place = Path(os.fsdecode(path))
    writers = {".toml": stock.to_toml, ".csv": stock.to_csv, ".gpl": stock.to_gpl}
    writer = writers.get(place.suffix.lower())
    if writer is None:
        hint = "End its name with .toml, .csv or .gpl."
        raise ArgumentError("VALUE-BAD", "has an ending that says no format", hint, shown(place.name))
    if dry_run:
        files.check_targets(place.parent, [place.name], overwrite)
        return place
    return files.write_all(place.parent, {place.name: writer().encode()}, overwrite)[0]
