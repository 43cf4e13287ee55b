"""Every code block of the README does what it says."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import numpy as np
from PIL import Image

ROOT = Path(__file__).parent.parent
BLOCKS = re.findall(r"```(\w+)\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)


def test_the_python_blocks_print_what_is_shown() -> None:
    code = "".join(text for kind, text in BLOCKS if kind == "python")
    shown = "".join(text for kind, text in BLOCKS if kind == "text")
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == shown


def test_the_commands_run(tmp_path: Path) -> None:
    lines = [line for kind, text in BLOCKS if kind == "sh" for line in text.splitlines()]
    commands = [shlex.split(line) for line in lines if line.startswith("squarewright ")]
    assert len(commands) == 5
    for command in commands:
        arguments = [str(ROOT / word) if word.startswith("examples/") else word for word in command[1:]]
        subprocess.run([sys.executable, "-m", "squarewright", *arguments], cwd=tmp_path, check=True)
    assert (tmp_path / "heron-plan" / "book.pdf").is_file()


def test_the_make_targets_exist() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = [
        line.split()[1]
        for kind, text in BLOCKS
        if kind == "sh"
        for line in text.splitlines()
        if line.startswith("make ")
    ]
    assert targets == ["demo", "test"]
    assert all(f"\n{target}:" in makefile for target in targets)


def test_its_pictures_are_those_that_the_script_makes(tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = [ROOT / path for path in re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text)]
    assert all(path.is_file() for path in shown)
    subprocess.run([sys.executable, ROOT / "examples" / "pictures.py", tmp_path], check=True)
    made = sorted(tmp_path.iterdir())
    assert {path.name for path in made} == {path.name for path in shown if path.parent.name == "examples"}
    for path in made:
        # Pages are drawn by a library that may set a grey of a letter's rim otherwise in its next version.
        ours, theirs = (
            np.asarray(Image.open(each).convert("RGB"), int) for each in (path, ROOT / "examples" / path.name)
        )
        assert ours.shape == theirs.shape and np.abs(ours - theirs).mean() < 0.5
