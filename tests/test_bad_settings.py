"""Settings that cannot be planned with: each names its field and the form that is allowed."""

import re

import numpy as np
import pytest

import measured
import squarewright as sw
from made import png

PANEL = "12in x 12in"

NO_LENGTHS = {
    "zero": "0 in",
    "negative": "-1 in",
    "not a number": "NaN in",
    "without end": "inf in",
    "over nothing": "1/0 in",
    "bare": "8",
    "empty": "",
    "words": "a hand",
    "too long to hold": "9" * 40 + " in",
}

FIELDS = ["pitch", "width", "height", "thickness"]

FORM = r'Write a length above zero with its unit: "3/16 in", "1 1/2 in", "8 mm", "1 ft"\.'


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "a.png").write_bytes(png.lily())
    return tmp_path


def refused(code, words, folder, **settings):
    """Plan in Python and see the refusal."""
    with pytest.raises(sw.SquarewrightError) as caught:
        sw.plan(folder / "a.png", **{"panel": sw.Panel("12 in", "12 in")} | settings)
    assert caught.value.code in code
    assert re.match(words, f"{caught.value}") and caught.value.hint, caught.value


def planned(folder, *settings, panel=PANEL):
    answer = measured.python(
        "-m", "squarewright", "plan", "a.png", f"--panel={panel}", "--out", "out", *settings, folder=folder
    )
    answer.check_limits()
    assert measured.tree(folder) == ["a.png"]
    assert (answer.status, answer.out) == (2, "")
    assert re.fullmatch(r"squarewright: [A-Z-]+: .+\. Nothing was written\.\n", answer.err), answer.err
    return answer.err


@pytest.mark.parametrize("field", FIELDS)
@pytest.mark.parametrize("given", NO_LENGTHS)
def test_what_is_no_length_is_refused_with_its_field_and_form(field, given, folder):
    error = planned(folder, f"--{field}={NO_LENGTHS[given]}")
    said = rf"SIZE-BAD: (panel )?{field} cannot be .*\. {FORM}"
    assert re.match(rf"squarewright: {said} Nothing", error), error
    if field == "thickness":
        with pytest.raises(sw.SizeError) as caught:
            sw.Panel("12 in", "12 in", thickness=NO_LENGTHS[given])
        assert re.match(said, str(caught.value))
    else:
        refused({"SIZE-BAD"}, said, folder, **{field: NO_LENGTHS[given]})


@pytest.mark.parametrize("given", NO_LENGTHS)
def test_a_ruler_that_is_none_is_refused_with_its_field_and_form(given, folder):
    """A length that no ruler shows is a wrong value; what is no length at all is a wrong length."""
    error = planned(folder, f"--ruler={NO_LENGTHS[given]}")
    said = r"(SIZE|VALUE)-BAD: ruler (cannot|must) be .* (in|mm)\b"
    assert re.match(f"squarewright: {said}", error), error
    refused({"SIZE-BAD", "VALUE-BAD"}, said, folder, ruler=NO_LENGTHS[given])


@pytest.mark.parametrize("given", [given for given in NO_LENGTHS if given != "zero"])
def test_a_margin_may_be_zero_and_no_more(given, folder):
    error = planned(folder, f"--margin={NO_LENGTHS[given]}")
    assert re.match(r"squarewright: SIZE-BAD: margin cannot be ", error), error
    refused({"SIZE-BAD"}, "SIZE-BAD: margin cannot be ", folder, margin=NO_LENGTHS[given])


@pytest.mark.parametrize("given", NO_LENGTHS)
@pytest.mark.parametrize(("sides", "field"), [("{} x 12in", "width"), ("12in x {}", "height")])
def test_a_panel_of_no_length_is_refused(sides, field, given, folder):
    error = planned(folder, panel=sides.format(NO_LENGTHS[given]))
    assert re.match(r"squarewright: SIZE-BAD: ", error), error
    assert field in error or "panel" in error
    sides = {"width": "12 in", "height": "12 in"} | {field: NO_LENGTHS[given]}
    with pytest.raises(sw.SizeError, match=f"SIZE-BAD: panel {field} cannot be "):
        sw.Panel(**sides)


@pytest.mark.parametrize("text", ["12in", "", "12in x 12in x 1in"])
def test_a_panel_of_another_form_is_refused(text, folder):
    error = planned(folder, panel=text)
    assert "SIZE-BAD: panel cannot be" in error and '"12in x 12in"' in error


def test_a_cell_larger_than_the_panel_is_refused_with_the_largest_that_fits(folder):
    """12 columns of whole marks on 12 inches: an inch."""
    error = planned(folder, "--pitch=13 in", "--across=1", "--down=1")
    assert "SIZE-FIT" in error and "The largest cell that fits is 1 in." in error
    refused({"SIZE-FIT"}, ".*The largest cell that fits is 1 in", folder, pitch="13 in", across=1, down=1)


def test_a_margin_that_leaves_nothing_is_refused(folder):
    assert "SIZE-FIT" in planned(folder, "--margin=6 in")
    refused({"SIZE-FIT"}, ".*make them smaller", folder, margin="6 in")


def palette(count):
    return [f"#{number:02x}{255 - number:02x}80" for number in range(count)]


def test_a_grid_has_64_colours_and_no_more():
    cells = np.arange(65).reshape(5, 13)
    assert len(sw.Grid(cells.clip(0, 63), palette(64)).names) == 64
    with pytest.raises(sw.GridError) as caught:
        sw.Grid(cells, palette(65))
    assert caught.value.code == "COLOURS-RANGE"
    assert "65 colours; a grid has 1 to 64" in str(caught.value)


def test_a_grid_has_a_colour():
    with pytest.raises(sw.GridError) as caught:
        sw.Grid([[-1]], [])
    assert caught.value.code == "COLOURS-RANGE"


@pytest.mark.parametrize("count", ["twelve", "0", "-1", "1.5"])
def test_a_count_of_panels_is_a_whole_number_above_zero(count, folder):
    answer = measured.plan("a.png", folder, f"--across={count}")
    answer.check_limits()
    assert answer.status == 2 and "across" in answer.err and answer.err.count("\n") == 1
    assert measured.tree(folder) == ["a.png"]


@pytest.mark.parametrize("count", ["1", "65", "0", "-3"])
def test_a_photo_takes_2_to_64_colours(count, folder):
    answer = measured.plan("a.png", folder, "--pixelate", "--columns=8", f"--colours={count}")
    answer.check_limits()
    assert answer.status == 2 and answer.err.startswith("squarewright: COLOURS-RANGE: ")
    assert f"colours must be a whole number from 2 to 64, got {count}." in answer.err and answer.err.endswith(
        "Nothing was written.\n"
    )
    with pytest.raises(sw.GridError, match="COLOURS-RANGE"):
        sw.pixelate(folder / "a.png", columns=8, colours=int(count))
    assert measured.tree(folder) == ["a.png"]


def test_a_number_of_colours_in_words_is_refused(folder):
    answer = measured.plan("a.png", folder, "--pixelate", "--columns=8", "--colours=twelve")
    answer.check_limits()
    assert answer.status == 2 and "twelve" in answer.err and "colours" in answer.err
    with pytest.raises(sw.GridError, match="COLOURS-RANGE"):
        sw.pixelate(folder / "a.png", columns=8, colours="twelve")
    assert measured.tree(folder) == ["a.png"]


def test_more_colours_than_there_are_is_a_note(folder):
    answer = measured.plan("a.png", folder, "--pixelate", "--columns=12", "--colours=40")
    answer.check_limits()
    assert answer.status == 0
    assert re.search(r"note: .*\d of 40 colours are used", answer.err), answer.err
    grid = sw.pixelate(folder / "a.png", columns=12, colours=40)
    assert any("of 40 colours are used" in warning for warning in grid.warnings)


def test_a_light_cut_of_almost_nothing_is_refused():
    plan = sw.plan(sw.Grid([[0]], ["#fff"]), panel=sw.Panel("12 in", "12 in"), pitch="1 in")
    with pytest.raises(sw.ArgumentError, match="light cut must be a 1000th of the thickness or more"):
        sw.plan_cuts(plan.grid, plan.fit, light_cut="0.001 mm", thickness="1/4 in")
