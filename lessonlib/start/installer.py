"""Installs what the project needs into `.venv`, with uv if it is installed or else with pip, and
shows how far it is."""

from __future__ import annotations

import importlib.util
import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Protocol

from lessonlib.start.requirements import Checkout, make_found, within
from lessonlib.start.trouble import StartError

VENV = ".venv"
"""The environment's folder, in the project's."""

_EVERY_S = {True: 0.2, False: 5.0}
"""How often to show how far it is: True on a terminal, on one line; False elsewhere."""


@dataclass(frozen=True)
class Outcome:
    """How a command ended, with the last lines it printed."""

    code: int
    last_lines: str = ""


class Runner(Protocol):
    """Runs a command in the project's folder and waits for it; replaced in tests."""

    def __call__(self, command: Sequence[str], folder: Path) -> Outcome: ...


def run(command: Sequence[str], folder: Path) -> Outcome:
    """Run the command, and meanwhile show how far it is: on one line of a terminal; elsewhere on a
    new line every five seconds."""
    # the user's pip settings may ask for a --user install, which an environment refuses
    settings = {**os.environ, "PIP_USER": "0", "PYTHONUNBUFFERED": "1"}
    site = packages_in(folder / VENV)
    before = _installed_in(site)
    terminal = sys.stdout.isatty()
    end = "" if terminal else "\n"
    shown = ""
    try:
        with tempfile.TemporaryDirectory() as place:
            log = Path(place) / "log"
            with (
                log.open("wb") as into,
                subprocess.Popen(
                    command,
                    cwd=folder,
                    env=settings,
                    stdin=subprocess.DEVNULL,
                    stdout=into,
                    stderr=subprocess.STDOUT,
                ) as process,
            ):
                while not _ended(process, _EVERY_S[terminal]):
                    now = how_far(
                        log.read_text("utf-8", "replace"), len(_installed_in(site) - before)
                    )
                    if now != shown:
                        print(f"\r  {now:<40}" if terminal else f"  {now}", end=end, flush=True)
                        shown = now
            if terminal and shown:
                print(f"\r{'':<42}\r", end="", flush=True)
            lines = log.read_text("utf-8", "replace").splitlines()
    except OSError as problem:
        return Outcome(127, str(problem))
    return Outcome(process.returncode, "\n".join(map(str.rstrip, lines[-15:])))


def how_far(said: str, arrived: int) -> str:
    """How far pip or uv is, by what it has `said` and how many packages have `arrived`."""
    found = set(re.findall(r"^ *Collecting ([\w.-]+)", said, re.M))
    resolved = re.search(r"^Resolved (\d+) package", said, re.M)
    count = int(resolved[1]) if resolved else len(found)
    listed = re.search(r"^Installing collected packages: (.*)", said, re.M)
    if listed:
        count = listed[1].count(",") + 1
    if count and (listed or re.search(r"^Prepared \d", said, re.M)):
        return f"installing package {min(arrived + 1, count)} of {count}"
    fetched = len(
        re.findall(r"^ *(?:Using cached \S+\.whl|Downloading \S+\.whl|Downloaded) ", said, re.M)
    )
    return f"{count} packages found, {fetched} fetched" if count else ""


def python_in(venv: Path) -> Path:
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def packages_in(venv: Path) -> Path:
    """The folder of an environment's packages."""
    return Path(sysconfig.get_path("purelib", "venv", {"base": str(venv)}))


def works(folder: Path, runner: Runner, needs: str = "sys") -> bool:
    """Whether the environment's Python runs, is new enough, and has the module it `needs`."""
    python = python_in(folder / VENV)
    test = f"import sys, {needs}; sys.exit(sys.version_info < (3, 11))"
    return python.exists() and runner([str(python), "-c", test], folder).code == 0


def fill(
    project: Checkout, extra: str | None, *, runner: Runner, say: Callable[[str], None]
) -> None:
    """Install the project, with what its `extra` asks for, into its own environment, which is made
    first if none works. Raises `StartError`, with the reason."""
    needs = project.requirements(extra)
    uv = shutil.which("uv")
    if uv is None or not _fill_with_uv(uv, project.folder, needs, runner, say):
        _fill_with_pip(project.folder, needs, runner, say)
    make_found(packages_in(project.folder / VENV), project.folder)


def _fill_with_uv(
    uv: str, folder: Path, needs: Sequence[str], runner: Runner, say: Callable[[str], None]
) -> bool:
    """Whether it worked. Where it did not, pip may still, with settings of its own."""
    venv = folder / VENV
    commands = [[uv, "pip", "install", "--python", str(python_in(venv)), *needs]]
    if not works(folder, runner):
        _check_clearable(venv)
        clear = ["--clear"] if venv.exists() else []  # which an older uv does not know
        commands.insert(0, [uv, "venv", *clear, "--python", sys.executable, str(venv)])
    say("Fetching and installing packages with uv")
    for command in commands:
        done = runner(command, folder)
        if done.code != 0:
            say(f"uv ended with code {done.code}, so pip is used instead:\n{done.last_lines}")
            return False
    return True


def _fill_with_pip(
    folder: Path, needs: Sequence[str], runner: Runner, say: Callable[[str], None]
) -> None:
    python = str(python_in(folder / VENV))
    ours = _has_pip_for_others()
    if not works(folder, runner, needs="sys" if ours else "pip"):
        say("Step 1 of 2: making a Python environment")
        _make(folder, runner, with_pip=not ours)
    say("Step 2 of 2: fetching and installing packages")
    pip = [sys.executable, "-m", "pip", "--python", python] if ours else [python, "-m", "pip"]
    # a module is compiled when it is first used: this takes about half the time
    quick = ["--disable-pip-version-check", "--no-input", "--no-compile"]
    done = runner([*pip, "install", *quick, *needs], folder)
    if done.code != 0:
        raise StartError(
            f"pip ended with code {done.code}:\n{done.last_lines}",
            "an internet connection, or a package index that pip is set up to use",
            "put right what pip reports, then give the same command again",
        )


def _has_pip_for_others() -> bool:
    """Whether this Python has a pip that installs into another environment, as all do from 22.3 on.
    Then none is put into the environment, which saves some seconds."""
    try:
        return within(metadata.version("pip"), [(">=", "22.3")])
    except metadata.PackageNotFoundError:
        return False


def _make(folder: Path, runner: Runner, with_pip: bool) -> None:
    _check_clearable(folder / VENV)
    needed = ("venv", "ensurepip") if with_pip else ("venv",)
    if any(importlib.util.find_spec(name) is None for name in needed):
        raise _no_venv("without its venv and ensurepip modules")
    without = [] if with_pip else ["--without-pip"]
    done = runner([sys.executable, "-m", "venv", "--clear", *without, str(folder / VENV)], folder)
    if done.code != 0:
        if "ensurepip" in done.last_lines:
            raise _no_venv(f"that cannot make an environment:\n{done.last_lines}")
        raise StartError(
            f"python3 -m venv ended with code {done.code}:\n{done.last_lines}",
            "a folder of the project that you may write to, with space on the disk",
            "put that right, then give the same command again",
        )


def _check_clearable(venv: Path) -> None:
    """Raises `StartError` where something other than an environment would be cleared."""
    if os.path.lexists(venv) and not (venv / "pyvenv.cfg").is_file():
        raise StartError(
            f"{venv}, which is not a Python environment",
            "an environment made by this command, or nothing of that name",
            "move it away, then give the same command again",
        )


def _no_venv(how: str) -> StartError:
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    return StartError(
        f"Python {version} ({sys.executable}) {how}",
        "a Python that can make environments",
        f"on Debian and Ubuntu: sudo apt install python3-venv (or python{version}-venv)\n"
        "then give the same command again",
    )


def _ended(process: subprocess.Popen[bytes], within_s: float) -> bool:
    try:
        process.wait(timeout=within_s)
    except subprocess.TimeoutExpired:
        return False
    return True


def _installed_in(site: Path) -> set[str]:
    """Names and versions of the packages in that folder."""
    return {info.name for info in site.glob("*.dist-info")}
