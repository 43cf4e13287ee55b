"""Nothing reaches the network, runs a text as code, starts a program or unpacks a file to the disk."""

import ast
import io
import re
import subprocess
import sys
from pathlib import Path

import pytest

import measured
import squarewright
from hostile import HOSTILE
from made import document, png

PACKAGE = Path(squarewright.__file__).parent
ROOT = Path(__file__).parent.parent
CRATES = [ROOT / "rust" / "squarewright" / "src", ROOT / "rust" / "squarewright-python" / "src"]

MODULES = {
    *("argparse", "base64", "collections", "concurrent", "contextlib", "dataclasses", "difflib", "errno"),
    *(
        "fcntl",
        "functools",
        "glob",
        "hashlib",
        "html",
        "importlib",
        "inspect",
        "io",
        "itertools",
        "json",
        "math",
        "os",
        "pathlib",
    ),
    *(
        "queue",
        "re",
        "signal",
        "stat",
        "sys",
        "threading",
        "time",
        "tomllib",
        "types",
        "typing_extensions",
        "typing",
        "unicodedata",
    ),
    *("warnings", "fractions", "datetime", "enum", "abc", "operator", "string", "textwrap", "shutil", "csv"),
    *("numpy", "PIL", "matplotlib", "rich", "anywidget", "traitlets", "squarewright"),
}
"""What the package may import: none of it is here to open a connection or to start a program."""

EDITORS = {
    *("__future__", "_thread", "subprocess", "tempfile", "zipfile", "zlib"),
    *("gi", "krita", "pykrita", "squarewright_gimp"),
}
"""What the room for image editors may import besides: it asks editors what they are and starts a Python."""

CALLS = {"eval", "exec", "compile", "__import__", "breakpoint", "input"}
OF_OS = {"system", "popen", "execv", "execve", "spawnv", "posix_spawn", "startfile", "fork"}


def trees() -> list[tuple[Path, ast.Module]]:
    return [(path, ast.parse(path.read_text("utf-8"))) for path in sorted(PACKAGE.rglob("*.py"))]


def imported(tree: ast.Module) -> set[str]:
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module)
    # Taking an address apart reaches nowhere; the rest of that package does.
    return {name.split(".")[0] for name in found if name != "urllib.parse"}


def called(tree: ast.Module) -> set[str]:
    names = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    of_modules = [
        name for name in names if isinstance(name, ast.Attribute) and isinstance(name.value, ast.Name)
    ]
    return {name.id for name in names if isinstance(name, ast.Name)} & CALLS | {
        f"os.{name.attr}" for name in of_modules if name.value.id == "os" and name.attr in OF_OS
    }


def test_the_package_imports_nothing_that_reaches_out():
    files = trees()
    assert len(files) > 40
    for path, tree in files:
        known = MODULES | EDITORS if "editors" in path.relative_to(PACKAGE).parts else MODULES
        assert imported(tree) <= known, (path, imported(tree) - known)


def test_no_text_is_run_as_code_and_no_program_is_started():
    for path, tree in trees():
        assert not called(tree), (path, called(tree))


def test_nothing_is_started_through_a_shell():
    for path, tree in trees():
        words = [node.arg for node in ast.walk(tree) if isinstance(node, ast.keyword)]
        assert "shell" not in words and "create_subprocess_shell" not in path.read_text("utf-8"), path


def test_the_look_at_the_source_sees_what_it_looks_for():
    tree = ast.parse("import urllib.request\nfrom socket import socket\nos.system('x'); eval('1')")
    assert imported(tree) - MODULES == {"urllib", "socket"}
    assert called(tree) == {"os.system", "eval"}


@pytest.mark.parametrize("folder", CRATES, ids=["the core", "the bindings"])
def test_the_compiled_part_opens_no_file_no_connection_and_no_program(folder):
    files = list(folder.rglob("*.rs"))
    assert len(files) > 30
    for path in files:
        found = re.findall(r"\bstd::(?:net|fs|process|env|os)\b|\bunsafe\b", path.read_text("utf-8"))
        assert not found, (path, found)


def test_none_of_the_crates_is_there_for_the_network():
    lock = (ROOT / "Cargo.lock").read_text("utf-8")
    names = set(re.findall(r'^name = "(.+)"$', lock, re.MULTILINE))
    assert len(names) > 50
    assert not names & {
        "socket2",
        "mio",
        "tokio",
        "hyper",
        "reqwest",
        "ureq",
        "curl",
        "rustls",
        "native-tls",
        "openssl",
    }


def test_the_page_of_the_explorer_asks_nobody_and_takes_no_text_as_markup():
    script = (PACKAGE / "explorer" / "widget.js").read_text("utf-8")
    asks = r"fetch\(|XMLHttpRequest|WebSocket|EventSource|sendBeacon|importScripts"
    takes = r"\beval\(|new Function|innerHTML|outerHTML|insertAdjacentHTML|document\.write"
    assert not re.findall(f"{asks}|{takes}", script)
    assert set(re.findall(r"https?://[^\s\"'`]+", script)) <= {"http://www.w3.org/2000/svg"}


WATCHED = """
import sys
from squarewright.command import main
kinds = ("socket.", "subprocess.", "os.system", "os.exec", "os.spawn", "os.posix_spawn", "os.fork", "urllib.",
         "ftplib.", "smtplib.", "http.", "webbrowser.", "ctypes.", "pickle.")
seen = []
sys.addaudithook(lambda event, _: seen.append(event) if event.startswith(kinds) else None)
status = main(sys.argv[1:])
print(status, sorted(set(seen)), file=sys.stderr)
"""


@pytest.mark.parametrize(
    "arguments",
    [
        ["plan", "a.png", "--out", "out"],
        ["plan", "a.ora", "--out", "out"],
        ["compare", "a.png", "--out", "out.html"],
        ["bulk", "a.png", "a.ora", "--out", "out"],
        ["paints", "list"],
    ],
    ids=" ".join,
)
def test_no_verb_opens_a_connection_or_starts_a_program(arguments, tmp_path):
    """By the audit events of Python (PEP 578)."""
    (tmp_path / "a.png").write_bytes(png.lily())
    (tmp_path / "a.ora").write_bytes(document.ora(png.lily()))
    panel = [] if arguments[0] == "paints" else measured.PANEL
    answer = measured.python("-c", WATCHED, *arguments, *panel, folder=tmp_path)
    assert answer.err.splitlines()[-1] == "0 []", answer.err


def test_entries_of_a_document_never_become_files(tmp_path):
    """Names that climb out, lead to the root or hide are refused or left alone; no entry is written down."""
    (tmp_path / "deep").mkdir()
    for place, name in enumerate(
        ["../climbed.png", "/climbed.png", "C:\\climbed.png", "x/../../climbed.png", "a\0b"]
    ):
        path = tmp_path / "deep" / f"a{place}.ora"
        path.write_bytes(document.ora(png.lily(), more={name: b"climbed"}))
        before = measured.tree(tmp_path)
        measured.plan(path.name, tmp_path / "deep", "--dry-run").check_limits()
        assert measured.tree(tmp_path) == before


def keys_of(data: bytes) -> set[str]:
    """Give all names of entries in the dictionaries of a PDF."""
    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as pdf:
        kinds = (pikepdf.Dictionary, pikepdf.Stream)
        return {str(key) for each in pdf.objects if isinstance(each, kinds) for key in each.keys()}  # noqa: SIM118


@pytest.mark.parametrize(
    "name", [*HOSTILE, ") Tj 0 0 99 99 re f (", "\\) /AA << /S /JavaScript >>", "(((", "\\"]
)
def test_text_in_a_pdf_stays_text(name):
    """Names full of brackets and operators add nothing and open no action (ISO 32000-2, 7.3.4 and 12.6)."""
    grid = squarewright.Grid([[0]], ["#b3202b"])
    panel = squarewright.Panel("12 in", "12 in")

    def book(called: str) -> set[str]:
        plan = squarewright.plan(grid, panel=panel, pitch="1 in", name=called)
        return keys_of(plan.to_pdf(pages="cover"))

    assert book(name) == book("lily")
    assert not book(name) & {"/OpenAction", "/AA", "/AcroForm", "/JS", "/JavaScript", "/URI", "/A"}


def test_licences_of_others_are_in_what_is_installed():
    """The list itself is compared with the crates by ``make test``."""
    from importlib.metadata import distribution

    files = {Path(str(path)).name for path in distribution("squarewright").files or []}
    assert {"THIRD-PARTY.md", "LICENSE-MIT", "LICENSE-APACHE", "DejaVu-LICENSE.txt"} <= files


def test_a_licence_that_is_not_allowed_is_refused():
    script = (
        "import sys; sys.path.insert(0, sys.argv[1]); import licences; print(licences.chosen(*sys.argv[2:]))"
    )

    def chosen(expression: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-c", script, str(ROOT / "rust"), expression, "newt 1.0.0"]
        return subprocess.run(command, capture_output=True, text=True, check=False)

    assert chosen("MIT OR GPL-3.0-only").stdout == "['MIT']\n"
    assert chosen("(MIT OR Apache-2.0) AND Unicode-3.0").stdout == "['MIT', 'Unicode-3.0']\n"
    for expression in ("GPL-3.0-only", "MIT AND GPL-3.0-only", "MPL-2.0", ""):
        refused = chosen(expression)
        assert refused.returncode != 0 and "newt 1.0.0 is under" in refused.stderr
