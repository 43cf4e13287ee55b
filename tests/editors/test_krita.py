"""The plug-in in a real Krita: every kind of document, both engines, then its window."""

import configparser
import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image

import squarewright
from editors.stage import LAYERS, POND, ROOT, expected, fresh, need, screen, shoot, until
from squarewright.editors import form, install, work

HERE = ROOT / "tests" / "editors"
HERON = POND / "heron-x12.png"
LILY = POND / "water-lily.jpg"
PLAN = {"panel": "12in x 12in", "door": "recover"}


@pytest.fixture(scope="module")
def krita(tmp_path_factory):
    need("Krita", shutil.which("kritarunner") and shutil.which("Xvfb"))
    home = tmp_path_factory.mktemp("krita")
    names = {
        "XDG_CONFIG_HOME": ".config",
        "XDG_DATA_HOME": ".local/share",
        "XDG_CACHE_HOME": ".cache",
        "XDG_RUNTIME_DIR": "run",
    }
    places = {name: home / place for name, place in names.items()}
    for place in places.values():
        place.mkdir(parents=True, mode=0o700)
    plug_ins = places["XDG_DATA_HOME"] / "krita" / "pykrita"
    install.install("krita", plug_ins)
    told = {name: str(place) for name, place in places.items()}
    return {**told, "HOME": str(home), "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8", "PLUG_INS": str(plug_ins)}


def run(krita, tmp_path, cases, engine):
    (tmp_path / "cases.json").write_text(json.dumps(cases))
    environment = {
        **krita,
        "PYTHONPATH": os.pathsep.join([krita["PLUG_INS"], str(HERE)]),
        "QT_QPA_PLATFORM": "offscreen",
        "PLUG_IN_ENGINE": engine,
    }
    command = ["kritarunner", "-s", "inside_krita", "-f", "main"]
    arguments = [str(tmp_path / "cases.json"), str(tmp_path / "told.json")]
    subprocess.run([*command, *arguments], env=environment, capture_output=True, timeout=300, check=False)
    told = json.loads((tmp_path / "told.json").read_text())
    assert not any("broken" in each for each in told), told[-1]["broken"]
    assert len(told) == len(cases)
    return told


def same_as_the_package(case, told, folder):
    """Compare the layers in the editor with what the package makes of the pixels that were read from it."""
    pixels = (folder / "source.rgba").read_bytes()
    layers = expected(case["action"], {**PLAN, **case["settings"], "folder": ""}, pixels, told["box"][2:])
    held = [(folder / f"{number}.rgba").read_bytes() for number in range(len(told["layers"]))]
    assert len(layers) == len(held)
    for name, mine, theirs in zip(told["layers"], layers, held, strict=True):
        assert mine == theirs, f"{name} differs"
    assert any(held[0]), "the cells are empty"


@pytest.mark.parametrize("engine", ["a", "b"])
def test_layers_are_those_of_the_package_in_every_kind_of_document(krita, tmp_path, engine):
    spaces = {
        "as it is": None,
        "16 bits": ["RGBA", "U16", "sRGB-elle-V2-srgbtrc.icc"],
        "float": ["RGBA", "F32", "sRGB-elle-V2-g10.icc"],
        "grey": ["GRAYA", "U8", "Gray-D50-elle-V2-srgbtrc.icc"],
        "16-bit grey": ["GRAYA", "U16", "Gray-D50-elle-V2-srgbtrc.icc"],
        "another profile": ["RGBA", "U8", "ClayRGB-elle-V2-g22.icc"],
        "four inks": ["CMYKA", "U8", "Chemical proof"],
    }
    cases = []
    for number, space in enumerate(spaces.values()):
        folder = str(tmp_path)
        settings = {"folder": folder, "overwrite": number > 0}
        case = {
            "file": str(HERON),
            "action": "plan",
            "settings": settings,
            "out": str(tmp_path / f"o{number}"),
        }
        cases.append({**case, "space": space} if space else case)
    cases.append(
        {"file": str(LILY), "action": "pixelate", "settings": {"columns": 40}, "out": str(tmp_path / "lily")}
    )
    told = run(krita, tmp_path, cases, engine)
    original = Image.open(HERON).convert("RGBA")
    for case, each, name in zip(cases, told, [*spaces, "lily"], strict=True):
        assert "trouble" not in each, (name, each)
        assert each["engine"] == engine and not each["numpy"]
        assert len(each["added"]) == 1, "one node in one step"
        folder = tmp_path / case["out"]
        same_as_the_package(case, each, folder)
        if case["action"] == "pixelate":
            assert each["layers"] == ["Cells"] and each["kind"] == "paintlayer"
            continue
        assert each["layers"] == LAYERS and each["kind"] == "grouplayer"
        assert each["added"] == ["Painted panel: heron-x12"]
        assert each["said"].startswith("Found 40 × 60 cells, ")
        left, top, width, height = each["box"]
        read = Image.frombytes("RGBA", (width, height), (folder / "source.rgba").read_bytes())
        shown = original.crop((left, top, left + width, top + height))
        if name in {"as it is", "16 bits", "float"}:
            near = 0 if name == "as it is" else 1
            pairs = zip(read.tobytes(), shown.tobytes(), strict=True)
            opaque = zip(pairs, (a for a in shown.getchannel("A").tobytes() for _ in "rgba"), strict=True)
            assert all(abs(a - b) <= near for (a, b), seen in opaque if seen), name
    assert (tmp_path / "heron-x12-plan" / "book.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("engine", ["a", "b"])
def test_parts_of_documents_and_sentences_where_there_is_nothing_to_do(krita, tmp_path, engine):
    def case(out, **more):
        base = {"file": str(HERON), "action": "pixelate", "settings": {"columns": 20}}
        return {**base, "out": str(tmp_path / out), **more}

    cases = [
        case("moved", moved=[90, 40]),
        case("part", selected=[100, 100, 200, 150, 255]),
        case("faint", selected=[100, 100, 200, 150, 128]),
        case("none", file=None),
        case("empty", emptied=True),
        case("beside", moved=[300, 0], selected=[0, 0, 50, 50, 255]),
        case("mask", mask=True),
        case("wrong", action="plan", settings={"panel": "12 x 12", "folder": str(tmp_path)}),
        {"action": "palette", "settings": {"stock": str(ROOT / "examples" / "paints.csv")}},
        {"action": "palette", "settings": {"stock": str(tmp_path / "missing.csv")}},
    ]
    moved, part, faint, none, empty, beside, mask, wrong, paints, missing = run(
        krita, tmp_path, cases, engine
    )
    for each, name in ((moved, "moved"), (part, "part"), (faint, "faint")):
        same_as_the_package(cases[0], each, tmp_path / name)
    assert moved["box"][0] >= 90 and moved["box"][0] + moved["box"][2] <= 480
    assert part["box"] == [100, 100, 200, 150] == faint["box"]
    opacity = (tmp_path / "faint" / "source.rgba").read_bytes()[3::4]
    assert max(opacity) == 128, "what is selected in part is as transparent"
    sentences = {
        "NO-PICTURE": none,
        "EMPTY-LAYER": empty,
        "EMPTY-SELECTION": beside,
        "NO-PIXELS": mask,
        "SIZE-BAD": wrong,
        "PATH-MISSING": missing,
    }
    assert {code: each.get("trouble") for code, each in sentences.items()} == {
        code: code for code in sentences
    }
    assert not (tmp_path / "heron-x12-plan").exists()
    assert paints["said"].startswith("The palette has ")
    assert paints["palette"] == squarewright.read_stock(ROOT / "examples" / "paints.csv").to_gpl()


SHOTS = ("menu", "two-layers", "empty-selection", "working", "wrong", "dialog", "said", "result", "undone")


# Engine A is looked at in English, B in German.
@pytest.mark.parametrize(("engine", "language"), [("a", "en"), ("b", "de")])
def test_a_person_stops_then_plans_in_the_window_and_takes_it_back(krita, tmp_path, engine, language):
    picture = tmp_path / "heron.png"
    shutil.copy(HERON, picture)
    plug_ins = Path(krita["PLUG_INS"])
    (plug_ins / "driver").mkdir(exist_ok=True)
    shutil.copy(HERE / "drive_krita.py", plug_ins / "driver" / "__init__.py")
    desktop = (plug_ins / "squarewright_krita.desktop").read_text(encoding="utf-8")
    (plug_ins / "driver.desktop").write_text(
        desktop.replace("squarewright_krita", "driver"), encoding="utf-8"
    )
    settings = Path(krita["XDG_CONFIG_HOME"]) / "kritarc"
    settings.write_text("[python]\nenable_squarewright_krita=true\nenable_driver=true\n")
    told = tmp_path / "told.json"
    environment = {**krita, **(german(tmp_path) if language == "de" else {})}
    with screen() as seen:
        environment |= {"DISPLAY": seen["DISPLAY"], "PLUG_IN_ENGINE": engine, "DRIVEN": str(tmp_path)}
        environment["TMPDIR"] = str(fresh(tmp_path / "temporary"))
        child = subprocess.Popen(
            ["krita", "--nosplash", str(picture)],
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            for shot in (*SHOTS, "no-picture"):
                until(lambda shot=shot: (tmp_path / f"{shot}.ready").exists() or told.exists(), 180, shot)
                shoot(seen, f"krita-{engine}-{shot}")
                (tmp_path / f"{shot}.shot").touch()
                if shot == "working":
                    place = map(str, json.loads((tmp_path / "press.json").read_text()))
                    press = ["mousemove", *place, "click", "1"] if engine == "a" else ["key", "Escape"]
                    subprocess.run(["xdotool", *press], env=seen, check=True, timeout=60)
            until(told.exists, 60, "an end")
            child.wait(60)
        finally:
            child.kill()
            child.wait()
    said = json.loads(told.read_text())
    assert "broken" not in said, said["broken"]
    words = {key.removeprefix("editor."): forms[0] for key, forms in install.words()[language].items()}
    keys = [field["key"] for field in json.loads(_form(krita)) if "plan" in field["actions"]]
    assert said["menu"] == [words[f"menu.{action}"] for action in form.ACTIONS]
    assert said["form"] == keys
    assert said["open"] == [key for key in keys if key not in {"columns", "colours", "brushwork"}]
    assert said["beats"] > 10, "the window went on living while the work was done"
    for what in ("TWO-LAYERS", "EMPTY-SELECTION", "NO-PICTURE"):
        assert said[what.lower().replace("-", " ")] == words[f"trouble.{what}"]
    assert said["cancelled"] == said["stopped"] == said["before"], "what is called off leaves nothing"
    assert said["done"] == [False, False], "it was called off in the middle"
    assert not (tmp_path / "stopped").exists() and not list((tmp_path / "temporary").glob("squarewright-*"))
    found = "40 × 60 Kästchen gefunden, " if language == "de" else "Found 40 × 60 cells, "
    assert said["said"].startswith(found)
    layers = ("cells", *work.LINES)
    assert said["layers"] == [words[f"layer.{layer}"] for layer in layers]
    assert said["before"] == said["undone"] and len(said["after"]) == len(said["before"]) + 1
    again = {key: said["again"][key] for key in ("panel", "columns", "paper", "language", "overwrite")}
    assert again == {
        **{"panel": "12in x 12in", "columns": 41, "paper": "a4", "language": language},
        "overwrite": False,
    }, "what was chosen last comes back, but not the leave to replace files"
    kept = configparser.ConfigParser(strict=False, interpolation=None)
    kept.read_string("[top]\n" + settings.read_text(encoding="utf-8"))
    assert json.loads(kept["squarewright"]["plan"])["columns"] == 41, (
        "for the next time that Krita is started"
    )
    assert (tmp_path / "heron-plan" / "book.pdf").exists()
    pixels = (tmp_path / "source.rgba").read_bytes()
    mine = expected("plan", {**PLAN, "language": language}, pixels, said["box"][2:])
    for number, layer in enumerate(mine):
        assert layer == (tmp_path / f"{number}.rgba").read_bytes(), layers[number]


def german(folder):
    """Give the environment of somebody in Germany, whose locale this machine need not have."""
    made = folder / "locales" / "de_DE.UTF-8"
    made.parent.mkdir()
    subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", str(made)], check=True, timeout=60)
    return {"LANG": "de_DE.UTF-8", "LANGUAGE": "de", "LOCPATH": str(made.parent)}


def _form(krita):
    return (Path(krita["PLUG_INS"]) / "squarewright_krita" / "form.json").read_text(encoding="utf-8")


def test_the_script_for_the_console_plans_what_is_open(krita, tmp_path):
    shutil.copy(ROOT / "examples" / "consoles" / "krita-scripter.py", tmp_path / "krita_console.py")
    environment = {
        **krita,
        "PYTHONPATH": str(tmp_path),
        "QT_QPA_PLATFORM": "offscreen",
        "PACKAGE_FOLDER": str(ROOT / "python"),
        "PLAN_FOLDER": str(tmp_path / "plan"),
    }
    command = ["kritarunner", "-s", "krita_console", "-f", "main", str(HERON)]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=300, check=False)
    assert (tmp_path / "plan" / "book.pdf").is_file(), done.stdout + done.stderr
    plan = squarewright.Plan.from_json((tmp_path / "plan" / "plan.json").read_text("utf-8"))
    assert plan.grid == squarewright.pixelate(HERON, columns=48, colours=12)
