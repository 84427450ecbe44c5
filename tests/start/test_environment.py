"""Set-up: made when something is missing, repeated only when needed, refused with the reason."""

from __future__ import annotations

import importlib.metadata
import importlib.util
import io
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from lessonlib.start import environment, installer
from lessonlib.start.environment import suitable_python
from lessonlib.start.installer import Outcome, how_far, packages_in, python_in
from lessonlib.start.requirements import Checkout
from lessonlib.start.trouble import StartError

NOT_THERE = "a-distribution-that-nobody-has>=1"


class Machine:
    """Stands in for venv, pip and uv: makes the folder as they would, and notes the commands."""

    def __init__(self) -> None:
        self.commands: list[list[str]] = []
        self.answers: dict[str, Outcome] = {}
        self.installed: set[str] = set()
        self.wanted: Checkout | None = None

    def __call__(self, command: Sequence[str], folder: Path) -> Outcome:
        words = [str(word) for word in command]
        self.commands.append(words)
        for word, answer in self.answers.items():
            if word in words:
                return answer
        if "lessonlib.start.requirements" in words:
            assert self.wanted is not None
            needs = self.wanted.requirements(words[3] if words[3:] else None)
            return Outcome(int(not self.installed.issuperset(needs)))
        if "install" in words:
            self.installed |= set(words)
        if "venv" in words:
            self.installed.clear()
            venv = Path(words[-1])
            for folder in (python_in(venv).parent, packages_in(venv)):
                folder.mkdir(parents=True, exist_ok=True)
            python_in(venv).touch()
            (venv / "pyvenv.cfg").touch()
            for word in ("-c", "lessonlib.start.requirements"):
                self.answers.pop(word, None)  # works again
        return Outcome(0)

    def ran(self, word: str) -> list[list[str]]:
        return [words for words in self.commands if word in words]


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> Machine:
    monkeypatch.setenv("PATH", "")  # no uv there
    monkeypatch.setattr(installer, "_has_pip_for_others", lambda: False)
    return Machine()


@pytest.fixture
def project(tmp_path: Path) -> Checkout:
    return Checkout(tmp_path, (NOT_THERE,), ("another-one-that-nobody-has",))


@pytest.fixture
def set_up(machine: Machine, project: Checkout) -> Callable[..., list[str]]:
    def go(extra: str | None = None, like: Checkout = project) -> list[str]:
        """Sets up with this machine; what was said meanwhile."""
        machine.commands.clear()
        machine.wanted = like
        said: list[str] = []
        python = suitable_python(like, extra, runner=machine, say=said.append)
        assert python == python_in(project.folder / ".venv")
        return said

    return go


@pytest.fixture
def uv(tmp_path: Path, machine: Machine, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A uv on the PATH that makes the folder, and notes how it is called in `calls` beside it."""
    program = tmp_path / "programs" / "uv"
    program.parent.mkdir()
    packages = packages_in(Path(".venv"))
    program.write_text(
        f'#!/bin/sh\necho "$@" >> {tmp_path}/programs/calls\n/bin/mkdir -p {packages}\n'
    )
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(program.parent))
    return program


def test_a_python_that_has_everything_is_used_as_it_is(
    machine: Machine, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(environment, "lacking", lambda project, extra: [])
    project = Checkout(tmp_path, (), ())
    assert suitable_python(project, runner=machine) == Path(sys.executable)
    assert machine.commands == []


def test_missing_parts_are_installed_into_the_project_s_own_environment(
    machine: Machine, set_up: Callable[..., list[str]], project: Checkout
) -> None:
    said = set_up()
    assert [words[2] for words in machine.ran("-m")] == ["venv", "pip"]
    assert machine.ran("pip")[0][-2:] == ["--no-compile", NOT_THERE]
    (packages,) = project.folder.glob(".venv/**/*.pth")
    assert packages.read_text("utf-8") == f"{project.folder}\n"
    assert [line.split(":")[0] for line in said[1:3]] == ["Step 1 of 2", "Step 2 of 2"]


def test_where_this_python_has_a_pip_that_can_none_is_put_into_the_environment(
    machine: Machine, set_up: Callable[..., list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(installer, "_has_pip_for_others", lambda: True)
    found = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == "ensurepip" else found(name)
    )
    set_up()
    assert "--without-pip" in machine.ran("venv")[0]
    assert machine.ran("install")[0][:4] == [sys.executable, "-m", "pip", "--python"]


@pytest.mark.parametrize(("version", "can"), [("22.2.2", False), ("22.3", True), ("26.1", True)])
def test_a_pip_installs_into_another_environment_from_its_version_22_3_on(
    version: str, can: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(importlib.metadata, "version", lambda name: version)
    assert installer._has_pip_for_others() is can


def test_what_tests_need_is_added_once_and_stays(
    machine: Machine, set_up: Callable[..., list[str]]
) -> None:
    set_up()
    set_up("test")
    assert machine.ran("venv") == []
    assert machine.ran("install")[0][-2:] == [NOT_THERE, "another-one-that-nobody-has"]
    for extra in ("test", None):
        assert set_up(extra) == []


def test_another_requirement_is_installed_at_the_next_start(
    machine: Machine, set_up: Callable[..., list[str]], project: Checkout
) -> None:
    set_up()
    set_up(None, Checkout(project.folder, ("yet-another>=2",), ()))
    assert (len(machine.ran("venv")), len(machine.ran("install"))) == (0, 1)


def test_an_environment_that_no_longer_works_is_made_anew(
    machine: Machine, set_up: Callable[..., list[str]]
) -> None:
    set_up()
    machine.answers = {"-c": Outcome(1), "lessonlib.start.requirements": Outcome(1)}
    set_up()
    assert (len(machine.ran("venv")), len(machine.ran("install"))) == (1, 1)


def test_an_environment_without_pip_as_uv_makes_it_is_made_anew_where_uv_is_gone(
    machine: Machine, set_up: Callable[..., list[str]], project: Checkout
) -> None:
    set_up()
    machine.answers = {"import sys, pip; sys.exit(sys.version_info < (3, 11))": Outcome(1)}
    assert set_up() == []
    set_up("test")
    assert len(machine.ran("venv")) == 1


def test_a_set_up_that_failed_is_done_again(
    machine: Machine, set_up: Callable[..., list[str]]
) -> None:
    machine.answers = {"install": Outcome(1, "no connection")}
    with pytest.raises(StartError, match="no connection"):
        set_up()
    machine.answers = {}
    set_up()
    assert len(machine.ran("install")) == 1


def test_uv_is_used_where_it_is_installed(uv: Path, project: Checkout) -> None:
    venv = project.folder / ".venv"
    for clear in ("", "--clear "):  # the second time one is there, which does not work
        # the real runner, so that the program is found and started as it would be
        suitable_python(project, say=lambda line: None)
        assert uv.with_name("calls").read_text().splitlines()[-2:] == [
            f"venv {clear}--python {sys.executable} {venv}",
            f"pip install --python {python_in(venv)} {NOT_THERE}",
        ]
        (venv / "pyvenv.cfg").touch()


@pytest.mark.parametrize("step", ["venv", "install"])
def test_where_uv_fails_pip_is_used_and_the_reason_told(
    step: str, uv: Path, machine: Machine, project: Checkout
) -> None:
    def only_pip_works(command: Sequence[str], folder: Path) -> Outcome:
        done = machine(command, folder)
        return Outcome(2, "no such index") if command[0] == str(uv) and step in command else done

    said: list[str] = []
    suitable_python(project, runner=only_pip_works, say=said.append)
    assert "uv ended with code 2, so pip is used instead:\nno such index" in said
    assert machine.commands[-1][1:4] == ["-m", "pip", "install"]


@pytest.mark.parametrize("with_uv", [True, False])
def test_a_folder_of_that_name_which_is_no_environment_is_not_cleared(
    machine: Machine,
    set_up: Callable[..., list[str]],
    project: Checkout,
    with_uv: bool,
    request: pytest.FixtureRequest,
) -> None:
    if with_uv:
        request.getfixturevalue("uv")
    (project.folder / ".venv").mkdir()
    with pytest.raises(StartError, match="not a Python environment"):
        set_up()
    assert machine.commands == []


def test_without_ensurepip_the_package_to_install_is_named(
    machine: Machine, set_up: Callable[..., list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    machine.answers = {"venv": Outcome(1, "created because ensurepip is not available")}
    with pytest.raises(StartError, match="apt install python3-venv"):
        set_up()
    found = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == "ensurepip" else found(name)
    )
    with pytest.raises(StartError, match="apt install python3-venv"):
        set_up()
    assert machine.commands == []


def test_set_up_cannot_go_in_circles(
    machine: Machine, set_up: Callable[..., list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HEATER_WORKBOOK_SET_UP", "1")
    with pytest.raises(StartError, match="after set-up still without a-distribution"):
        set_up()
    assert machine.commands == []
    assert "HEATER_WORKBOOK_SET_UP" not in os.environ


def test_how_a_command_ended_is_kept_also_where_there_is_no_such_command(tmp_path: Path) -> None:
    code = "import sys; print('said'); print('complained', file=sys.stderr); sys.exit(3)"
    done = installer.run([sys.executable, "-uc", code], tmp_path)
    assert done == Outcome(3, "said\ncomplained")
    assert installer.run([str(tmp_path / "no-python")], tmp_path).code == 127


PIP_FINDS = """\
Obtaining file:///heaters
Collecting jupyterlab<5,>=4.2 (from heaters==0.1.0)
  Using cached jupyterlab-4.6.6-py3-none-any.whl.metadata (16 kB)
Collecting numpy<3,>=1.26 (from heaters==0.1.0)
"""
PIP_FETCHES = f"{PIP_FINDS}Using cached jupyterlab-4.6.6-py3-none-any.whl (13 MB)\n"
UV_FINDS = "Resolved 111 packages in 1.65s\n"


@pytest.mark.parametrize(
    ("said", "arrived", "words"),
    [
        ("", 0, ""),
        (PIP_FINDS, 0, "2 packages found, 0 fetched"),
        (PIP_FETCHES, 0, "2 packages found, 1 fetched"),
        (f"{PIP_FETCHES}Installing collected packages: a, b, c\n", 1, "installing package 2 of 3"),
        (f"{PIP_FETCHES}Installing collected packages: a, b, c\n", 3, "installing package 3 of 3"),
        (f"{UV_FINDS}Downloading numpy (16.1MiB)\n", 0, "111 packages found, 0 fetched"),
        (f"{UV_FINDS} Downloaded numpy\n", 0, "111 packages found, 1 fetched"),
        (f"{UV_FINDS}Prepared 9 packages in 3s\n", 9, "installing package 10 of 111"),
    ],
)
def test_how_far_it_is_follows_from_what_pip_or_uv_says(
    said: str, arrived: int, words: str
) -> None:
    assert how_far(said, arrived) == words


class Screen(io.StringIO):
    """Ends the command, by way of the file `end`, once it shows how far that is."""

    def __init__(self, end: Path, terminal: bool) -> None:
        super().__init__()
        self.end, self.terminal = end, terminal

    def isatty(self) -> bool:
        return self.terminal

    def write(self, text: str) -> int:
        if "found" in text:
            self.end.touch()
        return super().write(text)


@pytest.mark.parametrize("terminal", [True, False])
def test_how_far_it_is_stands_on_one_line_of_a_terminal_and_else_on_lines_of_its_own(
    terminal: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = (
        "import os, time; print('Resolved 7 packages', flush=True)\n"
        "while not os.path.exists('end'): time.sleep(0.01)"
    )
    screen = Screen(tmp_path / "end", terminal)
    monkeypatch.setattr(sys, "stdout", screen)
    monkeypatch.setattr(installer, "_EVERY_S", {True: 0.01, False: 0.01})
    assert installer.run([sys.executable, "-c", code], tmp_path).code == 0
    said = screen.getvalue()
    assert "7 packages found, 0 fetched" in said
    assert ("\n" not in said and said.endswith("\r")) if terminal else "\r" not in said
