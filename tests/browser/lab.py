"""A real JupyterLab, started by the project's own command, and a page of it to drive."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

START_S = 60
TOKEN = "bench"
RUN_MS = 120_000


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def running_lab(project: Path, home: Path) -> Iterator[tuple[str, Path]]:
    """Address of a running workbook and the folder of its working copy.

    The home folder is empty, so nothing of the person who runs the tests is read or written.
    """
    folder, port = home / "workbook", free_port()
    environment = {
        **{k: v for k, v in os.environ.items() if not k.startswith(("JUPYTER", "IPYTHON"))},
        "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"),
        "XDG_CONFIG_HOME": str(home / "config"),
        "JUPYTER_TOKEN": TOKEN,
    }
    log = (home / "lab.log").open("wb")
    process = subprocess.Popen(
        [sys.executable, "-m", "lessonlib", str(folder), "--no-browser", "--port", str(port)],
        cwd=project,
        env=environment,
        stdout=log,
        stderr=subprocess.STDOUT,
    )
    try:
        yield _address(process, port, home / "lab.log"), folder
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(timeout=30)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        log.close()


def _address(process: subprocess.Popen[bytes], port: int, log: Path) -> str:
    """The server's address, once it answers."""
    end = time.monotonic() + START_S
    while time.monotonic() < end:
        if process.poll() is not None:
            break
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/api", timeout=2):
                return f"http://127.0.0.1:{port}"
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
    raise AssertionError(f"JupyterLab did not start:\n{log.read_text('utf-8', 'replace')}")


def _failure(output: dict[str, Any]) -> str:
    """Text of an output that is an error or a warning; empty for any other."""
    if output["output_type"] == "error":
        return "\n".join(output["traceback"])
    return "".join(output["text"]) if output.get("name") == "stderr" else ""


def write_notebook(folder: Path, name: str, *cells: str) -> None:
    """A notebook with these code cells, not run yet."""
    code = {"cell_type": "code", "execution_count": None, "metadata": {}, "outputs": []}
    notebook = {
        "cells": [{**code, "id": f"c{n}", "source": text} for n, text in enumerate(cells)],
        "metadata": {"kernelspec": {"name": "python3", "display_name": "Python 3"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    (folder / name).write_text(json.dumps(notebook), encoding="utf-8")


class Lesson:
    """One lesson open in JupyterLab, driven as a person would."""

    def __init__(self, page: Any, address: str) -> None:
        self.page = page
        self.address = address
        self.foreign: list[str] = []
        self.errors: list[str] = []
        page.on("request", self._note_request)
        page.on("pageerror", lambda error: self.errors.append(str(error)))

    def _note_request(self, request: Any) -> None:
        where = urlsplit(request.url)
        if where.scheme in ("http", "https", "ws", "wss") and where.hostname != "127.0.0.1":
            self.foreign.append(request.url)

    def open(self, name: str) -> None:
        """Open by the lesson's own address and wait for its kernel."""
        self.page.goto(f"{self.address}/lab/tree/{quote(name)}?token={TOKEN}&reset")
        self.page.locator(".jp-Notebook").first.wait_for(timeout=RUN_MS)
        self.page.wait_for_function(
            """() => {
                const kernel = document.querySelector('.jp-Toolbar-kernelName')?.textContent;
                const status = document.querySelector('.jp-Notebook-ExecutionIndicator');
                return /Python/.test(kernel) && status?.dataset.status === 'idle';
            }""",
            timeout=RUN_MS,
        )

    def menu(self, first: str, second: str) -> None:
        bar = self.page.locator(".lm-MenuBar-itemLabel", has_text=re.compile(f"^{first}$"))
        bar.first.click()
        item = self.page.locator(".lm-Menu-itemLabel", has_text=re.compile(f"^{second}"))
        item.first.click()

    def run_all(self, file: Path) -> list[str]:
        """Run every cell, save, and return the text of every error and every warning.

        The saved file is read, since JupyterLab keeps only the cells in view on the page.
        """
        self.menu("Run", "Run All Cells")
        end = time.monotonic() + RUN_MS / 1000
        while time.monotonic() < end:
            self.page.wait_for_timeout(1500)
            self.menu("File", "Save Notebook")
            self.page.wait_for_timeout(500)
            code = [
                cell
                for cell in json.loads(file.read_text("utf-8"))["cells"]
                if cell["cell_type"] == "code" and cell["source"]
            ]
            failed = [text for cell in code for text in map(_failure, cell["outputs"]) if text]
            if failed or all(cell["execution_count"] for cell in code):
                return failed
            begun = self.page.locator(".jp-InputPrompt", has_text=re.compile(r"\[[\d*]"))
            if not begun.count() and not any(cell["execution_count"] for cell in code):
                self.menu("Run", "Run All Cells")  # a kernel that was not ready has dropped it
        raise AssertionError(f"{file.name}: some cells were not run in {RUN_MS / 1000:.0f} s")

    def scroll_to_panel(self) -> Any:
        """The first live picture of the lesson, brought into view."""
        panel = self.page.locator(".hcp").first
        for _ in range(60):
            if panel.count():
                break
            self.page.mouse.wheel(0, 600)
            self.page.wait_for_timeout(100)
        panel.scroll_into_view_if_needed()
        return panel
