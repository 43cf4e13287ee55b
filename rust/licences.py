"""Lists everything that the wheel holds or asks for, with its licence, in ``THIRD-PARTY.md``.

    python rust/licences.py          write the list anew
    python rust/licences.py --check  fail when it is out of date, or a licence is not allowed

The crates come from ``cargo metadata``: all that the Python module is built from, on any system. Of several
licences to choose from the first allowed one is taken, and its text is the crate's own.
"""

import importlib.metadata
import json
import re
import subprocess
import sys
import tomllib
from itertools import chain
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
LIST = ROOT / "THIRD-PARTY.md"

ALLOWED = [
    *("MIT", "BSD-2-Clause", "BSD-3-Clause", "Zlib", "0BSD", "Apache-2.0", "BSL-1.0"),
    *("Unicode-3.0", "Unlicense", "CC0-1.0"),
]
"""Licences that let everybody use, change and pass on, by their SPDX names; of several the first is taken."""

TEXTS = {
    "MIT": r"licen[cs]e[-_.]?(mit)?(\.txt|\.md)?",
    "BSD-2-Clause": r"license",
    "BSD-3-Clause": r"license(\.md)?",
    "Zlib": r"license([-.]zlib)?(\.md)?",
    "Apache-2.0": r"license-apache(\.md)?",
    "Unicode-3.0": r"license-unicode",
}
"""The files that hold the text of a licence, as a pattern."""

MIT = """Permission is hereby granted, free of charge, to any person obtaining a copy of this software and
associated documentation files (the "Software"), to deal in the Software without restriction, including
without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell
copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to the
following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial
portions of the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT
LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO
EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN
AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE
OR OTHER DEALINGS IN THE SOFTWARE."""
"""For crates that name this licence and have no file of it."""

PYTHON = {
    "numpy": "BSD-3-Clause",
    "pillow": "MIT-CMU",
    "anywidget": "MIT",
    "matplotlib": "Python Software Foundation",
    "rich": "MIT",
}
"""What the wheel asks for beside it, and a word of each one's own statement; all are permissive."""


class RefusedError(Exception):
    """A licence that is not allowed, or a dependency without one."""


def chosen(expression: str | None, name: str) -> list[str]:
    """Take the licences that a crate is used under from its SPDX expression.

    Raises
    ------
    RefusedError
        When no choice is of allowed ones alone.
    """
    parts = re.sub(r"[()]", "", (expression or "").replace("/", " OR ")).split(" AND ")
    taken = []
    for part in parts:
        offered = [licence.strip() for licence in part.split(" OR ")]
        allowed = sorted(set(offered) & set(ALLOWED), key=ALLOWED.index)
        if not allowed:
            raise RefusedError(
                f"{name} is under {expression or 'no licence that it states'}, which is not allowed"
            )
        taken.append(allowed[0])
    return taken


def crates() -> list[dict[str, Any]]:
    """Give the packages that the Python module is built from, by name and version, without our own."""
    command = [
        "cargo",
        "metadata",
        "--format-version",
        "1",
        "--locked",
        "--manifest-path",
        ROOT / "Cargo.toml",
    ]
    found = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
    packages = {package["id"]: package for package in found["packages"]}
    links = {node["id"]: node["deps"] for node in found["resolve"]["nodes"]}
    waiting = [key for key, package in packages.items() if package["name"] == "squarewright-python"]
    reached: set[str] = set()
    while waiting:
        key = waiting.pop()
        if key in reached:
            continue
        reached.add(key)
        waiting += [
            link["pkg"] for link in links[key] if any(kind["kind"] is None for kind in link["dep_kinds"])
        ]
    others = [packages[key] for key in reached if packages[key]["source"] is not None]
    return sorted(others, key=lambda package: (package["name"], package["version"]))


def texts(package: dict[str, Any], licences: list[str]) -> list[str]:
    """Give the texts that a crate's licences ask to be passed on, and its notice where it has one."""
    folder = Path(package["manifest_path"]).parent
    files = {path.name.lower(): path for path in sorted(folder.iterdir()) if path.is_file()}
    found = [path for name, path in files.items() if name.startswith("notice")]
    for licence in licences:
        named = [path for name, path in files.items() if re.fullmatch(TEXTS.get(licence, "(?!)"), name)]
        # a file that names the licence tells more than one for all of them
        found += sorted(named, key=lambda path: -len(path.name))[:1]
        if not named and licence == "MIT":
            return [f"Copyright (c) {', '.join(package['authors']) or 'its authors'}\n\n{MIT}"]
        if not named:
            raise RefusedError(f"{package['name']} has no text of {licence}")
    return [path.read_text("utf-8").replace("\r\n", "\n").strip() for path in found]


def asked_for() -> list[str]:
    """Give the Python packages that the wheel asks for.

    Raises
    ------
    RefusedError
        When one is not known here, or says another licence of itself.
    """
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = [*project["dependencies"], *chain.from_iterable(project["optional-dependencies"].values())]
    names = [match[0] for text in wanted if (match := re.match(r"[\w-]+", text))]
    for name in names:
        about = importlib.metadata.metadata(name)
        said = " ".join(
            [
                about.get("License-Expression") or "",
                about.get("License") or "",
                *(about.get_all("Classifier") or []),
            ]
        )
        if name not in PYTHON or PYTHON[name] not in said:
            raise RefusedError(f"the licence of {name} is not known: see what it says and enter it in PYTHON")
    return names


def listed() -> str:
    """Write the list."""
    lines = [
        "# What others made",
        "",
        "Squarewright itself is under MIT or Apache-2.0, as you like. In its wheel is also what follows, all",
        "of it under licences that let everybody use, change and pass it on.",
        "",
        "| what | licence |",
        "|---|---|",
        "| the typeface DejaVu Sans | Bitstream Vera and public domain: `DejaVu-LICENSE.txt` |",
    ]
    bodies: dict[str, list[str]] = {}
    for package in crates():
        name = f"{package['name']} {package['version']}"
        licences = chosen(package["license"], name)
        lines.append(f"| {name} | {' and '.join(licences)} |")
        bodies.setdefault("\n\n".join(texts(package, licences)), []).append(name)
    lines += ["", "It asks for these Python packages, or for some of them when you want what they add:", ""]
    lines += [f"- {name} ({PYTHON[name]})" for name in asked_for()]
    lines += ["", "## The texts", ""]
    for body, names in sorted(bodies.items(), key=lambda entry: entry[1]):
        lines += [f"### {', '.join(names)}", "", "```text", body, "```", ""]
    return "\n".join(lines)


def main(arguments: list[str]) -> int:
    """Write the list or compare it; 1 when something is not as it should be."""
    try:
        wanted = listed()
    except RefusedError as error:
        print(f"licences: {error}", file=sys.stderr)
        return 1
    if arguments != ["--check"]:
        LIST.write_text(wanted, encoding="utf-8")
    elif not LIST.exists() or LIST.read_text("utf-8") != wanted:
        print("licences: THIRD-PARTY.md is out of date: run python rust/licences.py", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
