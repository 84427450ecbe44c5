"""`python3 -m lessonlib sheet`: what it writes, and what it refuses with code 2."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from lessonlib.start import command as started

Command = Callable[..., tuple[int, str, str]]


@pytest.fixture
def command(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """The command in a folder: its exit code, what it prints, and what it says is wrong."""
    monkeypatch.setattr(started, "_be_set_up", lambda *_: None)

    def run(folder: Path, *words: str) -> tuple[int, str, str]:
        monkeypatch.chdir(folder)
        code = started.main(["sheet", *words])
        return code, *capsys.readouterr()

    return run


def test_as_a_process_it_ends_with_the_code_and_without_a_traceback(
    tmp_path: Path, checkout: Path
) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "lessonlib", "sheet", "tea-urm"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(checkout)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "Did you mean" in done.stderr
    assert "Traceback" not in done.stderr


def test_it_writes_html_and_pdf_and_says_so(tmp_path: Path, command: Command) -> None:
    code, said, wrong = command(tmp_path, "tea-urn", "--paper", "letter")
    assert code == 0, wrong
    assert said.splitlines() == [
        "Bench sheet of Six-litre tea urn, letter, 1 page:",
        "  tea-urn-sheet.html",
        "  tea-urn-sheet.pdf",
    ]
    assert "size: letter;" in (tmp_path / "tea-urn-sheet.html").read_text("utf-8")
    assert (tmp_path / "tea-urn-sheet.pdf").read_bytes().startswith(b"%PDF-")
    _, again, _ = command(tmp_path, "tea-urn", "--paper", "letter")
    assert again.count("was there already, the same") == 2


def test_an_appliance_file_is_taken_and_one_file_written(
    tmp_path: Path, checkout: Path, command: Command
) -> None:
    text = (checkout / "workbook" / "appliances" / "wax-melter.toml").read_text("utf-8")
    (tmp_path / "mine.toml").write_text(text.replace("Wax melter", "My melter"), "utf-8")
    code, _, wrong = command(tmp_path, "mine.toml", "--to", "wall.html")
    assert code == 0, wrong
    assert "<h1>My melter</h1>" in (tmp_path / "wall.html").read_text("utf-8")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine.toml", "wall.html"]


def test_a_saved_name_is_found_from_anywhere_and_inside_the_copy_of_the_lessons(
    tmp_path: Path, checkout: Path, command: Command
) -> None:
    saved = tmp_path / "copy" / "appliances" / "my-urn.toml"
    saved.parent.mkdir(parents=True)
    text = (checkout / "workbook" / "appliances" / "tea-urn.toml").read_text("utf-8")
    saved.write_text(text.replace("Six-litre", "My"), "utf-8")
    for folder, named in ((tmp_path, "copy"), (saved.parents[1], "nowhere")):
        _, said, wrong = command(folder, "my-urn", "--folder", named)
        assert "Bench sheet of My tea urn" in said, wrong


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["broken.toml"], "problem"),
        (["tea-urn", "--paper", "A5"], "A4 or letter"),
        (["tea-urn", "--to", "x.png"], ".html or .pdf"),
        (["tea-urn", "--to", "kept.pdf"], "kept.pdf, with something else in it"),
    ],
)
def test_a_refusal_has_code_2_and_changes_nothing(
    words: list[str], said: str, tmp_path: Path, command: Command
) -> None:
    (tmp_path / "broken.toml").write_text("title = 3")
    (tmp_path / "kept.pdf").write_text("mine")
    code, _, wrong = command(tmp_path, *words)
    assert code == 2
    assert said in wrong
    assert "accepted" in wrong.lower()
    assert (tmp_path / "kept.pdf").read_text() == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["broken.toml", "kept.pdf"]
