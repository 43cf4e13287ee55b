"""The plug-in in a real GIMP 3, in a Debian 13 of its own: every kind of image, both engines, the window."""

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

import squarewright
from editors.stage import DEBIAN, LAYERS, POND, ROOT, expected, fresh, need, screen, shoot, until
from squarewright.editors import form, install

HERE = ROOT / "tests" / "editors"
INROOT = str(HERE / "inroot.sh")
HERON = POND / "heron-x12.png"
PLAN = {"panel": "12in x 12in", "door": "recover"}
CASE = DEBIAN / "data" / "case"


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
    kinds = ["indexed", "rgb", "16 bits", "float", "linear", "grey", "profile"]
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
    cases.append({"file": "lily.jpg", "action": "pixelate", "settings": {"columns": 40}})
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
        case(selected=[100, 100, 200, 150]),
        case(file=None),
        case(unchosen=True),
        case(emptied=True, two=True),
        case(emptied=True),
        case(moved=[300, 0], selected=[0, 0, 50, 50]),
        case(action="plan", settings={"panel": "12 x 12"}),
        {"action": "palette", "settings": {"stock": "/data/case/paints.csv"}},
    ]
    told, said = batch(engine, cases)
    for number in (0, 1):
        pixels = (CASE / f"{number}-source.rgba").read_bytes()
        mine = expected("pixelate", {"columns": 20}, pixels, told[number]["box"][2:])
        assert layers_of(number, told[number]) == mine
        assert told[number]["places"] == [told[number]["box"][:2]]
    assert told[0]["box"] == [90, 40, 390, 680] or told[0]["box"] == [90, 40, 480, 720]
    assert told[1]["box"] == [100, 100, 200, 150]
    sentences = [
        "Open a picture first.",
        "Choose a layer first.",
        "More than one layer is chosen.",
        "The chosen layer is empty.",
        "Nothing of the chosen layer is selected.",
        "(SIZE-BAD)",
    ]
    for words, each in zip(sentences, told[2:8], strict=True):
        assert each["status"] == "execution-error" and words in each["words"], (words, each)
        assert not each.get("added")
    assert told[8]["status"] == "success" and "The palette has" in said


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


@pytest.mark.parametrize("engine", ["a", "b"])
def test_a_person_plans_in_the_window_and_takes_it_back(gimp, engine):
    need("Xvfb", shutil.which("Xvfb") and shutil.which("xdotool"))
    fresh(CASE)
    shutil.copy(HERON, CASE / "heron.png")
    shutil.copy(HERE / "drive_gimp.py", CASE / "drive.py")
    with screen() as environment:
        environment = {**environment, "PLUG_IN_ENGINE": engine}
        command = ["dbus-run-session", "--", "gimp", "--no-splash", "/data/case/heron.png"]
        batch = ["--batch-interpreter=python-fu-eval", "-b", "exec(open('/data/case/drive.py').read())"]
        with (CASE / "log").open("w") as log:
            child = subprocess.Popen(
                [INROOT, str(DEBIAN), *command, *batch], env=environment, stdout=log, stderr=log
            )
        try:
            window = until(lambda: windows(environment, "^Plan a Painted Panel$"), 240, "a dialog")[0]
            until(lambda: _settled(environment, window), 120, "a preview")
            shoot(environment, f"gimp-{engine}-dialog")
            xdotool(environment, "windowactivate", "--sync", window)
            xdotool(environment, "key", "Return")
            until(lambda: (CASE / "planned.json").exists(), 240, "a plan")
            shoot(environment, f"gimp-{engine}-result")
            main = until(lambda: windows(environment, "heron.*GIMP"), 60, "the window of the picture")[-1]
            xdotool(environment, "windowactivate", "--sync", main)
            xdotool(environment, "key", "ctrl+z")
            until(lambda: (CASE / "undone.json").exists(), 120, "an undo")
            shoot(environment, f"gimp-{engine}-undone")
        finally:
            child.kill()
            child.wait()
    planned = json.loads((CASE / "planned.json").read_text())
    assert planned["status"] == "success", planned
    assert planned["layers"] == LAYERS
    pixels = (CASE / "source.rgba").read_bytes()
    mine = expected("plan", PLAN, pixels, planned["size"])
    assert [(CASE / f"{place}.rgba").read_bytes() for place in range(len(LAYERS))] == mine
    undone = json.loads((CASE / "undone.json").read_text())
    assert undone == planned["before"], "one step back, and all is as it was"
    assert (CASE / "heron-plan" / "book.pdf").exists()


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
