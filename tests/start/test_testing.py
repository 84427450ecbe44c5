"""The test command, and the rule that nothing is skipped in CI."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from lessonlib.start.testing import test_command as command_for


@pytest.fixture
def project(tmp_path: Path) -> Path:
    (tmp_path / "tests").mkdir()
    (tmp_path / "workbook" / "instructor").mkdir(parents=True)
    for name in ("02_b.ipynb", "01_a.ipynb", "instructor/marking.ipynb"):
        (tmp_path / "workbook" / name).touch()
    return tmp_path


def test_all_tests_and_every_lesson_are_run_with_outputs_compared(project: Path) -> None:
    command = command_for(project, [])
    assert command[1:5] == ["-m", "pytest", "--nbval", "--nbval-current-env"]
    assert command[command.index("--dist") + 1] == "loadfile"
    assert command[command.index("tests") :] == [
        "tests",
        "workbook/01_a.ipynb",
        "workbook/02_b.ipynb",
        "workbook/instructor/marking.ipynb",
    ]


@pytest.mark.parametrize("extra", [["-k", "tests"], ["-x", "-q"], ["-p", "workbook"]])
def test_pytest_options_are_added(project: Path, extra: list[str]) -> None:
    command = command_for(project, extra)
    assert command[-len(extra) :] == extra
    assert "workbook/01_a.ipynb" in command


@pytest.mark.parametrize("path", ["workbook/01_a.ipynb", "tests", "tests::test_something"])
def test_a_path_is_run_in_place_of_everything(project: Path, path: str) -> None:
    assert command_for(project, ["-x", path])[5:] == ["-x", path]


# without the plugins that take long to load
ALONE = ("-p", "no:cacheprovider", "-p", "xdist")
TESTS = """
import pytest

def test_passes(): pass

@pytest.mark.skipif(True, reason="no tool")
def test_is_skipped(): pass

@pytest.mark.xfail(strict=True)
def test_is_known_to_fail(): assert False
"""


def run(
    folder: Path, checkout: Path, monkeypatch: pytest.MonkeyPatch, ci: str, *options: str
) -> tuple[int, str]:
    (folder / "conftest.py").write_text((checkout / "tests" / "conftest.py").read_text("utf-8"))
    (folder / "test_some.py").write_text(TESTS)
    monkeypatch.setenv("CI", ci)
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *ALONE, *options, str(folder)],
        cwd=folder,
        capture_output=True,
        text=True,
    )
    return done.returncode, done.stdout


def test_in_ci_a_skipped_test_fails_the_run_and_is_named_before_the_summary(
    tmp_path: Path, checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, said = run(tmp_path, checkout, monkeypatch, "true", "-n", "2")
    assert code == 1
    assert "counts as a failure in CI" in said
    assert said.count("test_is_skipped") == 1
    assert "1 passed, 1 skipped, 1 xfailed" in said.strip().splitlines()[-1]


def test_elsewhere_a_skipped_test_is_no_failure(
    tmp_path: Path, checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, said = run(tmp_path, checkout, monkeypatch, "")
    assert code == 0
    assert "counts as a failure" not in said
