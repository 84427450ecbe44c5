"""Starts JupyterLab on this computer only, and ends it with this process."""

from __future__ import annotations

import importlib.util
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from lessonlib.start.requirements import checkout
from lessonlib.start.trouble import StartError

HOST = "127.0.0.1"
_SETTINGS = Path(__file__).resolve().parent / "jupyter"
_FIRST_PORT, _LAST_PORT = 8888, 8987


def usable_port(wanted: int | None) -> int:
    """The wanted port, or without one a free port. Raises `StartError` when it cannot be used."""
    if wanted is None:
        for port in range(_FIRST_PORT, _LAST_PORT + 1):
            if _refusal(port) is None:
                return port
        raise StartError(
            f"no free port from {_FIRST_PORT} to {_LAST_PORT}",
            "a free port",
            "close another notebook server, or name a free port with --port",
        )
    refusal = _refusal(wanted)
    if refusal is not None:
        raise StartError(
            f"port {wanted} cannot be used ({refusal})",
            "a free port",
            "leave --port out to use a free one; if it is a workbook that you started before, "
            "use that one",
        )
    return wanted


def lab_command(folder: Path, *, port: int, browser: bool, page: str, root: bool) -> list[str]:
    """The JupyterLab command, which opens that `page`: quiet, without an update check."""
    command = [
        sys.executable,
        "-m",
        "jupyterlab",
        f"--ServerApp.ip={HOST}",
        f"--ServerApp.port={port}",
        "--ServerApp.port_retries=0",
        f"--ServerApp.root_dir={folder}",
        f"--ServerApp.open_browser={browser}",
        f"--LabApp.default_url={page}",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        f"--LabApp.extra_labextensions_path={_SETTINGS / 'labextensions'}",
        "--Application.log_level=ERROR",
        # kernels that can encrypt do so; without it each one warns in the terminal
        "--KernelManager.transport_encryption=auto",
    ]
    # it refuses to run as root unless told so; here it only listens to this computer
    return [*command, "--ServerApp.allow_root=True"] if root else command


def lab_environment(own: Mapping[str, str], token: str) -> dict[str, str]:
    """Environment variables for JupyterLab, added to those of this process."""

    def with_settings(name: str) -> str:
        return os.pathsep.join([str(_SETTINGS), *filter(None, [own.get(name)])])

    project = checkout()
    source = [] if project is None else [str(project.folder)]
    return {
        **own,
        # our settings and extension, in this server only: the user's own stay as they are
        "JUPYTER_CONFIG_PATH": with_settings("JUPYTER_CONFIG_PATH"),
        "JUPYTER_PATH": with_settings("JUPYTER_PATH"),
        "JUPYTER_TOKEN": token,  # not on the command line, which other users can see
        # in its terminal too python3 has lessonlib, also where the shell puts another one first
        "PATH": os.pathsep.join([str(Path(sys.executable).parent), own.get("PATH", os.defpath)]),
        "PYTHONPATH": os.pathsep.join([*source, *filter(None, [own.get("PYTHONPATH")])]),
        # kernels of this environment come before others that the user may have installed
        "JUPYTER_PREFER_ENV_PATH": "1",
    }


def check_installed() -> None:
    """Raises `StartError` when this Python has no JupyterLab."""
    if importlib.util.find_spec("jupyterlab") is None:
        raise StartError(
            f"no JupyterLab in {sys.executable}",
            "an installed copy with everything it depends on",
            f"{sys.executable} -m pip install jupyterlab",
        )


def open_lab(
    command: Sequence[str],
    folder: Path,
    environment: Mapping[str, str],
    *,
    port: int,
    ready: Callable[[], None],
) -> int:
    """Run JupyterLab until it ends or Ctrl-C is pressed; returns its exit code. Calls `ready` once
    it listens at the port.

    The terminal's Ctrl-C does not reach it, as it does not always stop cleanly on that. It is asked
    to stop instead, and then shuts down its kernels.
    """
    process = subprocess.Popen(
        command,
        cwd=folder,
        env=environment,
        stdin=subprocess.DEVNULL,
        process_group=None if os.name == "nt" else 0,
    )
    ends = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    former = {end: signal.signal(end, lambda number, frame: process.terminate()) for end in ends}
    try:
        while process.poll() is None and not _listens(port):
            time.sleep(0.05)
        if process.poll() is None:
            ready()
        return process.wait()
    except KeyboardInterrupt:
        process.terminate()
        return 0
    finally:
        _end(process)
        for end, handler in former.items():
            signal.signal(end, handler)


def _end(process: subprocess.Popen[bytes]) -> None:
    """Give it time to shut down its kernels; then kill it."""
    try:
        process.wait(timeout=15)
    except (subprocess.TimeoutExpired, KeyboardInterrupt):
        process.kill()
        process.wait()


def _listens(port: int) -> bool:
    with socket.socket() as client:
        return client.connect_ex((HOST, port)) == 0


def _refusal(port: int) -> str | None:
    """Why the port cannot be used; None when it can."""
    with socket.socket() as probe:
        if os.name != "nt":  # as the server does: a port that was closed a moment ago is free
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError as problem:
            return problem.strerror or str(problem)
    return None
