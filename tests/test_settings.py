"""Settings: one value, from code, a file, the environment and options, and where each comes from."""

import dataclasses
import inspect
import json
import pickle
import subprocess
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest

import squarewright as sw
from squarewright.command import main
from squarewright.settings import kinds
from squarewright.settings.sources import DEPTH, SETTINGS_BYTES
from squarewright.settings.value import KINDS

POND = Path(__file__).parent.parent / "examples" / "pond"
HERON = str(POND / "heron.png")
PANEL = "12in x 12in"
BASIC = sw.Stock.basic()


@pytest.fixture(autouse=True)
def at_the_bench(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def written(text):
    Path("mine.toml").write_text(text, encoding="utf-8")
    return "mine.toml"


def test_all_that_plan_pixelate_and_printing_take_are_settings():
    known = {field.name for field in dataclasses.fields(sw.Settings)}
    for function in (sw.plan, sw.pixelate, sw.Plan.to_pdf, sw.Panel, sw.read_stock):
        keys = set(inspect.signature(function).parameters)
        # What is one picture's alone, and what is no setting.
        keys -= {"self", "picture_or_grid", "picture", "name", "progress", "path"}
        assert keys <= known, (function, keys - known)


def test_the_defaults_are_those_of_the_functions():
    heron = sw.plan(HERON, panel=sw.Panel("12 in", "12 in"), name="figure")
    assert sw.Settings(panel=PANEL).plan(HERON, name="figure").to_json() == heron.to_json()
    assert (
        sw.Settings(panel=PANEL).plan(HERON, name="figure").to_pdf(**sw.Settings().printing) == heron.to_pdf()
    )
    photo = POND / "kingfisher-over-water.jpg"
    wanted = sw.pixelate(photo, columns=30)
    assert sw.Settings(panel=PANEL, pixelate=True, columns=30).plan(photo).grid == wanted


def test_settings_reach_the_plan():
    colour = "#{:02x}{:02x}{:02x}".format(*sw.recover(HERON, background="keep").grid.palette[1])
    settings = sw.Settings(
        panel=("20 in", sw.inches(20)),
        thickness=sw.mm(6.35),
        margin="1 in",
        hand="left",
        stock=BASIC,
        pinned={colour: {"white": 1}},
        painting={"outline": "last", "wait": [10, 20], "coats": 3},
        mounting={"margin": sw.inches("3/8"), "corners": "round"},
        rates={"mark": (1, 2)},
        raw="#ffffff",
        background="keep",
    )
    wanted = sw.plan(
        HERON,
        panel=sw.Panel("20 in", "20 in", thickness="1/4 in"),
        margin="1 in",
        hand="left",
        stock=BASIC,
        pinned=[sw.pin(colour, {"white": 1}, BASIC)],
        painting=sw.Painting(outline="last", wait=(10, 20), coats=3),
        mounting=sw.Mounting(margin="3/8 in", corners="round"),
        rates={"mark": (1, 2)},
        raw="#ffffff",
        background="keep",
        name="heron",
    )
    assert settings.plan(HERON, name="heron").to_json() == wanted.to_json()


def test_settings_never_change_and_can_be_sent():
    settings = sw.Settings(
        panel=PANEL, stock=BASIC, palette=np.array([[0, 0, 0], [255, 9, 9]]), rates={"mark": [1, 2]}
    )
    assert settings.palette == ((0, 0, 0), (255, 9, 9)) and settings.rates["mark"] == (1, 2)
    with pytest.raises(dataclasses.FrozenInstanceError):
        settings.columns = 3
    with pytest.raises(TypeError):
        settings.rates["mark"] = (3, 4)
    again = pickle.loads(pickle.dumps(settings))
    assert again == settings and again.digest == settings.digest
    assert hash(sw.Settings(panel=PANEL)) == hash(sw.Settings(panel=PANEL))


def test_a_panel_brings_its_thickness():
    panel = sw.Panel("12 in", "300 mm", thickness="1/4 in", diagonal="17 in")
    assert sw.Settings(panel=panel).board == panel
    assert sw.Settings(panel=panel, thickness="1/2 in").board.thickness == sw.inches("1/2")
    with pytest.raises(sw.ArgumentError, match="VALUE-BAD: panel is not set"):
        sw.Settings().plan(HERON)


@pytest.mark.parametrize("key", [field.name for field in dataclasses.fields(sw.Settings) if field.metadata])
def test_a_wrong_type_in_code_is_refused_by_name(key):
    with pytest.raises(sw.ArgumentError, match=f"VALUE-BAD: {key} must be "):
        sw.Settings(**{key: object()})


def test_the_digest_changes_with_whatever_changes_a_plan():
    base = sw.Settings(panel=PANEL)
    others = [
        dataclasses.replace(base, **change)
        for change in (
            {"margin": "1 in"},
            {"painting": {"coats": 3}},
            {"stock": BASIC},
            {"stock": sw.Stock([sw.Paint("white", "#fff")])},
            {"pages": "cover"},
            {"files": ("plan.json",)},
            {"large_print": True},
        )
    ]
    assert len({base.digest, *(other.digest for other in others)}) == 1 + len(others)
    assert dataclasses.replace(base, columns=None).digest == base.digest
    assert dataclasses.replace(base, files=base.files[::-1]).digest == base.digest


def test_numbers_out_of_an_array_are_numbers():
    assert sw.Settings(columns=np.int64(9), calm=np.float64(0.5), pixelate=np.True_) == sw.Settings(
        columns=9, calm=0.5, pixelate=True
    )


def test_each_value_comes_from_the_nearest_place_and_says_so():
    path = written(
        'columns = 30\ncolours = 8\nrows = 20\nhand = "left"\n[painting]\ncoats = 3\noutline = "last"\n'
    )
    environment = {
        "SQUAREWRIGHT_COLOURS": "9",
        "SQUAREWRIGHT_ROWS": "21",
        "SQUAREWRIGHT_PAINTING": '{spread = 7, outline = "first"}',
        "OTHER": "x",
    }
    found = sw.read_settings(path, environment=environment, flags={"rows": 22, "painting.spread": 6})
    assert (found.columns, found.colours, found.rows, found.hand) == (30, 9, 22, "left")
    assert dict(found.painting) == {"coats": 3, "outline": "first", "spread": 6}
    wanted = {
        "columns": "file mine.toml",
        "colours": "environment SQUAREWRIGHT_COLOURS",
        "rows": "flag --rows",
        "painting.coats": "file mine.toml",
        "painting.outline": "environment SQUAREWRIGHT_PAINTING",
        "painting.spread": "flag --spread",
        "margin": "default",
    }
    assert {key: found.origins[key] for key in wanted} == wanted
    changed = dataclasses.replace(found, columns=31, rows=22)
    assert (changed.origins["columns"], changed.origins["rows"]) == ("code", "flag --rows")


def test_the_environment_is_read_when_it_is_given_alone(monkeypatch):
    monkeypatch.setenv("SQUAREWRIGHT_COLUMNS", "9")
    assert sw.read_settings(written("")).columns is None


@pytest.mark.parametrize(
    ("variable", "text", "value"),
    [
        ("PANEL", "12in x 1 ft", ("12in", "1 ft")),
        ("PIXELATE", "true", True),
        ("CALM", "1.5", 1.5),
        ("PALETTE", '["#000", "#fff"]', ("#000", "#fff")),
        ("FILES", "book.pdf,plan.json", ("book.pdf", "plan.json")),
        ("FILES", '["book.pdf"]', ("book.pdf",)),
        ("PITCHES", "any", "any"),
        ("PITCHES", '["1/4 in"]', ("1/4 in",)),
        ("BRUSHWORK", "every-cell", "every cell"),
        ("BARS", '["150 mm", "149 mm", "150 mm"]', ("150 mm", "149 mm", "150 mm")),
        ("RAW", "#336699", "#336699"),
    ],
)
def test_the_environment_is_written_as_on_the_command_line_or_in_a_file(variable, text, value):
    found = sw.read_settings(environment={f"SQUAREWRIGHT_{variable}": text})
    assert getattr(found, variable.lower()) == value


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("colums = 3", "CONFIG-KEY", "colums is no setting. Did you mean columns?"),
        ("zzz = 3", "CONFIG-KEY", "zzz is no setting. Known are panel, "),
        ("[painting]\ncots = 3", "CONFIG-KEY", "painting: cots is no setting. Did you mean coats?"),
        ("[painting]\noutline_cells = 3", "CONFIG-KEY", "outline_cells is no setting"),
        ('columns = "3"', "CONFIG-TYPE", "columns must be a whole number, got '3'"),
        ("columns = 3.5", "CONFIG-TYPE", "columns must be a whole number, got 3.5"),
        ("columns = true", "CONFIG-TYPE", "columns must be a whole number, got True"),
        ("pixelate = 1", "CONFIG-TYPE", "pixelate must be true or false, got 1"),
        ("pitch = 8", "CONFIG-TYPE", "pitch must be a length with its unit"),
        ("panel = [12, 12]", "CONFIG-TYPE", "panel must be both sides"),
        ("rates = 3", "CONFIG-TYPE", "rates must be a table of "),
        ('[painting]\ncoats = "3"', "CONFIG-TYPE", "painting.coats is of another type, got '3'"),
        ('[mounting]\ncard = ["1 in"]', "CONFIG-TYPE", "mounting.card is of another type"),
        ('panel = "12in"', "CONFIG-VALUE", "panel cannot be '12in'"),
        ("colours = 1", "CONFIG-VALUE", "colours must be a whole number from 2 to 64, got 1"),
        ("columns = 900", "CONFIG-VALUE", "columns must be 1 to 512, got 900"),
        ('pitch = "8"', "CONFIG-VALUE", 'pitch cannot be "8"'),
        ('thickness = "0 in"', "CONFIG-VALUE", "thickness cannot be 0 in"),
        ('hand = "up"', "CONFIG-VALUE", 'hand must be "right" or "left"'),
        ('raw = "red"', "CONFIG-VALUE", '"red" is not a colour'),
        ('language = "xx"', "CONFIG-VALUE", "language must be"),
        ('pages = "xx"', "CONFIG-VALUE", "pages must be some of"),
        ("files = []", "CONFIG-VALUE", "files must be some of book.pdf"),
        ('files = ["x.pdf"]', "CONFIG-VALUE", "got x.pdf"),
        ("[rates]\nfoo = [1, 2]", "CONFIG-VALUE", "rates must be one of gather"),
        ("[painting]\ncoats = 99", "CONFIG-VALUE", "painting.coats: coats must be"),
        ("schema = 2", "PROJECT-NEWER", "has schema 2, and this version knows 1"),
        ('schema = "1"', "CONFIG-TYPE", "has a schema that is no number"),
        ("rows = 3\ncolumns = ?", "CONFIG-SYNTAX", "is not TOML: Invalid value (at line 2, column 11)"),
        ("columns = 1\ncolumns = 2", "CONFIG-SYNTAX", "is not TOML: Cannot overwrite a value"),
        (f"x = {'[' * (DEPTH + 2)}{']' * (DEPTH + 2)}", "CONFIG-SYNTAX", f"more than {DEPTH} tables"),
        (f"x = {'[' * 9999}{']' * 9999}", "CONFIG-SYNTAX", f"more than {DEPTH} tables"),
        ("# " + "x" * SETTINGS_BYTES, "CONFIG-TOO-BIG", "the limit is 1 MiB"),
    ],
)
def test_a_bad_file_is_refused_by_code_and_place(text, code, words, capsys):
    with pytest.raises((sw.SettingsError, sw.ProjectError)) as caught:
        sw.read_settings(written(text))
    assert caught.value.code == code and caught.value.name == "mine.toml"
    assert words in str(caught.value)
    assert main(["plan", HERON, "--panel", PANEL, "--settings", "mine.toml"]) == 3
    told = capsys.readouterr()
    assert told.out == "" and told.err.count("\n") == 1 and code in told.err


def test_a_file_in_another_encoding_is_refused():
    Path("mine.toml").write_bytes(b'hand = "r\xe9ght"')
    with pytest.raises(sw.SettingsError, match=r"CONFIG-SYNTAX: mine\.toml is not UTF-8 at byte 10"):
        sw.read_settings("mine.toml")
    Path("mine.toml").write_bytes("\ufeffcolumns = 3\r\n".encode())
    assert sw.read_settings("mine.toml").columns == 3


def test_a_bad_environment_is_refused_by_its_variable(monkeypatch, capsys):
    monkeypatch.setenv("SQUAREWRIGHT_COLUMNS", "many")
    assert main(["plan", HERON, "--panel", PANEL]) == 3
    assert "CONFIG-TYPE: SQUAREWRIGHT_COLUMNS must be a whole number" in capsys.readouterr().err
    monkeypatch.delenv("SQUAREWRIGHT_COLUMNS")
    monkeypatch.setenv("SQUAREWRIGHT_COLOUMNS", "3")
    assert main(["plan", HERON, "--panel", PANEL]) == 3
    assert "Did you mean SQUAREWRIGHT_COLUMNS?" in capsys.readouterr().err


def test_paints_are_looked_for_beside_the_file_that_names_them():
    Path("deep").mkdir()
    Path("deep/paints.csv").write_text("name,colour\nwhite,#ffffff\n")
    Path("deep/mine.toml").write_text('stock = "paints.csv"\n')
    assert len(sw.read_settings("deep/mine.toml").read_stock()) == 1


def test_the_command_plans_with_a_file_and_options_go_before_it(capsys):
    path = written(
        'panel = "12in x 12in"\nmargin = "1 in"\nfiles = ["plan.json", "preview.png"]\nbacking = false\n'
    )
    assert main(["plan", HERON, "--settings", path, "--backing", "--out", "out"]) == 0
    assert sorted(each.name for each in Path("out").iterdir()) == ["plan.json", "preview.png"]
    assert "Written is out/preview.png, with 1 more file beside it." in capsys.readouterr().out
    plan = sw.Plan.from_json(Path("out/plan.json").read_text())
    wanted = sw.plan(HERON, panel=sw.Panel("12 in", "12 in"), margin="1 in", name="heron")
    assert plan.to_json() == wanted.to_json()


def test_settings_are_shown_as_a_file_that_gives_them_again(monkeypatch, capsys):
    path = written('[painting]\nwait = [10, 20]\n[rates]\nmark = [1, 2]\n[pinned."#fff"]\nwhite = 1\n')
    monkeypatch.setenv("SQUAREWRIGHT_HAND", "left")
    arguments = ["plan", HERON, "--settings", path, "--outline", "last", "--panel", PANEL, "--show-settings"]
    assert main(arguments) == 0
    shown = capsys.readouterr().out
    assert 'hand = "left"  # environment SQUAREWRIGHT_HAND' in shown
    assert 'painting.outline = "last"  # flag --outline' in shown
    assert 'margin = "0 in"  # default' in shown and "# columns is not set" in shown
    assert "wait = [10, 20]  # file mine.toml" in shown
    tomllib.loads(shown)
    again = sw.read_settings(written(shown))
    assert main([*arguments, "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["origins"]["rates.mark"] == "file mine.toml"
    assert (
        dict(again.painting)
        == {"outline": "last", "wait": (10, 20)}
        == {
            key: tuple(value) if isinstance(value, list) else value
            for key, value in report["settings"]["painting"].items()
        }
    )
    assert dict(again.pinned["#fff"]) == {"white": 1} and again.hand == "left"
    assert list(Path.cwd().iterdir()) == [Path("mine.toml").absolute()]


@pytest.mark.parametrize("key", [key for key, kind in KINDS.items() if kind in {kinds.WORD, kinds.TEXT}])
def test_a_word_that_is_none_is_refused_before_a_picture_is_opened(key):
    with pytest.raises(sw.SettingsError, match="CONFIG-VALUE") as caught:
        sw.read_settings(written(f'{key} = "nonsense"'))
    assert f"{key} must be" in str(caught.value)


@pytest.mark.parametrize(
    "verb", [[], ["plan"], ["compare"], ["bulk"], ["paints"], ["paints", "mix"], ["demo"]]
)
def test_help_shows_an_example(verb, capsys):
    with pytest.raises(SystemExit) as caught:
        main([*verb, "--help"])
    told = capsys.readouterr().out
    assert caught.value.code == 0 and f"example:\n  squarewright {' '.join(verb)}".rstrip() in told
    usage = told.partition("\n\n")[0]
    assert usage.startswith("usage: squarewright") and usage.count("\n") <= 3


def test_what_is_heavy_is_not_loaded_at_the_start():
    """NumPy, futures, dataclasses and readers of formats come when something needs them."""
    code = "import sys; import squarewright.command; print(*sys.modules)"
    loaded = set(
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, check=True, text=True
        ).stdout.split()
    )
    heavy = {
        "numpy",
        "PIL",
        "dataclasses",
        "inspect",
        "concurrent.futures",
        "tomllib",
        "hashlib",
        "rich",
        "difflib",
    }
    assert not heavy & loaded
    assert "squarewright.settings" not in loaded and "squarewright.bulk" not in loaded
    assert {"Settings", "plan_many", "read_settings"} <= set(dir(sw)) and sw.plan_many.__module__.endswith(
        "bulk.run"
    )
    with pytest.raises(AttributeError, match="no attribute 'plan_some'"):
        sw.plan_some  # noqa: B018
