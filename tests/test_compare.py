"""Comparing one picture in several ways: every figure is that of the full plan."""

import base64
import html
import io
import json
import pickle
import re
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
from PIL import Image

import squarewright as sw
from squarewright.command import main

POND = Path(__file__).parent.parent / "examples" / "pond"
PHOTO, HERON = POND / "kingfisher-over-water.jpg", POND / "heron.png"
FOOT = sw.Panel("12 in", "12 in")


@pytest.fixture(scope="module")
def sheet():
    return sw.compare(PHOTO, columns=(16, 24), colours=(4, 6, 8), panel=FOOT, stock=sw.Stock.basic())


def printed(plan):
    """Give all words of a plan's book."""
    with pdfplumber.open(io.BytesIO(plan.to_pdf())) as book:
        return " ".join(" ".join((page.extract_text() or "").split()) for page in book.pages)


def told(comparison):
    """Give the lines of each tile as its page has them."""
    # A space that keeps a number and its unit together is no space to look for.
    cells = re.findall(r"<td>.*?</td>", comparison.to_html().replace("\xa0", " "))
    pairs = [re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", cell) for cell in cells]
    return [{html.unescape(what): html.unescape(value) for what, value in each} for each in pairs]


def test_each_tile_is_the_plan_made_by_itself(sheet):
    ways = [(columns, colours) for columns in (16, 24) for colours in (4, 6, 8)]
    assert [(tile.columns, tile.colours) for tile in sheet] == ways
    for index, (columns, colours) in enumerate(ways):
        grid = sw.pixelate(PHOTO, columns=columns, colours=colours)
        plan = sw.plan(grid, panel=FOOT, stock=sw.Stock.basic(), name=PHOTO.stem)
        assert sheet.plan(index) == plan and sheet.plan(index).warnings == plan.warnings
        assert sheet.grids[index] == grid
        assert sheet.rows[index] == {
            "columns_asked": columns,
            "colours_asked": colours,
            **plan.summary,
            "error": None,
        }


def test_figures_in_short_are_those_of_the_plan(sheet):
    plan = sheet.plan(5)
    short, spots = plan.summary, plan.weak_spots
    assert (short["rows"], short["columns"]) == plan.grid.cells.shape
    assert short["cells"] == (plan.grid.cells >= 0).sum() == sum(each["cells"] for each in plan.colours)
    assert short["patches"] == sum(each["patches"] for each in plan.colours)
    assert short["colours"] == len(plan.colours)
    assert sw.Length(short["pitch"]) == plan.fit.pitch and sw.Length(short["width"]) == plan.fit.width
    assert short["panels"] == [plan.fit.across, plan.fit.down]
    assert short["jars"] == len(plan.jars)
    assert short["paints"] == len(plan.bottles)
    assert short["bottles"] == sum(each["bottles"] for each in plan.bottles)
    assert short["bottles_to_buy"] == sum(each["bottles"] for each in plan.bottles if not each["owned"])
    assert short["hours"] == list(plan.hours["work"])
    assert short["waiting_hours"] == list(plan.hours["wait"])
    assert short["weak_spots"]["corner_joints"] == len(spots.corner_joints)
    assert short["weak_spots"]["thin_parts"] == len(spots.necks)


def test_every_figure_on_the_sheet_stands_in_the_book():
    sheet = sw.compare(PHOTO, columns=(16, 24), colours=(6,), panel=FOOT, figure="find")
    for index, lines in enumerate(told(sheet)):
        plan = sheet.plan(index)
        book, fit = printed(plan), plan.fit
        assert f"To paint {lines['To paint']}" in book
        assert f"One cell {lines['One cell']}" in book
        assert f"Whole figure {lines['Size']}" in book
        assert f"Panels {lines['Panels']}" in book
        assert f"Colours {lines['Colours']}" in book
        work, wait = re.fullmatch(r"(\S+ \S+) of work, (\S+ \S+) of waiting", lines["Hours"]).groups()
        assert f"Hands at work {work}, waiting {wait}" in book
        jars, ml = re.fullmatch(r"(\d+) jars?, (\S+ ml) in all", lines["Paint"]).groups()
        assert f"About {ml} of colour in all" in book and int(jars) == len(plan.jars)
        assert lines["Patches"] == str(sum(each["patches"] for each in plan.colours))
        assert fit.text(fit.pitch) == lines["One cell"]


def test_threads_change_nothing(sheet):
    for threads in (1, 5):
        again = sw.compare(
            PHOTO, columns=(16, 24), colours=(4, 6, 8), panel=FOOT, stock=sw.Stock.basic(), threads=threads
        )
        assert again == sheet and again.to_png() == sheet.to_png() and again.to_html() == sheet.to_html()


def test_a_way_that_cannot_be_made_leaves_the_others_alone():
    picture = np.full((40, 40, 3), 90, np.uint8)
    picture[5:30, 8:20] = (200, 40, 30)
    sheet = sw.compare(picture, columns=(10, 600, 60), colours=(4,), panel=FOOT, pixelate=True)
    assert [tile.plan is not None for tile in sheet] == [True, False, False]
    assert sheet.rows[1]["error"].startswith("VALUE-BAD") and sheet.grids[1] is None
    with pytest.raises(sw.PictureError, match="PIC-TOO-SMALL"):
        sheet.plan(2)
    assert "2 of which cannot be made" in repr(sheet)
    assert "PIC-TOO-SMALL" in sheet.to_html()
    assert Image.open(io.BytesIO(sheet.to_png())).size[0] > 300


def test_when_no_way_can_be_made_the_reason_is_raised():
    with pytest.raises(sw.SizeError, match="SIZE-FIT"):
        sw.compare(PHOTO, columns=(16,), colours=(4,), panel=FOOT, pitch="3 in", across=1, down=1)


def test_pixel_art_is_compared_in_cell_sizes():
    sheet = sw.compare(HERON, panel=FOOT)
    plan = sw.plan(HERON, panel=FOOT)
    pitches = [plan.fit.pitch, *(other.pitch for other in plan.fit.alternatives)]
    assert [tile.plan.fit.pitch for tile in sheet] == pitches and len(sheet) > 1
    assert sheet.plan(0) == plan
    assert all(tile.columns is None and tile.plan.grid == plan.grid for tile in sheet)
    assert f"its {plan.grid.rows} rows × {plan.grid.columns} columns" in sheet.notes[0]
    listed = sw.compare(plan.grid, panel=FOOT, pitches=["1/8 in", "3/32 in"], name="heron")
    assert [str(tile.plan.fit.pitch) for tile in listed] == ["1/8 in", "3/32 in"]


def test_pixel_art_has_its_columns_already():
    with pytest.raises(sw.GridError, match=r"GRID-CELLS: the picture is pixel art .*pixelate=True"):
        sw.compare(HERON, columns=(16, 24), panel=FOOT)
    with pytest.raises(sw.GridError, match="GRID-CELLS: the grid has"):
        sw.compare(sw.recover(HERON).grid, colours=(4,), panel=FOOT)
    assert len(sw.compare(HERON, columns=(16,), colours=(4, 6), panel=FOOT, pixelate=True)) == 2


@pytest.mark.parametrize(
    "bad",
    [
        {"columns": ()},
        {"columns": (16.5,)},
        {"columns": 16},
        {"columns": range(10, 30), "colours": (4, 5)},
        {"colours": range(4, 12)},
        {"distance": "0 in"},
    ],
)
def test_what_cannot_be_compared_is_refused(bad):
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD"):
        sw.compare(PHOTO, panel=FOOT, **bad)


def test_from_afar_a_pixel_is_a_minute_of_arc():
    # 1′ at 3 m is 3000 mm × tan(1/60°) = 0.8727 mm: a figure of 300 mm has 344 pixels. ISO 8596 takes sight
    # that parts 1′ as good (from memory).
    grid = sw.Grid(np.arange(100).reshape(10, 10) % 2, ["#000000", "#ffffff"])
    panel = sw.Panel("300 mm", "300 mm")

    def seen(distance):
        sheet = sw.compare(grid, panel=panel, pitches=["30 mm"], distance=distance, ruler="1 mm")
        data = re.search(r'src="data:image/png;base64,([^"]+)"', sheet.to_html())[1]
        return np.asarray(Image.open(io.BytesIO(base64.b64decode(data))))

    assert seen("3000 mm").shape[:2] == (344, 344)
    # From half a metre a minute would give 2063 pixels: 5 minutes go into one.
    assert seen("500 mm").shape[:2] == (413, 413)
    # From 1 km black and white are one pixel: half the light has the code 188 (IEC 61966-2-1).
    assert seen("1000000 mm").tolist() == [[[188, 188, 188, 255]]]


def test_a_strange_name_stays_words(tmp_path):
    strange = tmp_path / "<img src=x onerror=alert(1)>&\"'.jpg"
    strange.write_bytes(PHOTO.read_bytes())
    sheet = sw.compare(strange, columns=(8,), colours=(3,), panel=FOOT)
    page = sheet.to_html()
    assert "<img src=x" not in page and "&lt;img src=x onerror=alert(1)&gt;&amp;&quot;&#x27;" in page
    assert page.count("<img ") == 1


def test_it_can_be_pickled_and_written_as_json(sheet):
    again = pickle.loads(pickle.dumps(sheet))
    assert again == sheet and again.rows == sheet.rows
    assert json.loads(json.dumps(sheet.rows)) == sheet.rows
    failed = sw.compare(PHOTO, columns=(8, 600), colours=(3,), panel=FOOT)
    kept = pickle.loads(pickle.dumps(failed))
    assert kept.rows == failed.rows and kept[1].error.code == "VALUE-BAD"
    assert len(sheet) == 6 and sheet[0].columns == 16
    assert repr(sheet).startswith("Comparison('kingfisher-over-water', 6 tiles, ")


def test_progress_reaches_the_end():
    seen = []
    sw.compare(PHOTO, columns=(8, 12), colours=(3,), panel=FOOT, progress=seen.append)
    assert seen == [0.5, 1.0]
    with pytest.raises(RuntimeError, match="enough"):
        sw.compare(PHOTO, columns=(8,), colours=(3,), panel=FOOT, progress=lambda _: fail())


def fail():
    raise RuntimeError("enough")


def test_the_command_writes_a_sheet(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    typed = ["compare", str(PHOTO), "--columns", "8,12", "--colours", "3,4", "--panel", "12in x 12in"]
    assert main([*typed, "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    wanted = sw.compare(PHOTO, columns=(8, 12), colours=(3, 4), panel=FOOT)
    assert report["tiles"] == wanted.rows
    assert (tmp_path / "kingfisher-over-water-compared.png").read_bytes() == wanted.to_png()
    assert main([*typed, "--out", "sheet.html"]) == 0
    assert "12 columns, up to 4 colours: 96 cells of " in capsys.readouterr().out
    assert (tmp_path / "sheet.html").read_text("utf-8") == wanted.to_html()
    assert main([*typed, "--out", "sheet.html"]) == 5
    assert main([*typed, "--out", "sheet.gif"]) == 2
    assert main(["compare", str(HERON), "--columns", "8", "--panel", "12in x 12in"]) == 1
    assert "GRID-CELLS" in capsys.readouterr().err


def test_the_command_never_replaces_the_picture(tmp_path):
    picture = tmp_path / "frog.png"
    picture.write_bytes(HERON.read_bytes())
    typed = ["compare", str(picture), "--panel", "12in x 12in", "--out", str(picture), "--overwrite"]
    assert main(typed) == 5 and picture.read_bytes() == HERON.read_bytes()


def test_the_command_takes_settings_as_plan_does(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("mine.toml").write_text(
        'panel = "300mm x 300mm"\nruler = "1 mm"\nbrushwork = "broad"\ncolumns = 99\n'
    )
    monkeypatch.setenv("SQUAREWRIGHT_ENDING", "whole square")
    typed = ["compare", str(PHOTO), "--columns", "8,12", "--colours", "3", "--settings", "mine.toml"]
    assert main([*typed, "--json", "--dry-run", "--no-backing"]) == 0
    wanted = sw.compare(
        PHOTO,
        columns=(8, 12),
        colours=(3,),
        panel=sw.Panel("300 mm", "300 mm"),
        ruler="1 mm",
        brushwork="broad",
        ending="whole square",
        backing=False,
    )
    report = json.loads(capsys.readouterr().out)
    assert report["tiles"] == wanted.rows and not Path(report["file"]).exists()
    assert main([*typed, "--show-settings"]) == 0
    assert 'brushwork = "broad"  # file mine.toml' in capsys.readouterr().out
    with pytest.raises(SystemExit, match="2"):
        main(["compare", str(PHOTO)])
    assert "--panel" in capsys.readouterr().err
