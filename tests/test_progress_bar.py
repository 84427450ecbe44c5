"""The line that fills up: what it looks like, and when it says nothing."""

import io
import sys

import pytest
from jupyter_client.manager import start_new_kernel

from lessonlib.progress_bar import progress_bar


class Screen(io.StringIO):
    """A terminal that remembers what was printed."""

    def isatty(self) -> bool:
        return True


def watch(monkeypatch: pytest.MonkeyPatch) -> Screen:
    screen = Screen()
    monkeypatch.setattr(sys, "stdout", screen)
    return screen


def count_to(whole: int) -> None:
    for done in range(1, whole + 1):
        progress_bar(done, whole, "files marked")


def test_it_fills_up_and_leaves_a_whole_line(monkeypatch):
    screen = watch(monkeypatch)
    count_to(40)
    drawn = screen.getvalue().split("\r")[1:]
    assert drawn[0] == "[--------------------] 1 of 40 files marked"
    assert drawn[19] == "[##########----------] 20 of 40 files marked"
    assert drawn[39:] == ["[####################] 40 of 40 files marked\n"]


def test_thousands_are_drawn_a_hundred_times(monkeypatch):
    screen = watch(monkeypatch)
    count_to(5000)
    assert screen.getvalue().count("\r") == 100


def test_a_few_say_nothing(monkeypatch):
    screen = watch(monkeypatch)
    count_to(12)
    assert screen.getvalue() == ""


def test_nothing_is_written_to_a_file(monkeypatch):
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    count_to(40)
    assert sys.stdout.getvalue() == ""


def test_the_page_of_a_notebook_shows_it():
    """A kernel's output is no terminal, and is seen as it comes all the same."""
    code = "from lessonlib.progress_bar import progress_bar; progress_bar(13, 13, 'trainees')"
    kernel, client = start_new_kernel()
    shown: list[str] = []
    try:
        client.execute_interactive(
            code, timeout=60, output_hook=lambda said: shown.append(said["content"].get("text", ""))
        )
    finally:
        client.stop_channels()
        kernel.shutdown_kernel(now=True)
    assert "".join(shown) == "\r[####################] 13 of 13 trainees\n"
