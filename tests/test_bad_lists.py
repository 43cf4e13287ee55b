"""Lists of paints and settings that cannot be used: refused by code and place, in Python and at the shell."""

import os
import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest

import measured
import squarewright as sw
from made import png
from squarewright.settings.sources import DEPTH, SETTINGS_BYTES

PANEL = "12in x 12in"
HEAD = "name,colour"


@dataclass(frozen=True)
class Bad:
    """A file, and how it is refused."""

    case: str
    name: str
    code: str
    where: str
    """The place that is told, as a pattern."""
    data: Callable[[], bytes]


def bad(case: str, name: str, code: str, where: str, data: str | bytes | Callable[[], bytes]) -> Bad:
    """Take text or bytes as they are; what is large is made when it is needed."""
    if callable(data):
        return Bad(case, name, code, where, data)
    held = data.encode() if isinstance(data, str) else data
    return Bad(case, name, code, where, lambda: held)


def rows(count: int) -> bytes:
    lines = [f"paint {row},#{0xB3202B ^ row * 7919 % (1 << 24):06x}" for row in range(count)]
    return "\n".join([HEAD, *lines]).encode()


GPL = "GIMP Palette\nName: pond\nColumns: {}\n#\n{}  32  43\tred\n"

STOCKS = [
    bad("no header", "a.csv", "STOCK-COLUMN", "row 1", "red,#b3202b\n"),
    bad("a missing column", "a.csv", "STOCK-COLUMN", "row 1: there is no column colour", "name,ml\nred,59\n"),
    bad("a name twice", "a.csv", "STOCK-DUPLICATE", "row 3, column name", f"{HEAD}\nred,#000\nRed,#111\n"),
    bad("no hexadecimal digits", "a.csv", "STOCK-COLOUR", "row 2, column colour", f"{HEAD}\nred,#GG0000\n"),
    bad("a number for a colour", "a.csv", "STOCK-COLOUR", "row 2, column colour", f"{HEAD}\nred,300\n"),
    bad("no colour", "a.csv", "STOCK-COLOUR", "row 2, column colour", f"{HEAD}\nred,\n"),
    bad(
        "a comma in a price",
        "a.csv",
        "STOCK-PRICE",
        "row 2, column price",
        'name,colour,price\na,#000,"4,50"\n',
    ),
    bad(
        "two currencies",
        "a.csv",
        "STOCK-PRICE",
        "row 3, column price",
        "name,colour,price,currency\na,#000,4.5,EUR\nb,#111,5,USD\n",
    ),
    bad("a negative bottle", "a.csv", "STOCK-AMOUNT", "row 2, column ml", "name,colour,ml\na,#000,-59\n"),
    bad("an empty bottle", "a.csv", "STOCK-AMOUNT", "row 2, column ml", "name,colour,ml\na,#000,0\n"),
    bad("ten thousand rows", "a.csv", "STOCK-TOO-BIG", "2000", lambda: rows(10_000)),
    bad(
        "a cell of 10 MB", "a.csv", "STOCK-TOO-BIG", "1024 KiB", lambda: b"name,colour\n" + b"x" * 10_000_000
    ),
    bad("a NUL", "a.csv", "STOCK-ENCODING", "row 2", f"{HEAD}\nr\0d,#b3202b\n"),
    bad("an old encoding", "a.csv", "STOCK-ENCODING", "row 2", f"{HEAD}\nröd,#b3202b\n".encode("latin-1")),
    bad("nothing", "a.csv", "STOCK-", "", ""),
    bad("a palette with another first line", "a.gpl", "GPL-BAD", "line 1", GPL.format(4, 179)[1:]),
    bad("a palette of 999 columns", "a.gpl", "GPL-BAD", "line 3", GPL.format(999, 179)),
    bad("a palette with a level of 256", "a.gpl", "GPL-BAD", "line 5", GPL.format(4, 256)),
    bad(
        "a key twice",
        "a.toml",
        "STOCK-SYNTAX",
        "row 4",
        '[[paint]]\nname = "a"\ncolour = "#000"\nname = "b"\n',
    ),
    bad(
        "an unknown key",
        "a.toml",
        "STOCK-COLUMN",
        "did you mean colour",
        '[[paint]]\nname = "a"\ncolurs = "#000"\n',
    ),
    bad("nested ten thousand deep", "a.toml", "STOCK-SYNTAX", "", lambda: b"x = " + b"[" * 10_000),
]

SETTINGS = [
    bad("an unknown setting", "a.toml", "CONFIG-KEY", "Did you mean colours", "colurs = 8\n"),
    bad("a setting of another type", "a.toml", "CONFIG-TYPE", "columns must be a whole", 'columns = "3"\n'),
    bad("a setting twice", "a.toml", "CONFIG-SYNTAX", "line 2", "rows = 1\nrows = 2\n"),
    bad("no TOML", "a.toml", "CONFIG-SYNTAX", "line 2, column 11", "rows = 3\ncolumns = ?\n"),
    bad(
        "nested ten thousand deep",
        "a.toml",
        "CONFIG-SYNTAX",
        f"{DEPTH} tables",
        lambda: b"x = " + b"[" * 10_000,
    ),
    bad("more than a mebibyte", "a.toml", "CONFIG-TOO-BIG", "1 MiB", lambda: b"#" * (SETTINGS_BYTES + 1)),
    bad("of a newer version", "a.toml", "PROJECT-NEWER", "this version knows 1", "schema = 2\n"),
    bad("not UTF-8", "a.toml", "CONFIG-SYNTAX", "byte 10", b'hand = "r\xe9ght"'),
    bad("a NUL", "a.toml", "CONFIG-SYNTAX", "line 1", b"rows = 3 \0\n"),
]


def refused(case: Bad, folder, read, *arguments: str) -> None:
    """Check how a file is refused in Python, then by the command in a child."""
    path = folder / case.name
    path.write_bytes(case.data())
    os.utime(path, (1, 1))
    (folder / "a.png").write_bytes(png.lily())
    with pytest.raises(sw.SquarewrightError) as caught:
        read(path)
    assert caught.value.code.startswith(case.code) and caught.value.name == case.name
    assert re.search(case.where, str(caught.value)) and caught.value.hint, caught.value
    answer = measured.plan("a.png", folder, *arguments)
    answer.check_limits()
    assert re.fullmatch(
        rf"squarewright: {caught.value.code}: {re.escape(case.name)} .+[.?] Nothing was written\.\n",
        answer.err,
    ), answer.err
    assert re.search(case.where, answer.err)
    assert (answer.status, answer.out) == (3, "")
    assert measured.tree(folder) == sorted(["a.png", case.name])


@pytest.mark.parametrize("case", STOCKS, ids=lambda case: case.case)
def test_a_bad_list_of_paints_is_refused(case, tmp_path):
    refused(case, tmp_path, sw.read_stock, "--stock", case.name)


@pytest.mark.parametrize("case", SETTINGS, ids=lambda case: case.case)
def test_a_bad_file_of_settings_is_refused(case, tmp_path):
    refused(case, tmp_path, sw.read_settings, "--settings", case.name)


GOOD = {
    "UTF-8": ("a.csv", f"{HEAD}\nröd,#b3202b\n".encode()),
    "a byte order mark": ("a.csv", f"{HEAD}\nröd,#b3202b\n".encode("utf-8-sig")),
    "UTF-16": ("a.csv", f"{HEAD}\nröd,#b3202b\n".encode("utf-16")),
    "as many paints as a list may have": ("a.csv", rows(2000)),
    "a palette of the old form": ("a.gpl", b"GIMP Palette\n179 32 43 red\n"),
}


@pytest.mark.parametrize("case", GOOD)
def test_an_odd_list_of_paints_is_used(case, tmp_path):
    name, data = GOOD[case]
    (tmp_path / name).write_bytes(data)
    (tmp_path / "a.png").write_bytes(png.lily())
    os.utime(tmp_path / name, (1, 1))
    assert sw.read_stock(tmp_path / name)[0].colour == (0xB3, 0x20, 0x2B)
    answer = measured.plan("a.png", tmp_path, "--stock", name, "--dry-run")
    assert answer.status == 0, answer.err
    assert "Traceback" not in answer.err


def test_a_list_of_one_paint_too_many_is_refused(tmp_path):
    (tmp_path / "a.csv").write_bytes(rows(2001))
    os.utime(tmp_path / "a.csv", (1, 1))
    with pytest.raises(sw.StockError, match="STOCK-TOO-BIG"):
        sw.read_stock(tmp_path / "a.csv")
