"""The notebooks among the examples run from top to bottom, and are kept without what they print."""

import base64
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

EXAMPLES = Path(__file__).parent.parent / "examples"
NOTEBOOKS = ["a-wall", "bulk-with-dask", "first-figure", "from-a-photo", "my-own-paints", "trying-scales"]


@pytest.fixture(scope="module")
def bench(tmp_path_factory):
    """Give a copy of the examples, as notebooks write beside themselves."""
    folder = tmp_path_factory.mktemp("notebooks")
    shutil.copytree(EXAMPLES, folder / "examples", ignore=shutil.ignore_patterns("*-plan"))
    return folder / "examples"


def test_all_notebooks_are_known() -> None:
    assert sorted(path.stem for path in EXAMPLES.glob("*.ipynb")) == NOTEBOOKS


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_a_notebook_runs(name, bench, monkeypatch) -> None:
    for place in ("IPYTHONDIR", "JUPYTER_RUNTIME_DIR"):
        monkeypatch.setenv(place, str(bench.parent / place.lower()))
    notebook = nbformat.read(bench / f"{name}.ipynb", as_version=4)
    cells = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert all(not cell.outputs and cell.execution_count is None for cell in cells)
    NotebookClient(notebook, timeout=120, resources={"metadata": {"path": str(bench)}}).execute()
    said = [output for cell in cells for output in cell.outputs]
    assert all(output.output_type != "error" for output in said)
    assert [output.text for output in said if output.get("name") == "stderr"] == []
    shown = [output.data for output in said if output.output_type == "execute_result"]
    pictures = [base64.b64decode(data["image/png"]) for data in shown if "image/png" in data]
    assert pictures and all(png.startswith(b"\x89PNG") for png in pictures)
    if "explorer" in "".join(cell.source for cell in cells):
        live = [data for data in shown if "application/vnd.jupyter.widget-view+json" in data]
        assert len(live) == 1 and "data:image/png;base64," in live[0]["text/html"]
    if name == "a-wall":
        assert (bench / "pond-wall-plan" / "index.html").is_file()
    if name == "first-figure":
        assert (bench / "heron-plan" / "book.pdf").is_file()


def test_type_checkers_take_all_notebooks_as_they_are(tmp_path) -> None:
    for name in NOTEBOOKS:
        notebook = nbformat.read(EXAMPLES / f"{name}.ipynb", as_version=4)
        code = [cell.source for cell in notebook.cells if cell.cell_type == "code"]
        tmp_path.joinpath(f"{name.replace('-', '_')}.py").write_text("\n".join(code), "utf-8")
    checked = [sys.executable, "-m", "mypy", "--config-file", EXAMPLES.parent / "pyproject.toml", tmp_path]
    done = subprocess.run(checked, cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
