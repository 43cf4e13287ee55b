"""The plug-in in a real GIMP 3, in a Debian 13 of its own: every kind of image, both engines, the window."""

import contextlib
import json
import os
import re
import shutil
import subprocess
import time
from pathlib import Path

import pdfplumber
import pytest

import squarewright
from editors.stage import DEBIAN, LAYERS, POND, ROOT, expected, fresh, need, screen, shoot, until
from squarewright.editors import form, install, work

HERE = ROOT / "tests" / "editors"
INROOT = str(HERE / "inroot.sh")
HERON = POND / "heron-x12.png"
PLAN = {"panel": "12in x 12in", "door": "recover"}
CASE = DEBIAN / "data" / "case"
TEMPORARY = DEBIAN / "tmp"
PARTS = 4


@pytest.fixture(scope="module")
def gimp():
    need("GIMP 3 in a Debian 13", (DEBIAN / "usr" / "bin" / "gimp-console").exists() and os.geteuid() == 0)
    config = fresh(DEBIAN / "root" / ".config" / "GIMP" / "3.0")
    version = run("a", "gimp-console", "--version").stdout.split()[-1]
    settings = f'(config-version "{version}")\n(show-welcome-dialog no)\n(check-updates no)\n'
    (config / "gimprc").write_text(settings)
    (config / "plug-ins").mkdir()
    plug_in = install.install("gimp", config / "plug-ins")
    # The person's own Python in that system, with the package where no editor looks.
    maker = fresh(DEBIAN / "opt" / "maker")
    vendored = plug_in / "squarewright_gimp" / "_vendor"
    shutil.copytree(vendored / "squarewright", maker / "site" / "squarewright")
    python = maker / "python"
    python.write_text('#!/bin/sh\nPYTHONPATH=/opt/maker/site exec /usr/bin/python3 "$@"\n')
    python.chmod(0o755)
    setup = plug_in / "squarewright_gimp" / "bridge.json"
    told = json.loads(setup.read_text()) | {"python": "/opt/maker/python"}
    setup.write_text(json.dumps(told))
    return plug_in


def run(engine, *command, seconds=300):
    environment = {**os.environ, "PLUG_IN_ENGINE": engine}
    environment.pop("DISPLAY", None)
    return subprocess.run(
        [INROOT, str(DEBIAN), "timeout", str(seconds), *command],
        env=environment,
        capture_output=True,
        text=True,
        timeout=seconds + 30,
        check=False,
    )


def batch(engine, cases):
    """Let GIMP work through the cases; a batch command that fails ends it with 64."""
    fresh(CASE)
    (CASE / "book").mkdir()
    shutil.copy(HERON, CASE / "heron.png")
    shutil.copy(POND / "water-lily.jpg", CASE / "lily.jpg")
    shutil.copy(ROOT / "examples" / "paints.csv", CASE / "paints.csv")
    (CASE / "bad.csv").write_text("name,colour\nred,#zz\n")
    shutil.copy(HERE / "inside_gimp.py", CASE / "inside.py")
    (CASE / "cases.json").write_text(json.dumps(cases))
    interpreter = ["--batch-interpreter=python-fu-eval", "-b", "exec(open('/data/case/inside.py').read())"]
    done = run(engine, "gimp-console", "-i", "--quit", *interpreter)
    assert done.returncode == 0 and (CASE / "told.json").exists(), done.stdout + done.stderr
    return json.loads((CASE / "told.json").read_text()), done.stdout + done.stderr


def layers_of(number, told):
    return [(CASE / f"{number}-{place}.rgba").read_bytes() for place in range(len(told["layers"]))]


@pytest.mark.parametrize("engine", ["a", "b"])
def test_layers_are_those_of_the_package_in_every_kind_of_image(gimp, engine):
    kinds = ["indexed", "16 bits", "linear", "grey", "profile"]
    settings = {**PLAN, "folder": "/data/case/book"}
    cases = [
        {
            "file": "heron.png",
            "action": "plan",
            "kind": kind,
            "settings": {**settings, "overwrite": number > 0},
        }
        for number, kind in enumerate(kinds)
    ]
    cells = {"action": "pixelate", "settings": {"columns": 40}}
    cases += [
        {"file": name, "kind": kind, **cells} for name, kind in (("heron.png", "float"), ("lily.jpg", "rgb"))
    ]
    told, said = batch(engine, cases)
    for number, (case, each) in enumerate(zip(cases, told, strict=True)):
        assert each["status"] == "success", each
        assert each["base"] == "rgb" and len(each["added"]) == 1
        keys = [field.key for field in form.FIELDS if case["action"] in field.actions]
        assert each["form"][-len(keys) :] == keys, "the form is that of the schema"
        assert each["layers"] == (LAYERS if case["action"] == "plan" else ["Cells"])
        assert each["places"] == [each["box"][:2]] * len(each["layers"])
        pixels = (CASE / f"{number}-source.rgba").read_bytes()
        mine = expected(case["action"], {**case["settings"], "folder": ""}, pixels, each["box"][2:])
        for name, one, other in zip(each["layers"], mine, layers_of(number, each), strict=True):
            if case.get("kind") == "profile":
                # 8 bits of another profile cannot hold every colour of sRGB to the bit.
                assert furthest(one, other) <= 2, name
            else:
                assert one == other, (case.get("kind"), name)
    assert "Found 40 × 60 cells" in said and "Made 40 × 27 cells" in said
    assert (CASE / "book" / "untitled-plan" / "book.pdf").read_bytes().startswith(b"%PDF")


def furthest(one, other):
    """Give how far two pictures are apart where they are opaque."""
    pixels = range(0, len(one), 4)
    return max(
        (abs(one[at + c] - other[at + c]) for at in pixels if one[at + 3] == 255 for c in range(3)), default=0
    )


@pytest.mark.parametrize("engine", ["a", "b"])
def test_parts_of_images_and_sentences_where_there_is_nothing_to_do(gimp, engine):
    def case(**more):
        return {"file": "heron.png", "action": "pixelate", "kind": "rgb", "settings": {"columns": 20}, **more}

    cases = [
        case(moved=[90, 40]),
        case(cut=[200, 300, -60, -70]),
        case(selected=[100, 100, 200, 150]),
        case(selected=[100, 100, 200, 150], feathered=30),
        case(file=None),
        case(unchosen=True),
        case(emptied=True, two=True),
        case(emptied=True),
        case(moved=[300, 0], selected=[0, 0, 50, 50]),
        case(mask=True),
        case(action="plan", settings={"panel": "12 x 12"}),
        case(file="lily.jpg", action="plan", settings={"folder": "/data/case/book"}),
        {"action": "palette", "settings": {"stock": "/data/case/bad.csv"}},
        {"action": "palette", "settings": {"stock": "/data/case/paints.csv"}},
    ]
    told, said = batch(engine, cases)
    for number, each in enumerate(told[:PARTS]):
        pixels = bytearray((CASE / f"{number}-source.rgba").read_bytes())
        mask = CASE / f"{number}-mask.grey"
        if mask.exists():
            pairs = zip(pixels[3::4], mask.read_bytes(), strict=True)
            pixels[3::4] = bytes(opacity * chosen // 255 for opacity, chosen in pairs)
        mine = expected("pixelate", {"columns": 20}, bytes(pixels), each["box"][2:])
        assert layers_of(number, each) == mine, number
        assert each["places"] == [each["box"][:2]]
    moved, small, part, faint = (each["box"] for each in told[:PARTS])
    assert moved == [90, 40, 480, 720] and small == [60, 70, 200, 300] and part == [100, 100, 200, 150]
    assert faint[0] < 100 and len(set((CASE / "3-mask.grey").read_bytes())) > 9, (
        "the selection has soft edges"
    )
    codes = (
        "NO-PICTURE NO-LAYER TWO-LAYERS EMPTY-LAYER EMPTY-SELECTION NO-PIXELS SIZE-BAD GRID-NONE STOCK-COLOUR"
    )
    words = install.words()["en"]
    for code, each in zip(codes.split(), told[PARTS:-1], strict=True):
        wanted = words[f"editor.trouble.{code}"][0].replace("{name}", "bad.csv")
        wanted = wanted.replace("{what}", 'row 2, column colour: "#zz" is not a colour')
        assert (each["status"], each["words"]) == ("execution-error", wanted)
        assert not each.get("added")
    assert not list((CASE / "book").iterdir())
    assert told[-1]["status"] == "success" and "The palette has" in said


def test_no_engine_is_a_sentence_with_a_way_out(gimp):
    setup = gimp / "squarewright_gimp" / "bridge.json"
    kept = setup.read_text()
    setup.write_text(json.dumps(json.loads(kept) | {"python": "/nowhere/python"}))
    try:
        told, _ = batch("b", [{"file": "heron.png", "action": "pixelate", "settings": {}}])
    finally:
        setup.write_text(kept)
    assert told[0]["status"] == "execution-error"
    assert "/nowhere/python" in told[0]["words"] and "squarewright editors install gimp" in told[0]["words"]


@contextlib.contextmanager
def opened(engine, locale):
    """Start GIMP on a screen with the heron, and with a driver that chooses from the menu."""
    fresh(CASE)
    shutil.copy(HERON, CASE / "heron.png")
    shutil.copy(HERE / "drive_gimp.py", CASE / "drive.py")
    (CASE / "stopped").mkdir()
    # Where GIMP itself was killed, nobody cleared away.
    for place in TEMPORARY.glob("squarewright-*"):
        shutil.rmtree(place)
    # GIMP shows what was chosen the last time.
    fresh(DEBIAN / "root" / ".config" / "GIMP" / "3.0" / "plug-in-settings")
    with screen() as environment:
        environment = {**environment, "PLUG_IN_ENGINE": engine, "EDITOR_LANG": locale}
        command = ["dbus-run-session", "--", "gimp", "--no-splash", "/data/case/heron.png"]
        batch = ["--batch-interpreter=python-fu-eval", "-b", "exec(open('/data/case/drive.py').read())"]
        with (CASE / "log").open("w") as log:
            child = subprocess.Popen(
                [INROOT, str(DEBIAN), *command, *batch], env=environment, stdout=log, stderr=log
            )
        try:
            yield environment
        finally:
            child.kill()
            child.wait()


def told(name):
    until(lambda: (CASE / f"{name}.json").exists(), 240, name)
    return json.loads((CASE / f"{name}.json").read_text())


def seen(environment, title):
    window = until(lambda: windows(environment, f"^{title}$"), 240, title)[0]
    xdotool(environment, "windowactivate", "--sync", window)
    return window


# Engine A is looked at in English, B in German.
@pytest.mark.parametrize(
    ("engine", "language", "locale"), [("a", "en", "C.UTF-8"), ("b", "de", "de_DE.UTF-8")]
)
def test_a_person_stops_then_plans_in_the_window_and_takes_it_back(gimp, engine, language, locale):
    need("Xvfb", shutil.which("Xvfb") and shutil.which("xdotool"))
    words = {key.removeprefix("editor."): forms[0] for key, forms in install.words()[language].items()}
    title = words["menu.plan"].replace("…", "").strip()
    with opened(engine, locale) as environment:
        for what in ("no-picture", "two-layers", "empty-layer", "empty-selection"):
            seen(environment, "Squarewright")
            time.sleep(0.5)
            shoot(environment, f"gimp-{engine}-{what}")
            xdotool(environment, "key", "Return")
            until(lambda: not windows(environment, "^Squarewright$"), 60, "an end of the window")
        window = seen(environment, title)
        time.sleep(1)
        xdotool(environment, "key", "Return")
        time.sleep(1.5)
        shoot(environment, f"gimp-{engine}-working")
        press_cancel(environment, window) if engine == "a" else xdotool(environment, "key", "Escape")
        stopped = told("stopped")
        window = seen(environment, title)
        until(lambda: _settled(environment, window), 120, "a preview")
        shoot(environment, f"gimp-{engine}-dialog")
        xdotool(environment, "key", "Return")
        seen(environment, "Squarewright")
        time.sleep(0.5)
        shoot(environment, f"gimp-{engine}-said")
        xdotool(environment, "key", "Return")
        planned = told("planned")
        shoot(environment, f"gimp-{engine}-result")
        main = until(lambda: windows(environment, "heron.*GIMP"), 60, "the window of the picture")[-1]
        xdotool(environment, "windowactivate", "--sync", main)
        xdotool(environment, "key", "ctrl+z")
        undone = told("undone")
        shoot(environment, f"gimp-{engine}-undone")
        left = [*(CASE / "stopped").iterdir(), *TEMPORARY.glob("squarewright-*")]
        # And from the menu itself, where ours is the last entry of Filters.
        xdotool(environment, "mousemove", "427" if language == "en" else "542", "32", "click", "1")
        xdotool(environment, "mousemove", "1279", "899")
        time.sleep(1)
        xdotool(environment, "key", "Up", "Right")
        time.sleep(1)
        shoot(environment, f"gimp-{engine}-menu")
        xdotool(environment, "key", "Return")
        # GIMP sorts its menus.
        first = min(words[f"menu.{action}"] for action in form.ACTIONS)
        seen(environment, first.replace("…", "").strip())
    refused = told("refused")
    assert refused.pop("menu") == [words[f"menu.{action}"] for action in form.ACTIONS]
    assert set(refused.values()) == {"cancel"}, refused
    assert stopped["status"] == "cancel" and stopped["after"] == stopped["before"], stopped
    assert left == []
    assert planned["status"] == "success", planned
    layers = ("cells", *work.LINES)
    assert planned["layers"] == [words[f"layer.{layer}"] for layer in layers]
    pixels = (CASE / "source.rgba").read_bytes()
    mine = expected("plan", {**PLAN, "language": language}, pixels, planned["size"])
    assert [(CASE / f"{place}.rgba").read_bytes() for place in range(len(layers))] == mine
    assert undone == stopped["before"], "one step back, and all is as it was"
    kept = next(
        (DEBIAN / "root" / ".config" / "GIMP" / "3.0" / "plug-in-settings").glob("*squarewright-plan.last")
    )
    assert "(overwrite no)" in kept.read_text(), "the leave to replace files is asked for anew each time"
    with pdfplumber.open(CASE / "heron-plan" / "book.pdf") as opened_book:
        book = opened_book.pages[0].extract_text()
    assert ("Kästchen" in book) == (language == "de")


def press_cancel(environment, window):
    """Press the button with the mouse: it stands left of the last one, at the bottom."""
    shape = subprocess.run(
        ["xdotool", "getwindowgeometry", "--shell", window],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    width, height = (int(re.search(rf"{side}=(\d+)", shape).group(1)) for side in ("WIDTH", "HEIGHT"))
    place = ["mousemove", "--window", window, str(width - 162), str(height - 43)]
    xdotool(environment, *place, "click", "1", "mousemove", "1279", "899")


def windows(environment, name):
    found = subprocess.run(
        ["xdotool", "search", "--onlyvisible", "--name", name],
        env=environment,
        capture_output=True,
        text=True,
    )
    return found.stdout.split()


def xdotool(environment, *arguments):
    subprocess.run(["xdotool", *arguments], env=environment, check=True, timeout=60)


def _settled(environment, window, seen={}):  # noqa: B006 -- remembers what it saw
    """Say whether a window has looked the same for a while, with a preview in it."""
    shot = subprocess.run(["import", "-window", window, "rgb:-"], env=environment, capture_output=True).stdout
    same, since = seen.get(window, (None, 0))
    seen[window] = (shot, since + 1 if shot == same else 0)
    return since > 14


def test_stage_is_where_the_script_builds_it():
    assert str(DEBIAN.relative_to(ROOT)) in Path(ROOT / ".ci" / "run").read_text()


def test_the_script_for_the_console_plans_what_is_open(gimp):
    fresh(CASE)
    shutil.copy(HERON, CASE / "heron.png")
    shutil.copy(ROOT / "examples" / "consoles" / "gimp-console.py", CASE / "console.py")
    named = ["env", "PACKAGE_FOLDER=/opt/maker/site", "PLAN_FOLDER=/data/case/plan"]
    interpreter = ["--batch-interpreter=python-fu-eval", "-b", "exec(open('/data/case/console.py').read())"]
    done = run("a", *named, "gimp-console", "-i", "/data/case/heron.png", "--quit", *interpreter)
    assert done.returncode == 0 and (CASE / "plan" / "book.pdf").is_file(), done.stdout + done.stderr
    plan = squarewright.Plan.from_json((CASE / "plan" / "plan.json").read_text("utf-8"))
    assert plan.grid == squarewright.pixelate(HERON, columns=48, colours=12)
