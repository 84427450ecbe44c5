"""What the project needs is read from its pyproject.toml, and held against what is installed."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonlib.start.requirements import Checkout, checkout, lacking, within

NOT_THERE = "a-distribution-that-nobody-has>=1"


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
def test_versions_are_compared_as_numbers(version: str, fits: bool) -> None:
    assert within(version, [(">=", "8.1"), ("<", "9")]) is fits


def test_pyproject_is_written_in_the_form_that_set_up_reads() -> None:
    project = checkout()
    assert project is not None
    lacking(project, "test")  # raises ValueError for any other form


def test_another_form_is_refused_not_misread(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="another form"):
        lacking(Checkout(tmp_path, ("numpy~=2.0",), ()), None)


def test_what_is_missing_is_named_the_project_itself_included(tmp_path: Path) -> None:
    missing = lacking(Checkout(tmp_path, (NOT_THERE, "pytest>=1"), ()), None)
    assert missing == [NOT_THERE, "heater-workbook-lessonlib"]


def test_a_folder_without_our_pyproject_is_no_checkout(tmp_path: Path) -> None:
    assert checkout(tmp_path) is None
    (tmp_path / "pyproject.toml").write_text('[project]\nname = "something-else"\n')
    assert checkout(tmp_path) is None
