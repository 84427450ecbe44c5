"""Set-up: made when something is missing, repeated only when needed, refused with the reason."""

from __future__ import annotations

import importlib.util
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from lessonlib.start import environment
from lessonlib.start.environment import Outcome, python_in, suitable_python
from lessonlib.start.requirements import Checkout, checkout, lacking, within
from lessonlib.start.trouble import StartError

NOT_THERE = "a-distribution-that-nobody-has>=1"


class Machine:
    """Stands in for venv and pip: does to the folder what they would, and notes the commands."""

    def __init__(self) -> None:
        self.commands: list[list[str]] = []
        self.answers: dict[str, Outcome] = {}
        self.broken = False

    def __call__(self, command: Sequence[str], folder: Path) -> Outcome:
        words = [str(word) for word in command]
        self.commands.append(words[1:])
        for word, answer in self.answers.items():
            if word in words:
                return answer
        if words[1:3] == ["-m", "venv"]:
            venv = Path(words[-1])
            python_in(venv).parent.mkdir(parents=True, exist_ok=True)
            python_in(venv).touch()
            (venv / "pyvenv.cfg").touch()
            self.broken = False
        return Outcome(1 if self.broken and words[1] == "-c" else 0)

    def ran(self, word: str) -> list[list[str]]:
        return [words for words in self.commands if word in words]


@pytest.fixture
def machine() -> Machine:
    return Machine()


@pytest.fixture
def project(tmp_path: Path) -> Checkout:
    return Checkout(tmp_path, (NOT_THERE,), ("another-one-that-nobody-has",))


@pytest.fixture
def set_up(machine: Machine, project: Checkout) -> Callable[..., Path]:
    def go(extra: str | None = None, like: Checkout = project) -> Path:
        return suitable_python(like, extra, runner=machine, say=lambda line: None)

    return go


def test_a_python_that_has_everything_is_used_as_it_is(
    machine: Machine, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(environment, "lacking", lambda project, extra: [])
    project = Checkout(tmp_path, (), ())
    assert suitable_python(project, runner=machine) == Path(sys.executable)
    assert machine.commands == []


def test_missing_parts_are_installed_into_the_project_s_own_environment(
    machine: Machine, set_up: Callable[..., Path], project: Checkout
) -> None:
    assert set_up() == python_in(project.folder / ".venv")
    assert [words[1] for words in machine.ran("-m")] == ["venv", "pip"]
    assert machine.ran("install")[0][-2:] == ["--editable", "."]


def test_tests_get_their_own_extra(machine: Machine, set_up: Callable[..., Path]) -> None:
    set_up("test")
    assert machine.ran("install")[0][-1] == ".[test]"


def test_a_second_start_installs_nothing(machine: Machine, set_up: Callable[..., Path]) -> None:
    set_up("test")
    machine.commands.clear()
    set_up("test")
    set_up()
    assert machine.ran("-m") == []


def test_the_first_test_run_adds_what_tests_need_to_the_same_environment(
    machine: Machine, set_up: Callable[..., Path]
) -> None:
    set_up()
    machine.commands.clear()
    set_up("test")
    assert machine.ran("venv") == []
    assert machine.ran("install")[0][-1] == ".[test]"


def test_another_requirement_is_installed_at_the_next_start(
    machine: Machine, set_up: Callable[..., Path], project: Checkout
) -> None:
    set_up()
    machine.commands.clear()
    set_up(None, Checkout(project.folder, ("yet-another>=2",), ()))
    assert len(machine.ran("install")) == 1


def test_an_environment_that_no_longer_works_is_made_anew(
    machine: Machine, set_up: Callable[..., Path]
) -> None:
    set_up()
    machine.commands.clear()
    machine.broken = True
    set_up()
    assert len(machine.ran("venv")) == 1
    assert len(machine.ran("install")) == 1


def test_a_set_up_that_failed_is_done_again(machine: Machine, set_up: Callable[..., Path]) -> None:
    machine.answers = {"install": Outcome(1, "no connection")}
    with pytest.raises(StartError, match="no connection"):
        set_up()
    machine.answers = {}
    machine.commands.clear()
    set_up()
    assert len(machine.ran("install")) == 1


def test_a_folder_of_that_name_which_is_no_environment_is_not_cleared(
    machine: Machine, set_up: Callable[..., Path], project: Checkout
) -> None:
    (project.folder / ".venv").mkdir()
    (project.folder / ".venv" / "mine.txt").touch()
    with pytest.raises(StartError, match="no Python environment"):
        set_up()
    assert (project.folder / ".venv" / "mine.txt").exists()
    assert machine.ran("venv") == []


def test_without_ensurepip_the_package_to_install_is_named(
    set_up: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    found = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util,
        "find_spec",
        lambda name, *more: None if name == "ensurepip" else found(name, *more),
    )
    with pytest.raises(StartError, match="apt install python3-venv"):
        set_up()


def test_a_venv_module_that_fails_for_want_of_ensurepip_says_the_same(
    machine: Machine, set_up: Callable[..., Path]
) -> None:
    machine.answers = {"venv": Outcome(1, "created because ensurepip is not available")}
    with pytest.raises(StartError, match="apt install python3-venv"):
        set_up()


def test_set_up_cannot_go_in_circles(
    machine: Machine, set_up: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HEATER_WORKBOOK_SET_UP", "1")
    with pytest.raises(StartError, match="after set-up still without a-distribution"):
        set_up()
    assert machine.commands == []
    assert "HEATER_WORKBOOK_SET_UP" not in os.environ


def test_the_output_of_a_failed_command_is_kept(tmp_path: Path) -> None:
    code = "import sys; print('said'); print('complained', file=sys.stderr); sys.exit(3)"
    assert environment.run([sys.executable, "-c", code], tmp_path) == Outcome(3, "said\ncomplained")


def test_a_command_that_does_not_exist_is_an_outcome_too(tmp_path: Path) -> None:
    assert environment.run([str(tmp_path / "no-python")], tmp_path).code == 127


class TestRequirements:
    @pytest.mark.parametrize(
        ("version", "fits"),
        [
            ("8.1.0", True),
            ("8.1", True),
            ("8.10.2", True),
            ("8.0.9", False),
            ("9", False),
            ("9.0.0rc1", False),
            ("10.1", False),
        ],
    )
    def test_versions_are_compared_as_numbers(self, version: str, fits: bool) -> None:
        assert within(version, [(">=", "8.1"), ("<", "9")]) is fits

    def test_pyproject_is_written_in_the_form_that_set_up_reads(self) -> None:
        project = checkout()
        assert project is not None
        lacking(project, "test")  # raises ValueError for any other form

    def test_another_form_is_refused_not_misread(self, tmp_path: Path) -> None:
        with pytest.raises(ValueError, match="another form"):
            lacking(Checkout(tmp_path, ("numpy~=2.0",), ()), None)

    def test_what_is_missing_is_named_the_project_itself_included(self, tmp_path: Path) -> None:
        missing = lacking(Checkout(tmp_path, (NOT_THERE, "pytest>=1"), ()), None)
        assert missing == [NOT_THERE, "heater-workbook-lessonlib"]

    def test_a_folder_without_our_pyproject_is_no_checkout(self, tmp_path: Path) -> None:
        assert checkout(tmp_path) is None
        (tmp_path / "pyproject.toml").write_text('[project]\nname = "something-else"\n')
        assert checkout(tmp_path) is None
