"""A real JupyterLab, started by the project's own command, and a page of it to drive."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

from playwright.sync_api import TimeoutError as PlaywrightTimeout

from tests.browser.waiting import frames, until

START_S = 120
TOKEN = "bench"
RUN_MS = 120_000
PRESS_AGAIN_MS = 10_000
LOOK_EVERY_MS = 100  # not in each frame, which would keep the browser busy

IDLE = """() => {
    const kernel = document.querySelector('.jp-Toolbar-kernelName')?.textContent;
    const status = document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status;
    const waiting = [...document.querySelectorAll('.jp-InputPrompt')]
        .some((prompt) => prompt.textContent.includes('*'));
    return /Python/.test(kernel) && status === 'idle' && !waiting;
}"""
THEME = "name => document.body.dataset.jpThemeName === name"
WIDGET_STATES = "application/vnd.jupyter.widget-state+json"
CLOSED = "() => !document.querySelector('.jp-NotebookPanel')"
CLOSED_OR_ASKED = f"{CLOSED} || document.querySelector('.jp-Dialog')"
NO_KERNEL = "() => /No Kernel/.test(document.querySelector('.jp-Toolbar-kernelName')?.textContent)"


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
    address = f"http://127.0.0.1:{port}"
    try:
        until(
            lambda: process.poll() is not None or _answers(address),
            START_S,
            lambda: _not_started(home),
        )
        assert process.poll() is None, _not_started(home)
        yield address, folder
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(timeout=30)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        log.close()


def _is_checkpoint(said: Any) -> bool:
    return said.request.method == "POST" and urlsplit(said.url).path.endswith("/checkpoints")


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(f"{address}/api", timeout=2):
            return True
    except OSError:
        return False


def _not_started(home: Path) -> str:
    return f"JupyterLab did not start:\n{(home / 'lab.log').read_text('utf-8', 'replace')}"


def _failure(output: dict[str, Any]) -> str:
    """Text of an output that is an error or a warning; empty for any other."""
    if output["output_type"] == "error":
        return "\n".join(output["traceback"])
    return "".join(output["text"]) if output.get("name") == "stderr" else ""


class Text(str):
    """What a text cell says, where other cells are code."""


class Lesson:
    """One notebook open in JupyterLab, driven as a person would."""

    def __init__(self, page: Any, address: str, folder: Path) -> None:
        self.page = page
        self.address = address
        self.folder = folder
        self.file = folder
        self.foreign: list[str] = []
        self.errors: list[str] = []
        page.set_default_timeout(RUN_MS)  # for every wait: a busy machine is only later
        page.on("request", self._note_request)
        page.on("pageerror", self._note_error)

    def _note_request(self, request: Any) -> None:
        where = urlsplit(request.url)
        if where.scheme in ("http", "https", "ws", "wss") and where.hostname != "127.0.0.1":
            self.foreign.append(request.url)

    def _note_error(self, error: Any) -> None:
        self.errors.append(f"{error}\n{error.stack}")

    def close(self) -> None:
        """Close the notebook and end its kernel; nothing foreign was asked for, nothing went wrong.
        The page stays, as loading JupyterLab takes longer than most tests."""
        self.menu("File", "Close All Tabs")
        self.page.wait_for_function(CLOSED_OR_ASKED)
        if self.page.locator(".jp-Dialog").count():
            self.page.locator(".jp-Dialog").get_by_role("button", name="Discard").click()
            self.page.wait_for_function(CLOSED)
        self.page.evaluate("sessionStorage.clear()")  # where forms keep what was typed
        self.page.remove_listener("request", self._note_request)
        self.page.remove_listener("pageerror", self._note_error)
        self._end_kernels()
        for kept in self.folder.glob("progress.jsonl*"):
            kept.unlink()  # no test finds what another has answered
        assert self.foreign == [], "requests to another host"
        assert self.errors == [], self.errors

    def _end_kernels(self) -> None:
        for session in json.loads(self._api("GET", "api/sessions")):
            self._api("DELETE", f"api/sessions/{session['id']}")

    def _api(self, method: str, path: str) -> bytes:
        headers = {"Authorization": f"token {TOKEN}"}
        url = f"{self.address}/{path}"
        with urllib.request.urlopen(urllib.request.Request(url, None, headers, method=method)) as r:
            return bytes(r.read())

    def write(self, name: str, *cells: str) -> None:
        """A notebook of this name with these cells, not run yet."""
        text: dict[str, Any] = {"cell_type": "markdown", "metadata": {}}
        code = {"cell_type": "code", "execution_count": None, "metadata": {}, "outputs": []}
        notebook = {
            "cells": [
                {**(text if isinstance(cell, Text) else code), "id": f"c{n}", "source": cell}
                for n, cell in enumerate(cells)
            ],
            "metadata": {"kernelspec": {"name": "python3", "display_name": "Python 3"}},
            "nbformat": 4,
            "nbformat_minor": 5,
        }
        (self.folder / name).write_text(json.dumps(notebook), encoding="utf-8")

    def open(self, name: str, *, by_address: bool = False) -> None:
        """Open by the lesson's own address, or, on a page that is there, by its path, and wait for
        its kernel."""
        self.file = self.folder / name
        shown = self.page.locator(".jp-Notebook").first
        if not by_address and self.page.locator(".lm-MenuBar").count():
            self.menu("File", "Open from Path")
            self.page.locator(".jp-Dialog input").fill(name)
            self.page.keyboard.press("Enter")
            shown.wait_for(state="attached")
            # the launcher, which follows the last tab that was closed, may come to the front
            frames(self.page, 30)
        if by_address or not (shown.count() and shown.is_visible()):
            self.page.goto(f"{self.address}/lab/tree/{quote(name)}?token={TOKEN}&reset")
        shown.wait_for()
        self.idle()

    def idle(self) -> None:
        """Wait until the kernel has nothing to do, and no cell waits for it."""
        self.page.wait_for_function(IDLE, polling=LOOK_EVERY_MS)

    def open_and_run(self, name: str, *cells: str) -> None:
        """Write a notebook of these cells, open it, and run it without an error."""
        self.write(name, *cells)
        self.open(name)
        assert self.run_all() == []

    def menu(self, first: str, second: str) -> None:
        bar = self.page.locator(".lm-MenuBar-itemLabel", has_text=re.compile(f"^{first}$"))
        bar.first.click()
        item = self.page.locator(".lm-Menu-itemLabel", has_text=re.compile(f"^{second}"))
        item.first.click()

    def turn_to(self, theme: str) -> None:
        """Change JupyterLab's theme, to "light" or "dark"."""
        name = f"JupyterLab {theme.title()}"
        self.page.locator(".lm-MenuBar-itemLabel", has_text=re.compile("^Settings$")).click()
        self.page.locator(".lm-Menu-itemLabel", has_text=re.compile("^Theme$")).hover()
        self.page.locator(".lm-Menu-itemLabel", has_text=re.compile(f"^{name}$")).click()
        self.page.wait_for_function(THEME, arg=name)

    def save(self) -> None:
        """Save; the file is written when this returns, and JupyterLab ready to save again: while it
        opens a page, or saves and makes its checkpoint, it passes over a press without a word."""

        def saved() -> bool:
            try:
                with self.page.expect_response(_is_checkpoint, timeout=PRESS_AGAIN_MS):
                    self.menu("File", "Save Notebook")
            except PlaywrightTimeout:
                self.page.keyboard.press("Escape")  # the menu, which stays open on what is greyed
                return False
            return True

        until(saved, RUN_MS / 1000, lambda: f"{self.file.name} was not saved")
        frames(self.page)

    def save_with(self, words: str) -> None:
        """Save until the file holds these words: what is typed is passed on once typing pauses."""

        def saved() -> bool:
            self.save()
            return words in self.file.read_text("utf-8")

        until(saved, RUN_MS / 1000, lambda: f"{words!r} was not saved")

    def shut_down_kernel(self) -> None:
        self.menu("Kernel", "Shut Down Kernel")
        self.page.wait_for_function(NO_KERNEL)

    def leave(self) -> None:
        """Save and leave; no kernel is left."""
        self.save()
        name = self.file.name
        until(
            lambda: name in self._api("GET", "lab/api/workspaces/default").decode(),
            RUN_MS / 1000,
            lambda: f"{name} is not among the tabs to restore",
        )
        self.page.goto("about:blank")
        self._end_kernels()

    def come_back(self) -> None:
        """Come back to the tabs that were open."""
        self.page.goto(f"{self.address}/lab?token={TOKEN}")

    def next_day(self) -> None:
        """Leave, come back, and wait for the new kernel."""
        self.leave()
        self.come_back()
        self.page.locator(".jp-Notebook").first.wait_for()
        self.idle()

    def states(self) -> dict[str, Any]:
        """The saved state of each widget, by its id."""
        widgets = json.loads(self.file.read_text("utf-8"))["metadata"].get("widgets", {})
        return dict(widgets.get(WIDGET_STATES, {}).get("state", {}))

    def run_all(self) -> list[str]:
        """Run every cell, save, and return the text of every error and every warning.

        The saved file is read, since JupyterLab keeps only the cells in view on the page.
        """
        self.menu("Run", "Run All Cells")

        def verdict() -> tuple[list[str]] | None:
            self.idle()
            self.save()
            cells = json.loads(self.file.read_text("utf-8"))["cells"]
            code = [cell for cell in cells if cell["cell_type"] == "code" and cell["source"]]
            failed = [text for cell in code for text in map(_failure, cell["outputs"]) if text]
            return (failed,) if failed or all(cell["execution_count"] for cell in code) else None

        (failed,) = until(
            verdict, RUN_MS / 1000, lambda: f"{self.file.name}: some cells were not run"
        )
        return failed

    def scroll_to_panel(self) -> Any:
        """The first live picture of the lesson, brought into view."""
        panel = self.page.locator(".hcp").first

        def seen() -> int:
            if not panel.count():
                self.page.mouse.wheel(0, 600)
                frames(self.page)  # the cells that have come into view are drawn
            return int(panel.count())

        until(seen, RUN_MS / 1000, lambda: "no live picture on the page")
        panel.scroll_into_view_if_needed()
        return panel
