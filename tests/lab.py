"""JupyterLab with one notebook, as a maker has it, and a browser that looks at it."""

import contextlib
import json
import os
import secrets
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

CHROMIUM = "/usr/bin/chromium"
KERNEL = {"name": "python3", "display_name": "Python 3", "language": "python"}

RUN = """
async (code) => {
  const kernel = window.jupyterapp.shell.currentWidget.sessionContext.session.kernel;
  const future = kernel.requestExecute({ code });
  let told = '';
  future.onIOPub = ({ content }) => { told += content.text ?? (content.traceback ?? []).join('\\n'); };
  await future.done;
  return told;
}
"""


def notebook(*cells: str) -> dict:
    """Give a notebook of these cells of code."""
    made = [
        {"id": f"cell-{place}", "cell_type": "code", "source": cell, "metadata": {}, "outputs": []}
        | {"execution_count": None}
        for place, cell in enumerate(cells)
    ]
    return {"cells": made, "metadata": {"kernelspec": KERNEL}, "nbformat": 4, "nbformat_minor": 5}


@contextlib.contextmanager
def serve(folder: Path):
    """Run JupyterLab in a folder, with nothing of this user's own; give its address and its log."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    token, log = secrets.token_hex(16), folder / "lab.log"
    places = {name: str(folder / name.lower()) for name in ("HOME", "IPYTHONDIR", "JUPYTER_RUNTIME_DIR")}
    work, settings = folder / "work", folder / "config/lab/user-settings/@jupyterlab/apputils-extension"
    settings.mkdir(parents=True)
    (settings / "notification.jupyterlab-settings").write_text('{"fetchNews": "false"}')
    own = {"JUPYTER_CONFIG_DIR": str(folder / "config"), "JUPYTER_DATA_DIR": str(folder / "data")}
    for place in places.values():
        Path(place).mkdir()
    options = [
        "--no-browser",
        "--allow-root",
        f"--port={port}",
        "--ip=127.0.0.1",
        f"--IdentityProvider.token={token}",
        f"--ServerApp.root_dir={work}",
        "--LabApp.expose_app_in_browser=True",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    ]
    with log.open("w") as said:
        command = [sys.executable, "-m", "jupyterlab", *options]
        server = subprocess.Popen(command, env={**os.environ, **places, **own}, stdout=said, stderr=said)
    try:
        _wait(f"http://127.0.0.1:{port}/api?token={token}", server, log)
        yield f"http://127.0.0.1:{port}/lab/tree/figure.ipynb?token={token}", log
    finally:
        server.terminate()
        server.wait(20)


def _wait(address: str, server: subprocess.Popen, log: Path) -> None:
    for _ in range(600):
        assert server.poll() is None, log.read_text()
        with contextlib.suppress(OSError), urllib.request.urlopen(address, timeout=5):
            return
        time.sleep(0.1)
    raise AssertionError(log.read_text())


@contextlib.contextmanager
def opened(folder: Path, *cells: str):
    """Open a notebook of these cells in the browser and run them; give the page and the log of the server."""
    (folder / "work").mkdir()
    (folder / "work" / "figure.ipynb").write_text(json.dumps(notebook(*cells)))
    with serve(folder) as (address, log), sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 1000})
        page.set_default_timeout(60_000)
        page.goto(address)
        idle = "window.jupyterapp?.shell.currentWidget?.sessionContext?.session?.kernel?.status === 'idle'"
        page.wait_for_function(idle)
        page.evaluate("window.jupyterapp.commands.execute('notebook:run-all-cells')")
        yield page, log
        browser.close()


def run(page: Page, code: str) -> str:
    """Run code in the kernel of the open notebook; give what it prints."""
    return page.evaluate(RUN, code)
