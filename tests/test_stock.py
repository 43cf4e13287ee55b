"""Lists of paints as files: what is read, what is refused and how, what is written."""

import os
import pickle

import pytest

import squarewright as sw

HEAD = "name,colour"


def settled(path):
    """Make a file old: one that was written this very moment could still be growing."""
    os.utime(path, (1, 1))
    return path


def stock(folder, text, name="paints.csv", encoding="utf-8", **options):
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
    return sw.read_stock(settled(path), **options)


def refused(folder, text, name="paints.csv", **options):
    with pytest.raises(sw.StockError) as caught:
        stock(folder, text, name, **options)
    assert caught.value.name == name
    assert caught.value.hint
    return f"{caught.value.code} {caught.value.what}"


def test_a_missing_column_or_a_second_name_is_told_with_its_row(tmp_path):
    assert refused(tmp_path, "red,#b3202b\n").startswith("STOCK-COLUMN row 1")
    assert refused(tmp_path, "name,ml\nred,59\n") == "STOCK-COLUMN row 1: there is no column colour"
    twice = f"{HEAD}\nred,#b3202b\nRed,#d23a2a\n"
    assert refused(tmp_path, twice).startswith("STOCK-DUPLICATE row 3, column name")


@pytest.mark.parametrize("colour", ["#GG0000", "300", ""])
def test_what_is_no_colour_is_told_with_row_and_column(tmp_path, colour):
    text = f"{HEAD}\nred,#b3202b\nblue,{colour}\n"
    assert refused(tmp_path, text).startswith("STOCK-COLOUR row 3, column colour")


def test_a_price_follows_the_declared_sign_and_one_currency(tmp_path):
    german = "name;colour;ml;price\nrot;#b3202b;59,5;4,50 EUR\n"
    assert stock(tmp_path, german, decimal=",")["rot"].price == 4.5
    assert refused(tmp_path, german.replace("59,5", "59")).startswith("STOCK-PRICE row 2, column price")
    assert stock(tmp_path, f"{HEAD},price\nred,#b3202b,4.50\n")["red"].price == 4.5
    mixed = f"{HEAD},price,currency\nred,#b3202b,4.50,EUR\nblue,#2b3a93,5,USD\n"
    assert refused(tmp_path, mixed).startswith("STOCK-PRICE row 3, column price")


@pytest.mark.parametrize("amount", ["-59", "0", "nan", "much"])
def test_a_bottle_of_nothing_is_refused(tmp_path, amount):
    text = f"{HEAD},ml\nred,#b3202b,{amount}\n"
    assert refused(tmp_path, text).startswith("STOCK-AMOUNT row 2, column ml")


def test_what_is_too_big_or_no_text_is_refused(tmp_path):
    rows = "".join(f"paint {row},#b3202b\n" for row in range(10_000))
    assert refused(tmp_path, f"{HEAD}\n{rows}").startswith("STOCK-TOO-BIG")
    assert refused(tmp_path, f"{HEAD}\n{'x' * (10 << 20)},#b3202b\n").startswith("STOCK-TOO-BIG")
    assert refused(tmp_path, f"{HEAD}\nr\0d,#b3202b\n").startswith("STOCK-ENCODING row 2")
    assert refused(tmp_path, f"{HEAD}\nröd,#b3202b\n".encode("latin-1")).startswith("STOCK-ENCODING row 2")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_utf_8_and_utf_16_are_read(tmp_path, encoding):
    found = stock(tmp_path, f"{HEAD}\nröd,#b3202b\n", encoding=encoding)
    assert found["röd"].colour == (0xB3, 0x20, 0x2B)


def test_a_palette_is_read_and_a_bad_one_refused_with_its_line(tmp_path):
    good = "GIMP Palette\nName: pond\nColumns: 4\n#\n179  32  43\tred\n"
    assert stock(tmp_path, good, "pond.gpl")["red"].hex == "#b3202b"
    assert len(stock(tmp_path, "GIMP Palette\n179 32 43 red\n", "old.gpl")) == 1
    for bad in (good[1:], good.replace("4", "999"), good.replace("179", "256")):
        assert refused(tmp_path, bad, "pond.gpl").startswith("GPL-BAD line ")


def test_toml_is_read_and_its_keys_are_checked(tmp_path):
    text = '[[paint]]\nname = "blue"\ncolour = "#2b3a93"\nowned = false\nml = 59\nprice = 4.5\n'
    found = stock(tmp_path, text, "paints.toml")["blue"]
    assert (found.owned, found.ml, found.price, found.currency) == (False, 59.0, 4.5, None)
    assert "did you mean colour?" in refused(tmp_path, text.replace("colour", "colurs"), "paints.toml")
    assert refused(tmp_path, text + "ml = 60\n", "paints.toml").startswith("STOCK-SYNTAX row 7")


@pytest.mark.parametrize("ending", ["toml", "csv", "gpl"])
def test_what_is_written_is_read_back(tmp_path, ending):
    known = sw.Stock(sw.Stock.basic().paints)
    path = known.write(tmp_path / f"paints.{ending}")
    assert sw.read_stock(settled(path)) == known
    with pytest.raises(sw.OutputError, match="OUT-EXISTS"):
        known.write(path)
    known.write(path, overwrite=True)


def test_a_tint_survives_writing(tmp_path):
    blue = sw.Paint("blue", "#2b3a93", tint="#7f8fd6", share=0.1, white="#f4f3ee", ml=20, opacity="half")
    path = sw.Stock([blue, sw.Paint("=odd, name", "#f4f3ee", price=3.25, currency="EUR")]).write(
        tmp_path / "a.csv"
    )
    assert sw.read_stock(settled(path))["blue"] == blue
    assert "'=odd" in path.read_text()


def test_places_that_are_no_lists_are_told(tmp_path):
    with pytest.raises(sw.PlaceError, match="PATH-MISSING"):
        sw.read_stock(tmp_path / "none.csv")
    with pytest.raises(sw.PlaceError, match=r"PATH-FOLDER.*list of paints"):
        sw.read_stock(tmp_path)
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.Stock.basic().write(tmp_path / "paints.odt")


def test_a_bad_list_ends_the_command_with_3(run, tmp_path):
    path = tmp_path / "paints.csv"
    path.write_text(f"{HEAD}\nred,#GG0000\n")
    settled(path)
    status, said, told = run("paints", "list", "--stock", str(path))
    assert (status, said) == (3, "")
    assert "STOCK-COLOUR: paints.csv row 2, column colour" in told


def test_a_stock_is_a_list_by_name_and_by_place():
    known = sw.Stock.basic()
    assert 20 <= len(known) <= 28 and known.typical
    assert known["White"] == known[0]
    with pytest.raises(IndexError):
        known[99]
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        known["plaid"]
    with pytest.raises(sw.StockError, match="STOCK-EMPTY"):
        sw.Stock([])
    with pytest.raises(sw.StockError, match="STOCK-AMOUNT"):
        sw.Paint("red", "#b3202b", ml=0)
    assert pickle.loads(pickle.dumps(known)) == known
    assert pickle.loads(pickle.dumps(known["red"])) == known["red"]
