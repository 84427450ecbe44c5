"""JupyterLab: only on this computer, on a port that is free, without questions, ended cleanly."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from lessonlib.start.lab import lab_command, lab_environment, open_lab, usable_port
from lessonlib.start.requirements import checkout as read_checkout
from lessonlib.start.requirements import lacking
from lessonlib.start.trouble import StartError


@pytest.fixture
def taken() -> object:
    with socket.socket() as server:
        server.bind(("127.0.0.1", 0))
        server.listen()
        yield server.getsockname()[1]


def test_a_taken_port_is_refused_and_a_free_one_used_as_asked(taken: int) -> None:
    with pytest.raises(StartError, match=f"port {taken} cannot be used"):
        usable_port(taken)
    with socket.socket() as server:
        server.bind(("127.0.0.1", 0))
        free = server.getsockname()[1]
    assert usable_port(free) == free


def test_without_a_wish_a_port_that_can_be_listened_on_is_found() -> None:
    port = usable_port(None)
    with socket.socket() as server:
        # as the server does, so that a port that was closed a moment ago counts as free
        server.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        server.bind(("127.0.0.1", port))
        assert server.getsockname()[1] == port


def test_the_server_is_for_this_computer_and_folder_and_opens_at_the_page() -> None:
    command = lab_command(
        Path("/some/folder"), port=9000, browser=False, page="/lab/tree/a.ipynb", root=False
    )
    assert "--ServerApp.ip=127.0.0.1" in command
    assert "--ServerApp.root_dir=/some/folder" in command
    assert "--ServerApp.open_browser=False" in command
    assert "--LabApp.default_url=/lab/tree/a.ipynb" in command
    assert not any("token" in word or "password" in word for word in command)


def listens(port: int) -> bool:
    with socket.socket() as client:
        return client.connect_ex(("127.0.0.1", port)) == 0


class Workbook:
    """The whole command, running."""

    def __init__(self, folder: Path, checkout: Path) -> None:
        # a folder of its own for what Jupyter keeps, so that no test sees another's
        settings = {**os.environ, "JUPYTER_CONFIG_DIR": str(folder.parent / "config")}
        settings["JUPYTER_RUNTIME_DIR"] = str(folder.parent / "runtime")
        settings["JUPYTERLAB_WORKSPACES_DIR"] = str(folder.parent / "workspaces")
        # where the tests run in the background the shell has them ignore Ctrl-C, and all they start
        signal.signal(signal.SIGINT, signal.default_int_handler)
        self.process = subprocess.Popen(
            [sys.executable, "-m", "lessonlib", str(folder), "--no-browser"],
            cwd=checkout,
            env=settings,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        self.said = ""

    def address(self) -> str:
        """The address that is printed, which works from then on."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.said += line
            if match := re.search(r"http://127\.0\.0\.1:\d+/\S*", line):
                return match[0]
        raise AssertionError(f"no address in:\n{self.said}")

    def interrupt(self) -> int:
        """Ctrl-C reaches the terminal's whole group of processes, as here."""
        os.killpg(self.process.pid, signal.SIGINT)
        assert self.process.stdout is not None
        self.said += self.process.stdout.read()
        return self.process.wait()


@pytest.fixture
def running(tmp_path: Path, checkout: Path) -> object:
    project = read_checkout(checkout)
    if project is None or lacking(project, None):
        pytest.skip("this Python is not set up: python3 -m lessonlib test sets one up")
    workbook = Workbook(tmp_path / "mine", checkout)
    # a server that hangs must fail the test, not hold up all others
    watchdog = threading.Timer(120, workbook.process.terminate)
    watchdog.start()
    yield workbook
    watchdog.cancel()
    workbook.process.terminate()  # no harm when it has ended; the server is ended by it in turn
    workbook.process.wait()
    assert workbook.process.stdout is not None
    workbook.process.stdout.close()


def test_python3_in_its_terminal_has_lessonlib_whichever_python_that_is(checkout: Path) -> None:
    found = lab_environment({"PATH": "/elsewhere", "PYTHONPATH": "/own"}, "token")
    assert found["PATH"].split(os.pathsep) == [str(Path(sys.executable).parent), "/elsewhere"]
    assert found["PYTHONPATH"].split(os.pathsep) == [str(checkout), "/own"]
    assert lab_environment({}, "token")["PYTHONPATH"] == str(checkout)


def test_the_command_serves_the_trainee_s_copy_and_ends_on_ctrl_c(
    running: Workbook, tmp_path: Path
) -> None:
    address = running.address()
    with urllib.request.urlopen(address) as page:  # no question for a password
        assert page.url.partition("?")[0].endswith("/lab/tree/00_start_here.ipynb")
    base, token = re.match(r"(http://[^/]+)/.*token=(\w+)", address).groups()
    with pytest.raises(urllib.error.HTTPError, match="403") as refused:
        urllib.request.urlopen(f"{base}/api/contents")
    refused.value.close()

    def get(path: str) -> dict[str, Any]:
        request = urllib.request.Request(
            f"{base}/{path}", headers={"Authorization": f"token {token}"}
        )
        with urllib.request.urlopen(request) as answer:
            return json.load(answer)

    names = {entry["name"] for entry in get("api/contents/appliances")["content"]}
    assert "tea-urn.toml" in names
    notices = get("lab/api/settings/@jupyterlab/apputils-extension:notification")
    fetch = notices["schema"]["properties"]["fetchNews"]
    assert fetch["default"] == "false", "JupyterLab would ask about news over the first lesson"
    assert running.interrupt() == 0
    assert f"Closed. Your work is in {tmp_path / 'mine'}" in running.said
    assert "Traceback" not in running.said


SERVES = """
import sys
from pathlib import Path
from lessonlib.start.lab import open_lab
command = [sys.executable, "-m", "http.server", "--bind", "127.0.0.1", sys.argv[1]]
ready = lambda: print("ready", flush=True)
open_lab(command, Path.cwd(), {}, port=int(sys.argv[1]), ready=ready)
print("Closed.")
"""


def test_a_stop_from_the_system_ends_the_server_too(checkout: Path) -> None:
    port = usable_port(None)
    process = subprocess.Popen(
        [sys.executable, "-c", SERVES, str(port)],
        cwd=checkout,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    assert listens(port)
    process.terminate()
    said, _ = process.communicate()
    assert said == "Closed.\n"
    assert not listens(port)


@pytest.mark.skipif(os.name == "nt", reason="Windows has no process groups of this kind")
def test_the_server_is_out_of_reach_of_the_terminal_s_ctrl_c(tmp_path: Path) -> None:
    code = f"import os, sys; sys.exit(5 if os.getpgrp() == {os.getpgrp()} else 6)"
    command = [sys.executable, "-c", code]
    assert open_lab(command, tmp_path, os.environ, port=0, ready=lambda: None) == 6
