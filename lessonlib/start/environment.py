"""Finds a Python that has everything: this one, or that of `.venv`, which is set up if need be."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

from lessonlib.files import only_one
from lessonlib.start import requirements
from lessonlib.start.installer import VENV, Runner, fill, python_in, run
from lessonlib.start.requirements import Checkout, lacking
from lessonlib.start.trouble import StartError

_AGAIN = "HEATER_WORKBOOK_SET_UP"  # set for the second process, so that set-up cannot go in circles
_PATIENCE_S = 1800.0


def suitable_python(
    project: Checkout,
    extra: str | None = None,
    *,
    runner: Runner = run,
    say: Callable[[str], None] = print,
) -> Path:
    """A Python that has everything: this one if it does, else that of `.venv`, made if need be.

    Raises `StartError`, with the reason, when the environment cannot be made.
    """
    missing = lacking(project, extra)
    again = os.environ.pop(_AGAIN, None)
    if not missing:
        return Path(sys.executable)
    venv = project.folder / VENV
    if again is not None:
        raise StartError(
            f"after set-up still without {', '.join(missing)}",
            "an environment that has what pyproject.toml asks for",
            f"remove the folder {venv} and give the same command again",
        )
    try:
        with only_one(
            _lock_for(project.folder),
            patience_s=_PATIENCE_S,
            waiting=lambda: say("Another set-up of this project is running; waiting for it."),
        ):
            _set_up(project, extra, runner, say)
    except OSError as problem:
        raise StartError(
            f"{problem.strerror or problem} while making {venv}",
            "a folder of the project that you may write to, with space on the disk",
            "put that right, then give the same command again",
        ) from None
    return python_in(venv)


def go_on_with(python: Path, arguments: Sequence[str]) -> NoReturn:
    """Run this command again with another Python, in place of this process where possible."""
    command = [str(python), "-m", "lessonlib", *arguments]
    environment = {**os.environ, _AGAIN: "1"}
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name == "nt":  # there, exec would return the prompt while the new process still runs
        sys.exit(subprocess.call(command, env=environment))
    os.execve(command[0], command, environment)


def _set_up(
    project: Checkout, extra: str | None, runner: Runner, say: Callable[[str], None]
) -> None:
    if _has_everything(project, extra, runner):
        return
    say(
        f"Set-up, needed once: installing what the workbook uses into\n  {project.folder / VENV}\n"
        "This may take some minutes, and needs the internet."
    )
    fill(project, extra, runner=runner, say=say)
    say("Set-up done.")


def _has_everything(project: Checkout, extra: str | None, runner: Runner) -> bool:
    """Whether the environment's own Python says so."""
    python = python_in(project.folder / VENV)
    command = [str(python), "-m", requirements.__name__, *([extra] if extra else [])]
    return python.exists() and runner(command, project.folder).code == 0


def _lock_for(folder: Path) -> Path:
    """A lock outside the project, so that set-up adds nothing there but `.venv`."""
    name = hashlib.sha256(str(folder).encode("utf-8", "surrogateescape")).hexdigest()[:16]
    user = os.getuid() if os.name != "nt" else ""
    return Path(tempfile.gettempdir()) / f"heater-workbook-{user}-{name}.lock"
