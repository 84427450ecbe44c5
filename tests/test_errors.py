"""Errors say what to do, and in a notebook nothing else."""

from __future__ import annotations

import pytest
from IPython.core.interactiveshell import InteractiveShell

from lessonlib import errors
from lessonlib.errors import LessonlibError, shown


def test_a_notebook_shows_the_message_and_not_the_way_through_the_library(
    capsys: pytest.CaptureFixture[str],
) -> None:
    shell = InteractiveShell()
    shell.colors = "nocolor"
    shell.run_cell("from lessonlib import load_appliance, solve")
    shell.run_cell("solve(load_appliance('tea-urn'), {'S9': 'on'})")
    said = capsys.readouterr().out
    assert "SettingError: Six-litre tea urn has no part 'S9'." in said
    assert "settings.py" not in said
    shell.run_cell("1 / 0")  # other errors keep their traceback
    assert "Traceback" in capsys.readouterr().out


def test_every_error_is_also_the_built_in_one_that_a_caller_would_catch() -> None:
    found = [kind for kind in vars(errors).values() if isinstance(kind, type)]
    ours = [k for k in found if issubclass(k, LessonlibError) and k is not LessonlibError]
    assert len(ours) >= 8
    for kind in ours:
        assert issubclass(kind, ValueError | OSError | ArithmeticError), kind


def test_what_was_found_is_shown_on_one_line_and_never_at_length() -> None:
    class Hostile:
        def __repr__(self) -> str:
            raise RuntimeError

    assert shown("a\nb") == r"'a\nb'"
    assert len(shown("x" * 1_000_000)) == 60
    assert shown(Hostile()) == "<Hostile>"
    assert shown(10**5000) == "a huge number"  # Python itself refuses to write it out
