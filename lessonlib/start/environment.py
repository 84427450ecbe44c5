"""Makes the project's own Python environment, `.venv`, when something is missing."""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import subprocess
import sys
import tempfile
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from lessonlib.files import only_one, put, read_regular
from lessonlib.start.requirements import Checkout, lacking
from lessonlib.start.trouble import StartError

STAMP = "heater-workbook-setup.json"
_AGAIN = "HEATER_WORKBOOK_SET_UP"  # set for the second process, so that set-up cannot go in circles
_PATIENCE_S = 1800.0


@dataclass(frozen=True)
class Outcome:
    """How a command ended, with the last lines it printed."""

    code: int
    last_lines: str = ""


class Runner(Protocol):
    """Runs a command in a folder and waits for it; replaced in tests."""

    def __call__(self, command: Sequence[str], folder: Path) -> Outcome: ...


def run(command: Sequence[str], folder: Path) -> Outcome:
    """Run the command; on a terminal, show which package is being fetched."""
    # the user's pip settings may ask for a --user install, which an environment refuses
    settings = {**os.environ, "PIP_USER": "0", "PYTHONUNBUFFERED": "1"}
    last: deque[str] = deque(maxlen=15)
    shows = sys.stdout.isatty()
    try:
        with subprocess.Popen(
            command,
            cwd=folder,
            env=settings,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
        ) as process:
            assert process.stdout is not None
            for line in process.stdout:
                last.append(line.rstrip())
                if shows and line.startswith("Collecting "):
                    print(f"\r  fetching {line.split()[1][:50]:<50}", end="", flush=True)
        if shows:
            print(f"\r{'':<61}\r", end="", flush=True)
    except OSError as problem:
        return Outcome(127, str(problem))
    return Outcome(process.returncode, "\n".join(last))


def python_in(venv: Path) -> Path:
    """The Python program of an environment."""
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


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
    venv = project.folder / ".venv"
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
            _set_up(project, extra, venv, runner, say)
    except OSError as problem:
        raise StartError(
            f"{problem.strerror or problem} while making {venv}",
            "a folder of the project that you may write to, with space on the disk",
            "see to that, then give the same command again",
        ) from None
    return python_in(venv)


def go_on_with(python: Path, arguments: Sequence[str]) -> int:
    """Run this command again with another Python, in place of this process where possible."""
    command = [str(python), "-m", "lessonlib", *arguments]
    environment = {**os.environ, _AGAIN: "1"}
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name == "nt":  # there, exec would return the prompt while the new process still runs
        return subprocess.call(command, env=environment)
    os.execve(command[0], command, environment)


def _set_up(
    project: Checkout, extra: str | None, venv: Path, runner: Runner, say: Callable[[str], None]
) -> None:
    python = python_in(venv)
    works = python.exists() and _works(python, project.folder, runner)
    extras = {extra} if extra else set()
    if works:
        stamped = _stamped(venv, project)
        if stamped is not None and extras <= stamped:
            return
        extras |= stamped or set()
    else:
        _make(venv, project.folder, runner, say)
    say(
        "Set-up, needed once: installing what the workbook uses into\n"
        f"  {venv}\n"
        "This takes a few minutes and needs the internet."
    )
    target = f".[{','.join(sorted(extras))}]" if extras else "."
    pip = [str(python), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    done = runner([*pip, "--editable", target], project.folder)
    if done.code != 0:
        raise StartError(
            f"pip ended with code {done.code}:\n{done.last_lines}",
            "an internet connection, or a package index that pip is set up to use",
            "see to what pip says, then give the same command again",
        )
    # each extra under its own key: a later start without tests must not undo the set-up for tests
    put(venv / STAMP, json.dumps({name: _wish(project, name) for name in ["", *extras]}).encode())
    say("Set-up done.")


def _make(venv: Path, folder: Path, runner: Runner, say: Callable[[str], None]) -> None:
    """Make the environment anew. What is there already is only cleared if it is an environment."""
    if os.path.lexists(venv) and not (venv / "pyvenv.cfg").is_file():
        raise StartError(
            f"{venv}, which is no Python environment",
            "an environment made by this command, or nothing of that name",
            "move it away, then give the same command again",
        )
    if any(importlib.util.find_spec(name) is None for name in ("venv", "ensurepip")):
        raise _no_venv("without its venv and ensurepip modules")
    say(f"Making a Python environment of the project's own: {venv}")
    done = runner([sys.executable, "-m", "venv", "--clear", str(venv)], folder)
    if done.code != 0:
        if "ensurepip" in done.last_lines:
            raise _no_venv(f"that cannot make an environment:\n{done.last_lines}")
        raise StartError(
            f"python3 -m venv ended with code {done.code}:\n{done.last_lines}",
            "a folder of the project that you may write to, with space on the disk",
            "see to that, then give the same command again",
        )


def _no_venv(how: str) -> StartError:
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    return StartError(
        f"Python {version} ({sys.executable}) {how}",
        "a Python that can make environments",
        f"on Debian and Ubuntu: sudo apt install python3-venv (or python{version}-venv)\n"
        "then give the same command again",
    )


def _works(python: Path, folder: Path, runner: Runner) -> bool:
    test = "import sys, pip; sys.exit(sys.version_info < (3, 11))"
    return runner([str(python), "-c", test], folder).code == 0


def _wish(project: Checkout, extra: str) -> str:
    """What an installation depends on: the requirements, and where the project lies."""
    wish = [str(project.folder), *project.requirements(extra or None)]
    return hashlib.sha256("\n".join(wish).encode("utf-8", "surrogateescape")).hexdigest()


def _stamped(venv: Path, project: Checkout) -> set[str] | None:
    """Extras that are installed as asked for today; None when the basis is not."""
    try:
        stamp = json.loads(read_regular(venv / STAMP, 10_000))
        good = {name for name, wish in stamp.items() if wish == _wish(project, name)}
    except (OSError, ValueError, AttributeError):
        return None
    return good - {""} if "" in good else None


def _lock_for(folder: Path) -> Path:
    """A lock outside the project, so that set-up adds nothing there but `.venv`."""
    name = hashlib.sha256(str(folder).encode("utf-8", "surrogateescape")).hexdigest()[:16]
    user = os.getuid() if os.name != "nt" else ""
    return Path(tempfile.gettempdir()) / f"heater-workbook-{user}-{name}.lock"
