"""From plug-ins to the package without any editor: engines, what they tell, forms, installation."""

import ast
import importlib.util
import json
import os
import random
import re
import shutil
import stat
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import polib
import pytest

import squarewright as sw
from squarewright import _core
from squarewright.command import main
from squarewright.contents import PLAN_FILES
from squarewright.editors import bridge, doctor, enable, form, hosts, install, job, work
from squarewright.settings import Settings
from squarewright.settings.sources import PREFIX

ROOT = Path(__file__).parent.parent
HERON = ROOT / "examples" / "pond" / "heron-x12.png"
EDITORS = ROOT / "python" / "squarewright" / "editors"
PLAN = {"panel": "12in x 12in", "door": "recover"}


@pytest.fixture(scope="module")
def plug_in(tmp_path_factory):
    """Give a plug-in as it is installed."""
    return install.install("krita", tmp_path_factory.mktemp("pykrita"))


@pytest.fixture
def told(plug_in):
    return bridge.Bridge(plug_in, "en")


def heron():
    picture = sw.Picture.decode(HERON.read_bytes())
    return picture.to_bytes(), (picture.width, picture.height, str(HERON))


def child(script, plug_in, engine):
    """Run a script in a Python that has the plug-in alone: no numpy, no package of ours."""
    begin = "import sys; sys.modules['numpy'] = None; sys.path.insert(0, sys.argv[1])\n"
    environment = {**bridge.clean_environment(os.environ), bridge.FORCED: engine, "LANG": "C.UTF-8"}
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", begin + script, str(plug_in)],
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


SCRIPT = """
import hashlib, json, pathlib, bridge
told = bridge.Bridge(sys.argv[1])
pixels = pathlib.Path({pixels!r}).read_bytes()
chosen = {{**told.defaults("plan"), "folder": {folder!r}}}
task = told.start(told.request("plan", chosen, ({width}, {height}, {source!r})), pixels)
made = task.wait()
print(json.dumps([made.facts, [hashlib.sha256(layer).hexdigest() for layer in made.layers.values()],
    type(task).__name__, "squarewright" in sys.modules, told.sentence("plan", made.facts)]))
"""


@pytest.mark.parametrize(("engine", "kind"), [("a", "InProcess"), ("b", "InChild")])
def test_both_engines_make_what_the_package_makes_without_numpy(plug_in, tmp_path, engine, kind):
    import hashlib

    pixels, (width, height, source) = heron()
    (tmp_path / "pixels").write_bytes(pixels)
    script = SCRIPT.format(
        pixels=str(tmp_path / "pixels"), folder=str(tmp_path), width=width, height=height, source=source
    )
    facts, hashes, name, loaded, said = child(script, plug_in, engine)
    request = {"action": "plan", "settings": PLAN, "width": width, "height": height, "name": "heron-x12"}
    made = work.do(request, pixels, lambda _: None)
    assert hashes == [hashlib.sha256(layer).hexdigest() for layer in made.layers.values()]
    assert (name, loaded) == (kind, engine == "a")
    assert facts | {"files": []} == json.loads(json.dumps(made.facts))
    place = tmp_path / "heron-x12-plan"
    assert [Path(path).parent for path in facts["files"]] == [place] * 10
    book = sw.plan(HERON, panel=sw.Panel("12 in", "12 in"), name="heron-x12").to_pdf()
    assert (place / "book.pdf").read_bytes() == book
    assert said.startswith("Found 40 × 60 cells, 11 colours, a cell is 3/16 in on one panel, 6 weak spots")


def test_layers_lie_on_the_cells_that_were_found():
    pixels, (width, height, _) = heron()
    made = work.do(
        {"action": "plan", "settings": PLAN, "width": width, "height": height}, pixels, lambda _: None
    )
    assert list(made.layers) == ["cells", *work.LINES]
    plain = bytearray(pixels)
    for at in range(0, len(plain), 4):
        if plain[at + 3] == 0:
            plain[at : at + 4] = bytes(4)
    assert made.layers["cells"] == bytes(plain), "an exact copy of pixel art is its own layer of cells"
    for name in work.LINES:
        assert len(made.layers[name]) == width * height * 4 and any(made.layers[name]), name


def test_the_engine_is_a_then_b_then_a_sentence(plug_in, monkeypatch, told):
    asked = {"action": "pixelate", "settings": {"columns": 4, "colours": 2}, "width": 4, "height": 4}
    pixels = bytes((200, 40, 40, 255)) * 16
    monkeypatch.delenv(bridge.FORCED, raising=False)
    assert isinstance(told.start(asked, pixels), bridge.InProcess)

    def broken():
        raise bridge.Trouble("ENGINE-A", "ImportError: no such thing")

    monkeypatch.setattr(told, "_work", broken)
    task = told.start(asked, pixels)
    assert isinstance(task, bridge.InChild) and task.wait().layers["cells"] == pixels
    told.setup = {**told.setup, "python": "/nowhere/python"}
    with pytest.raises(bridge.Trouble) as trouble:
        told.start(asked, pixels)
    assert trouble.value.code == "NO-ENGINE"
    said = told.explain(trouble.value)
    assert "no such thing" in said and "/nowhere/python" in said
    assert "squarewright editors install krita" in said


@pytest.mark.parametrize("engine", ["a", "b"])
def test_another_version_is_told_with_a_way_out(plug_in, monkeypatch, told, engine):
    monkeypatch.setenv(bridge.FORCED, engine)
    told.setup = {**told.setup, "version": "0.0.1"}
    asked = {"action": "palette", "settings": {}}
    with pytest.raises(bridge.Trouble) as trouble:
        told.start(asked).wait()
    assert trouble.value.code == "VERSION"
    assert "squarewright editors install krita" in told.explain(trouble.value)


@pytest.mark.parametrize("engine", ["a", "b"])
def test_errors_of_the_package_come_through(plug_in, monkeypatch, told, tmp_path, engine):
    monkeypatch.setenv(bridge.FORCED, engine)
    pixels, picture = heron()
    for settings, code, words in (
        ({"panel": "12 x 12"}, "SIZE-BAD", "the panel as 12in x 12in or 300mm x 300mm"),
        ({"stock": str(tmp_path / "none.csv")}, "PATH-MISSING", "none.csv. Check the path."),
    ):
        chosen = {**told.defaults("plan"), **settings}
        with pytest.raises(bridge.Trouble) as trouble:
            told.start(told.request("plan", chosen, picture), pixels).wait()
        assert trouble.value.code == code and words in told.explain(trouble.value)
    (tmp_path / "heron-x12-plan").mkdir()
    (tmp_path / "heron-x12-plan" / "book.pdf").write_text("mine")
    with pytest.raises(bridge.Trouble) as trouble:
        told.start(told.request("plan", {"folder": str(tmp_path)}, picture), pixels).wait()
    assert trouble.value.code == "OUT-EXISTS"
    assert told.explain(trouble.value).endswith("tick Replace an earlier book.")
    assert (tmp_path / "heron-x12-plan" / "book.pdf").read_text() == "mine"


@pytest.mark.parametrize("engine", ["a", "b"])
def test_what_is_called_off_ends_and_leaves_nothing(plug_in, monkeypatch, told, tmp_path, engine):
    monkeypatch.setenv(bridge.FORCED, engine)
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr(bridge.tempfile, "tempdir", None)
    noise = os.urandom(1200 * 900 * 4)
    chosen = {**told.defaults("plan"), "door": "pixelate", "columns": 300, "folder": str(tmp_path / "out")}
    task = told.start(told.request("plan", chosen, (1200, 900, "")), noise)
    time.sleep(0.3)
    task.cancel()
    assert task.poll() and task.made is None
    with pytest.raises(bridge.Trouble, match="stopped"):
        task.wait(1)
    if engine == "b":
        assert task._child.wait(20) != 0
        end = time.monotonic() + 10
        while any(tmp_path.glob("squarewright-*")) and time.monotonic() < end:
            time.sleep(0.05)
    assert not any(tmp_path.glob("squarewright-*")) and not (tmp_path / "out").exists()


def test_a_child_leaves_when_its_editor_is_gone(tmp_path):
    (tmp_path / "pixels.rgba").write_bytes(os.urandom(2000 * 2000 * 4))
    asked = {"action": "pixelate", "settings": {"columns": 500, "colours": 64}, "width": 2000, "height": 2000}
    (tmp_path / "request.json").write_text(json.dumps(asked))
    command = [sys.executable, "-P", "-u", "-m", "squarewright", "job", str(tmp_path / "request.json")]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert json.loads(process.stdout.readline()) == {"protocol": work.PROTOCOL, "version": _core.VERSION}
    process.stdin.close()
    assert process.wait(20) == job.STOPPED
    process.stdout.close()
    assert not tmp_path.exists(), "and takes its request along"


def test_a_book_is_written_whole_or_not_at_all_when_its_child_is_told_to_stop(tmp_path):
    pixels, (width, height, _) = heron()
    folder, out = tmp_path / "request", tmp_path / "out"
    for share in (None, 0.0, 0.5, 0.7, 0.8, work.WRITING):
        for place in (folder, out):
            shutil.rmtree(place, ignore_errors=True)
        folder.mkdir()
        (folder / "pixels.rgba").write_bytes(pixels)
        asked = {"action": "plan", "settings": PLAN, "width": width, "height": height, "out": str(out)}
        (folder / "request.json").write_text(json.dumps(asked))
        command = [sys.executable, "-P", "-u", "-m", "squarewright", "job", str(folder / "request.json")]
        process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        if share is not None:
            next(line for line in process.stdout if json.loads(line).get("progress", -1) >= share)
        process.stdin.close()
        rest = process.stdout.read()
        process.stdout.close()
        status = process.wait(30)
        if status == job.STOPPED:
            assert share != work.WRITING and not out.exists() and not folder.exists(), share
        else:
            # The child was quicker than the word to stop.
            assert share is not None and status == 0 and b"result" in rest, share
            assert {path.name for path in out.iterdir()} == set(PLAN_FILES), share


def test_the_child_tells_lines_and_says_what_is_wrong(tmp_path):
    (tmp_path / "request.json").write_text("{")
    command = [sys.executable, "-P", "-u", "-m", "squarewright", "job", str(tmp_path / "request.json")]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    lines = [json.loads(line) for line in process.stdout]
    process.stdin.close()
    process.stdout.close()
    assert process.wait(20) == 1
    assert [*lines[0]] == ["protocol", "version"] and lines[-1]["error"] == "INTERNAL"


def test_a_python_without_the_package_is_told(plug_in, monkeypatch, told, tmp_path):
    monkeypatch.setenv(bridge.FORCED, "b")
    python = tmp_path / "python"
    python.write_text("#!/bin/sh\necho 'No module named squarewright' >&2\nexit 1\n")
    python.chmod(0o755)
    told.setup = {**told.setup, "python": str(python)}
    with pytest.raises(bridge.Trouble) as trouble:
        told.start({"action": "palette", "settings": {}}).wait()
    assert trouble.value.code == "CHILD"
    assert "No module named squarewright" in told.explain(trouble.value)


def test_the_environment_of_an_editor_does_not_reach_the_child():
    foreign = {"PYTHONPATH": "/x", "PYTHONHOME": "/x", "LD_LIBRARY_PATH": "/x", "QT_PLUGIN_PATH": "/x"}
    foreign |= {"GI_TYPELIB_PATH": "/x", "DYLD_LIBRARY_PATH": "/x", bridge.FORCED: "a"}
    kept = {"PATH": "/usr/bin", "HOME": "/home/maker", "LANG": "de_DE.UTF-8"}
    assert bridge.clean_environment(foreign | kept) == kept


def test_settings_are_those_of_the_package():
    known = {name for name in Settings.__dataclass_fields__ if not name.startswith("_")}
    own = {"door", "folder", "overwrite"}
    assert {field.key for field in form.FIELDS} - own <= known
    chosen = form.settings(
        "plan", {"door": "pixelate", "columns": 33, "brushwork": "every-cell", "pitch": " "}
    )
    assert (chosen.pixelate, chosen.columns, chosen.brushwork, chosen.pitch) == (True, 33, "every cell", None)
    recovered = form.settings("plan", {})
    assert (recovered.pixelate, recovered.columns) == (False, None)
    usual = Settings()
    assert (recovered.colours, recovered.paper, recovered.language) == (
        usual.colours,
        usual.paper,
        usual.language,
    )
    picture = sw.Picture.from_rgba(bytes((9, 9, 9, 255)) * 64, 8, 8)
    for field in form.FIELDS:
        for choice in field.choices:
            action = "plan" if "plan" in field.actions else "pixelate"
            made = form.settings(action, {"door": "pixelate", "columns": 4, field.key: choice})
            if made.pixelate:
                made.plan(picture).to_pdf(pages="cover", paper=made.paper, language=made.language)


# What the package refuses that a dialog can meet: a picture is no file there, and numbers have their domain.
STOCKS = "EMPTY COLUMN DUPLICATE COLOUR PRICE AMOUNT WORD TOO-BIG ENCODING SYNTAX CHANGED"
FAMILIES = {
    "PIC": ["BLANK", "SHAPE", "TOO-BIG", "TOO-SMALL"],
    "GRID": ["NONE", "UNSURE"],
    "SIZE": ["BAD", "FIT"],
    "VALUE": ["BAD"],
    "PATH": ["MISSING", "FOLDER", "NOT-FILE", "DENIED", "FAILED"],
    "STOCK": STOCKS.split(),
    "GPL": ["BAD"],
    "OUT": ["EXISTS", "FOLDER", "DENIED", "SPACE", "FAILED", "PARTIAL", "SAME"],
}
PLUG_INS = (
    "NO-PICTURE NO-LAYER TWO-LAYERS NO-PIXELS EMPTY-LAYER EMPTY-SELECTION NO-ENGINE VERSION CHILD INTERNAL"
)
MET = {f"{family}-{each}" for family, all_ in FAMILIES.items() for each in all_} | set(PLUG_INS.split())


def test_what_a_dialog_can_meet_has_words_and_nothing_else_is_met():
    sources = [ROOT / "rust/squarewright/src/fault", ROOT / "python/squarewright"]
    paths = [path for place in sources for path in place.rglob("*.[rp][sy]")]
    codes = set(
        re.findall(r'"([A-Z]{2,6}(?:-[A-Z]+)+)"', " ".join(path.read_text("utf-8") for path in paths))
    )
    assert codes >= MET - {"INTERNAL"} - {"CHILD", "VERSION"}, "there are such codes"
    left = {code for code in codes - MET if code.split("-")[0] in {"GRID", "PATH", "STOCK", "GPL", "OUT"}}
    # A grid of the caller's own, pictures by a pattern, a journal, a folder of many plans.
    assert left == {"GRID-BAD", "GRID-CELLS", "PATH-NONE", "OUT-JOURNAL", "OUT-CHANGED", "OUT-BUSY"}


def met(told, settings, pixels, width, height, action="plan"):
    """Give the code and the words of what comes of settings that cannot be done."""
    chosen = {**told.defaults(action), **settings}
    with pytest.raises(bridge.Trouble) as trouble:
        told.start(told.request(action, chosen, (width, height, "")), pixels).wait()
    return trouble.value.code, told.explain(trouble.value)


@pytest.mark.parametrize("engine", ["a", "b"])
def test_what_a_dialog_meets_is_said_in_german(plug_in, monkeypatch, tmp_path, engine):
    monkeypatch.setenv(bridge.FORCED, engine)
    told = bridge.Bridge(plug_in, "de")
    noise = random.Random(1).randbytes(90 * 60 * 3)
    photo = b"".join(noise[at : at + 3] + b"\xff" for at in range(0, len(noise), 3))
    flat = bytes((30, 30, 30, 255)) * 30 * 600
    (tmp_path / "paints.csv").write_text("name,colour\nred,#zz\n")
    (tmp_path / "file").write_text("")
    made = {"door": "pixelate", "columns": 9, "folder": str(tmp_path)}
    size = 90, 60
    assert met(told, {}, photo, *size) == ("GRID-NONE", said("GRID-NONE"))
    assert met(told, {}, flat[: 90 * 60 * 4], *size) == ("GRID-UNSURE", said("GRID-UNSURE"))
    assert met(told, made | {"columns": 400}, photo, *size) == ("PIC-TOO-SMALL", said("PIC-TOO-SMALL"))
    assert met(told, made | {"columns": 27}, flat, 30, 600) == ("VALUE-BAD", said("VALUE-BAD"))
    assert met(told, made, bytes(90 * 60 * 4), *size) == ("PIC-BLANK", said("PIC-BLANK"))
    assert met(told, made | {"panel": "0.1in x 0.1in"}, photo, *size) == ("SIZE-FIT", said("SIZE-FIT"))
    assert met(told, made | {"pitch": "3"}, photo, *size) == ("SIZE-BAD", said("SIZE-BAD"))
    stock = {"stock": str(tmp_path / "paints.csv")}
    code, words = met(told, made | stock, photo, *size)
    place = 'row 2, column colour: "#zz" is not a colour'
    assert (code, words) == ("STOCK-COLOUR", said("STOCK-COLOUR", name="paints.csv", what=place))
    assert "in paints.csv ist nicht zu verstehen" in words
    folder = {"folder": str(tmp_path / "file")}
    assert met(told, made | folder, photo, *size)[0] == "OUT-FOLDER"


def said(code, **fields):
    words = install.words()["de"][f"editor.trouble.{code}"][0]
    for name, value in fields.items():
        words = words.replace(f"{{{name}}}", value)
    return words


@pytest.mark.parametrize("engine", ["a", "b"])
def test_warnings_are_in_the_language_of_the_editor(plug_in, monkeypatch, engine):
    monkeypatch.setenv(bridge.FORCED, engine)
    for name, english, german in (
        ("newt.png", "2 corner joints: two cells meet", "2 Eckberührungen: Dort treffen sich"),
        (
            "frog-x16-on-white.png",
            "The #ffffff cells around the figure are taken",
            "Die Kästchen um die Figur in #ffffff",
        ),
    ):
        picture = sw.Picture.decode((HERON.parent / name).read_bytes())
        size = picture.width, picture.height
        warnings = sw.plan(picture, panel=sw.Panel("12 in", "12 in")).warnings
        for language, words in (("en", english), ("de", german)):
            told = bridge.Bridge(plug_in, language)
            request = told.request("plan", {"door": "recover"}, (*size, ""), preview=40)
            facts = told.start(request, picture.to_bytes()).wait().facts
            assert len(facts["warnings"]) == len(warnings) > 0
            assert words in told.sentence("plan", facts)


def test_a_setting_of_the_other_door_does_not_apply(told):
    fields = {field["key"]: field for field in told.fields("plan")}
    found = {
        door: {key for key in fields if told.applies(fields[key], {"door": door})}
        for door in ("recover", "pixelate")
    }
    assert found["pixelate"] == set(fields)
    assert found["pixelate"] - found["recover"] == {"columns", "colours", "brushwork"}
    assert all(told.applies(field, {"columns": 3}) for field in told.fields("pixelate"))


def test_every_word_is_there_in_every_language_and_none_is_left_over():
    words = install.words()
    keys = set(words["en"])
    assert set(words["de"]) == keys
    wanted = set()
    for field in form.FIELDS:
        wanted |= {field.key, f"{field.key}.help", *(f"{field.key}.{choice}" for choice in field.choices)}
    for action in form.ACTIONS:
        wanted |= {f"menu.{action}", f"about.{action}"}
    wanted |= {f"layer.{name}" for name in ("cells", *work.LINES)} | {
        f"done.{door}" for door in ("recover", "pixelate")
    }
    wanted |= {f"trouble.{code}" for code in MET}
    for path in EDITORS.rglob("*.py"):
        wanted |= set(re.findall(r"""say\(\s*["']([\w.-]+)["']""", path.read_text(encoding="utf-8")))
    assert keys == {f"editor.{key}" for key in wanted}
    catalogue = {entry.msgctxt for entry in polib.pofile(str(ROOT / "rust/squarewright/assets/words/de.po"))}
    assert keys <= catalogue


@pytest.mark.parametrize(
    ("environment", "language"),
    [
        ({"LANG": "de_AT.UTF-8"}, "de"),
        ({"LANG": "C.UTF-8", "LANGUAGE": "de"}, "en"),
        ({"LANG": "fr_FR.UTF-8", "LANGUAGE": "fr:de"}, "de"),
        ({"LC_ALL": "en_GB.UTF-8", "LANG": "de_DE.UTF-8"}, "en"),
        ({}, "en"),
    ],
)
def test_words_follow_the_language_of_the_editor(plug_in, monkeypatch, environment, language):
    for name in ("LC_ALL", "LC_MESSAGES", "LANG", "LANGUAGE"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    found = bridge.Bridge(plug_in)
    assert found.language == language and found.defaults("plan")["language"] == language
    facts = {"door": "recover", "columns": 2, "rows": 3, "colours": 1, "panels": 2, "pitch": "8 mm"}
    facts |= {"weak_spots": 0, "files": [], "warnings": ["look twice"]}
    sentences = {
        "en": "Found 2 × 3 cells, 1 colour, a cell is 8 mm on 2 panels, 0 weak spots. Look twice.",
        "de": "2 × 3 Kästchen gefunden, 1 Farbe, ein Kästchen misst 8 mm auf 2 Platten, 0 Schwachstellen."
        " Look twice.",
    }
    assert found.sentence("plan", facts) == sentences[language]


def test_plug_ins_use_the_standard_library_and_their_editor_alone_and_shadow_nothing():
    allowed = {"gi", "krita", "pykrita", "squarewright_gimp"}
    paths = [EDITORS / "bridge.py", *EDITORS.glob("gimp/**/*.py"), *EDITORS.glob("krita/**/*.py")]
    assert len(paths) > 9
    for path in paths:
        tree = ast.parse(path.read_text(encoding="utf-8"), feature_version=(3, 9))
        for node in ast.walk(tree):
            names = []
            if isinstance(node, ast.Import):
                names = [each.name for each in node.names]
            elif isinstance(node, ast.ImportFrom) and node.level == 0:
                names = [node.module]
            for name in names:
                first = name.split(".")[0]
                assert first in sys.stdlib_module_names | allowed, f"{path.name} imports {name}"
    tops = {path.stem for path in (EDITORS / "gimp" / "squarewright-gimp").iterdir()}
    tops |= {path.stem for path in (EDITORS / "krita").iterdir()}
    assert "squarewright" not in tops and not tops & set(sys.stdlib_module_names)


@pytest.fixture
def home(tmp_path, monkeypatch):
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    return tmp_path


def command(*arguments):
    done = subprocess.run(
        [sys.executable, "-m", "squarewright", "editors", *arguments],
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout, done.stderr


def test_install_list_doctor_and_uninstall(home):
    (home / ".config" / "GIMP" / "3.0").mkdir(parents=True)
    (home / ".config" / "GIMP" / "3.10").mkdir(parents=True)
    status, out, _ = command("install", "gimp", "--json")
    places = [
        home / ".config" / "GIMP" / minor / "plug-ins" / "squarewright-gimp" for minor in ("3.0", "3.10")
    ]
    assert status == 0 and json.loads(out)["installed"] == [str(place) for place in places]
    for place in places:
        assert os.access(place / "squarewright-gimp.py", os.X_OK)
    assert command("install", "krita")[0] == 0
    krita = home / ".local" / "share" / "krita"
    assert (krita / "pykrita" / "squarewright_krita.desktop").exists()
    assert (krita / "actions" / "squarewright_krita.action").exists()
    status, out, _ = command("list", "--json")
    assert [each["editor"] for each in json.loads(out)["plug_ins"]] == ["gimp", "gimp", "krita"]
    status, out, _ = command("doctor", "--json")
    told = json.loads(out)["findings"]
    through = [each for each in told if "4 × 4" in each["what"]]
    assert len(through) == 6 and all(each["well"] for each in through), told
    # What is stale is told, and installing again mends it.
    (
        krita / "pykrita" / "squarewright_krita" / "_vendor" / "squarewright" / Path(_core.__file__).name
    ).unlink()
    status, out, _ = command("doctor")
    assert status == 1 and "ILL   the plug-in in" in out and "squarewright editors install krita" in out
    assert command("install", "krita")[0] == 0
    assert all(each.well for each in doctor.examine(krita / "pykrita") if "4 × 4" in each.what)
    status, out, _ = command("uninstall", "krita", "--json")
    action = krita.resolve() / "actions" / "squarewright_krita.action"
    assert status == 0 and str(action) in json.loads(out)["removed"]
    assert command("uninstall", "gimp")[0] == 0
    left = [path for path in home.rglob("*") if "squarewright" in path.name]
    assert left == [] and command("list")[1] == "None is installed.\n"


def test_flatpaks_and_other_folders_have_their_places(home):
    status, out, _ = command("install", "krita", "--flatpak", "--json")
    folder = home / ".var" / "app" / "org.kde.krita" / "data" / "krita" / "pykrita"
    assert json.loads(out)["installed"] == [str(folder / "squarewright_krita")] and status == 0
    status, out, _ = command("install", "gimp", "--dest", str(home / "a b"), "--json")
    assert json.loads(out)["installed"] == [str(home / "a b" / "squarewright-gimp")]


def test_nothing_that_is_not_ours_is_replaced_or_removed(home):
    for name in ("squarewright_krita", "squarewright_krita.desktop"):
        folder = home / name.replace(".", "-")
        folder.mkdir()
        strange = folder / name
        strange.mkdir() if "." not in name else strange.write_text("mine")
        for action in ("install", "uninstall"):
            status, _, said = command(action, "krita", "--dest", str(folder))
            assert (status, "OUT-EXISTS" in said) == (5, True), said
        assert [path.name for path in folder.iterdir()] == [name]


def test_krita_is_switched_on_where_its_settings_keep_that(home, monkeypatch):
    settings = home / ".config" / "kritarc"
    settings.parent.mkdir()
    settings.write_text(
        "theme=dark\n\n[python]\nenable_other=true\nenable_squarewright_krita=false\n\n[tools]\na=1\n"
    )
    monkeypatch.setattr(hosts, "is_running", lambda _: True)
    with pytest.raises(sw.OutputError, match="is open"):
        enable.enable(settings)
    monkeypatch.setattr(hosts, "is_running", lambda _: False)
    assert enable.enable(settings) and not enable.enable(settings)
    assert settings.read_text() == (
        "theme=dark\n\n[python]\nenable_squarewright_krita=true\nenable_other=true\n\n[tools]\na=1\n"
    )
    assert enable.switched_on("") == "[python]\nenable_squarewright_krita=true\n"
    assert command("install", "gimp", "--enable")[0] == 2


def test_the_archive_for_krita_holds_a_plug_in_that_works(home):
    target = home / "squarewright-krita.zip"
    status, _, said = command("pack", "krita", "--out", str(target))
    assert status == 0 and "Import Python Plugin" in said
    assert command("pack", "krita", "--out", str(target))[0] == 5
    first = target.read_bytes()
    assert (
        command("pack", "krita", "--out", str(target), "--overwrite")[0] == 0 and target.read_bytes() == first
    )
    with zipfile.ZipFile(target) as archive:
        archive.extractall(home / "unpacked")
    names = {path.name for path in (home / "unpacked").iterdir()}
    assert names == {"squarewright_krita", "squarewright_krita.desktop", "actions"}
    code = home / "unpacked" / "squarewright_krita"
    assert json.loads((code / "bridge.json").read_text())["python"] is None
    script = "import json, bridge\ntold = bridge.Bridge(sys.argv[1])\n"
    script += "made = told.start(told.request('palette', {})).wait()\nprint(json.dumps(made.facts['paints']))"
    assert child(script, code, "a") == len(sw.Stock.basic().paints)


def test_a_folder_that_may_not_be_written_is_told(reachable, as_stranger):
    folder = reachable / "locked"
    folder.mkdir(mode=stat.S_IRUSR | stat.S_IXUSR | stat.S_IROTH | stat.S_IXOTH)
    told = as_stranger(lambda: main(["editors", "install", "krita", "--dest", str(folder)]))
    assert told.startswith("1 ") and "OUT-DENIED" in told


def test_layers_refuse_what_is_no_layer_or_size():
    plan = sw.plan(HERON, panel=sw.Panel("12 in", "12 in"))
    for arguments, code in (
        (("cells", 480, 720), "VALUE-BAD"),
        (("outline", -1, 720), "VALUE-BAD"),
        (("outline", 480, 720, (0, 0, 0, 720)), "VALUE-BAD"),
        (("outline", 480, 720, (0, float("nan"), 480, 720)), "VALUE-BAD"),
        (("outline", 480, 720, (0, 0, float("inf"), 720)), "VALUE-BAD"),
        (("outline", 0, 720), "PIC-EMPTY"),
        (("outline", 40_000, 720), "PIC-TOO-BIG"),
    ):
        with pytest.raises(sw.SquarewrightError) as refused:
            plan.to_layer(*arguments)
        assert refused.value.code == code, arguments
    with pytest.raises(sw.ArgumentError):
        plan.grid.to_layer(480, 720, (2000, 0, 2400, 720))


def test_the_outline_lies_between_what_is_painted_and_what_is_bare():
    cells, palette = [[-1, -1, -1], [-1, 0, -1], [-1, -1, -1]], ["#8090a0"]
    plan = sw.plan(sw.Grid(cells, palette), panel=sw.Panel("12 in", "12 in"))
    outline = plan.to_layer("outline", 90, 90)
    opaque = {(at // 90, at % 90) for at in range(90 * 90) if outline[at * 4 + 3] > 0}
    # A line of 1.4 points where a cell has 12: within two pixels of the edges at 30 and 60.
    assert opaque and all(27 <= row < 63 and 27 <= column < 63 for row, column in opaque)
    assert not any(33 <= row < 57 and 33 <= column < 57 for row, column in opaque)
    grid = plan.grid.to_layer(90, 90)
    assert {at for at in range(8100) if grid[at * 4 + 3]} == {
        row * 90 + column for row in range(30, 60) for column in range(30, 60)
    }


def test_krita_keeps_what_was_chosen_last_as_long_as_it_suits(plug_in, told):
    spec = importlib.util.spec_from_file_location("memory", plug_in / "memory.py")
    memory = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(memory)
    defaults = told.defaults("plan")
    chosen = {**defaults, "door": "pixelate", "columns": 41, "panel": "300mm x 300mm", "overwrite": True}
    assert memory.chosen(told, "plan", memory.text(told, "plan", chosen)) == {**chosen, "overwrite": False}
    pixelated = memory.text(told, "pixelate", {**told.defaults("pixelate"), "colours": 64})
    assert memory.chosen(told, "pixelate", pixelated)["colours"] == 64
    kept = {"door": "guess", "columns": 1, "colours": True, "panel": 12, "overwrite": True, "gone": 5}
    for wrong in ("", "[1]", "null", "{", json.dumps(kept), json.dumps({"door": ["recover"]})):
        assert memory.chosen(told, "plan", wrong) == defaults, wrong


def test_what_forces_an_engine_is_not_taken_for_a_setting():
    assert not bridge.FORCED.startswith(PREFIX)
