"""Wall and progress files that nobody meant to write: a wall, or an error with its code and its line."""

import json
import re
import warnings

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from test_wall import POND

import squarewright as sw

DEMO = (POND.parent / "pond-wall.toml").read_text()
SMALL = """schema = 1
panel = "12in x 12in"
stock = "paints.csv"
[wall]
name = "small"
width = "4 ft"
height = "30 in"
gap = "2 in"
knife_gap = "1/4 in"
distance = "8 ft"
merge = 2
one_pitch = false
hours = 2
done = "done.json"
[pack]
panels = 4
price = 9.99
currency = "EUR"
owned = 1
offcuts = ["5in x 4in"]
[left]
white = 20
"#4d7a3c" = 4.5
[[taken]]
name = "door"
x = "30 in"
y = "0 in"
width = "10 in"
height = "30 in"
[[figure]]
picture = "pond/beetle.png"
pitch = "1/8 in"
copies = 2
[[figure]]
picture = "pond/snail.png"
columns = 12
x = "1 in"
y = "2 in"
[figure.painting]
coats = 2
"""
VALUES = [
    *('""', '"x"', '"1 in"', '"-3 in"', '"1e400 in"', '"0 mm"', '"anywhere"', '"#4d7a3c"', '"pond"', '"."'),
    *("0", "1", "-1", "2", "3.5", "1e308", "-0.0", "inf", "nan", "9999999999999999999999999", "0x7f"),
    *("true", "false", "[]", "[[]]", "{}", "{a = 1}", "[1, 2]", '["1 in", "2 in"]', '[{x = "1 in"}]'),
    *("1979-05-27", "07:32:00", "1979-05-27T07:32:00Z", "'''\n'''", '"\\u0000"', '"12in x 12in"', "}", "="),
]
HEADS = [f"[{name}]" for name in ("wall", "pack", "left", "taken", "figure", "figure.painting", "a.b")]
HEADS += ["[[figure]]", "[[taken]]", "[[wall]]", "[[left]]", "[", "]]", "[[figure.painting]]"]


def keys(text):
    known = set(re.findall(r'^("[^"]*"|[\w.]+) = ', text, re.MULTILINE))
    return [*sorted(known), "colurs", "'a b'", "a.b.c"]


@st.composite
def spoilt(draw, text):
    """Replace, delete, double and move lines, keys and values."""
    lines = text.splitlines()
    for _ in range(draw(st.integers(1, 6))):
        place = draw(st.integers(0, len(lines) - 1))
        line = lines[place]
        what = draw(st.sampled_from(["value", "value", "key", "delete", "double", "move", "head", "cut"]))
        key, _, value = line.partition(" = ")
        if what == "value":
            lines[place] = f"{key} = {draw(st.sampled_from(VALUES))}"
        elif what == "key":
            lines[place] = f"{draw(st.sampled_from(keys(text)))} = {value}"
        elif what == "delete":
            del lines[place]
        elif what == "double":
            lines.insert(draw(st.integers(0, len(lines))), line)
        elif what == "move":
            lines.insert(draw(st.integers(0, len(lines) - 1)), lines.pop(place))
        elif what == "head":
            lines.insert(place, draw(st.sampled_from(HEADS)))
        else:
            lines[place] = line[: draw(st.integers(0, len(line)))]
        assume(lines)
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("walls")
    for place in (POND.parent / "paints.csv", *POND.glob("*.png")):
        target = folder / place.relative_to(POND.parent)
        target.parent.mkdir(exist_ok=True)
        target.write_bytes(place.read_bytes())
    sw.Progress().with_done("beetle", "mark").write(folder / "done.json")
    return folder


NO_LINE = (
    "has no figures",
    "two figures are called",
    "is not UTF-8",
    "in each other",
    "(at end of document)",
)
"""What is wrong with a file as a whole."""


def read(folder, content):
    place = folder / "wall.toml"
    place.write_bytes(content)
    try:
        found = sw.read_wall(place)
    except sw.SquarewrightError as error:
        assert isinstance(error, sw.SettingsError), repr(error)
        assert re.fullmatch(r"[A-Z]+(-[A-Z]+)+", error.code) and error.what and error.hint
        assert error.name == "wall.toml"
        whole = any(words in error.what for words in NO_LINE)
        assert whole or re.search(r"\bline \d+\b", error.what), error
        return None
    assert isinstance(found, sw.Wall)
    assert hash(found) == hash(found) and repr(found).startswith("Wall(")
    return found


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(text=spoilt(DEMO))
def test_a_spoilt_file_is_a_wall_or_an_error_with_its_line(folder, text):
    read(folder, text.encode())


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(text=spoilt(SMALL))
def test_a_spoilt_file_is_planned_or_refused_with_a_code(folder, text):
    found = read(folder, text.encode())
    # Large panels and copies take their time, and nothing is spoilt about them.
    if found is None or sum(each.copies for each in found.figures) > 12:
        return
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", sw.PictureWarning)
        try:
            planned = found.plan(threads=1)
        except sw.SquarewrightError as error:
            assert error.code and error.what and error.hint, repr(error)
            return
    assert sw.WallPlan.from_json(planned.to_json()) == planned
    assert planned.to_pdf().startswith(b"%PDF")


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_random_bytes_are_refused_or_read(folder, data):
    text = DEMO.encode()
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        text = text[:at] + data.draw(st.binary(max_size=8)) + text[at + data.draw(st.integers(0, 8)) :]
    read(folder, text)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8)
    | st.sampled_from(["mark", "paint", "inside 1 #ffffff", "undercoat 1", "frog"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_a_spoilt_progress_file_is_read_or_refused(folder, data):
    place = folder / "progress.json"
    if data.draw(st.booleans()):
        version = data.draw(st.sampled_from([1, 1, 1, 2, 0, -1, True, None, "1", 1.0, 10**30]))
        written = {"schema_version": version, "done": data.draw(JSON)}
        content = json.dumps(written).encode()
    else:
        content = sw.Progress().with_done("frog", "mark").to_json().encode()
        at = data.draw(st.integers(0, len(content)))
        content = (
            content[:at] + data.draw(st.binary(max_size=8)) + content[at + data.draw(st.integers(0, 8)) :]
        )
    place.write_bytes(content)
    try:
        progress = sw.read_progress(place)
    except sw.SquarewrightError as error:
        assert error.code and error.what and error.hint and error.name == "progress.json", repr(error)
        return
    assert sw.Progress(progress.done) == progress
    try:
        rest = small(folder).after(progress)
    except sw.ArgumentError as error:
        assert error.code == "VALUE-BAD" and "progress must be steps" in error.what
        return
    assert rest.progress == progress


KNOWN = {}


def small(folder):
    """Plan a wall of one figure once."""
    if not KNOWN:
        figure = sw.WallFigure(folder / "pond" / "beetle.png", name="frog", settings={"pitch": "1/8 in"})
        KNOWN["wall"] = sw.Wall(figures=[figure], settings=sw.Settings(panel="12in x 12in")).plan()
    return KNOWN["wall"]
