"""`python3 -m lessonlib sheet`: what it writes, and what it refuses with code 2."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest


def command(folder: Path, checkout: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "lessonlib", "sheet", *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(checkout)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_it_writes_html_and_pdf_and_says_so(tmp_path: Path, checkout: Path) -> None:
    done = command(tmp_path, checkout, "tea-urn", "--paper", "letter")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == [
        "Bench sheet of Six-litre tea urn, letter, 1 page:",
        "  tea-urn-sheet.html",
        "  tea-urn-sheet.pdf",
    ]
    assert "size: letter;" in (tmp_path / "tea-urn-sheet.html").read_text("utf-8")
    assert (tmp_path / "tea-urn-sheet.pdf").read_bytes().startswith(b"%PDF-")
    again = command(tmp_path, checkout, "tea-urn", "--paper", "letter")
    assert again.stdout.count("was there already, the same") == 2


def test_an_appliance_file_is_taken_and_one_file_written(tmp_path: Path, checkout: Path) -> None:
    text = (checkout / "workbook" / "appliances" / "wax-melter.toml").read_text("utf-8")
    (tmp_path / "mine.toml").write_text(text.replace("Wax melter", "My melter"), "utf-8")
    done = command(tmp_path, checkout, "mine.toml", "--to", "wall.html")
    assert done.returncode == 0, done.stderr
    assert "<h1>My melter</h1>" in (tmp_path / "wall.html").read_text("utf-8")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine.toml", "wall.html"]


def test_a_saved_name_is_found_from_anywhere_and_inside_the_copy_of_the_lessons(
    tmp_path: Path, checkout: Path
) -> None:
    saved = tmp_path / "copy" / "appliances" / "my-urn.toml"
    saved.parent.mkdir(parents=True)
    text = (checkout / "workbook" / "appliances" / "tea-urn.toml").read_text("utf-8")
    saved.write_text(text.replace("Six-litre", "My"), "utf-8")
    for folder, named in ((tmp_path, "copy"), (saved.parents[1], "nowhere")):
        done = command(folder, checkout, "my-urn", "--folder", named)
        assert "Bench sheet of My tea urn" in done.stdout, done.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["tea-urm"], "Did you mean"),
        (["broken.toml"], "problem"),
        (["tea-urn", "--paper", "A5"], "A4 or letter"),
        (["tea-urn", "--to", "x.png"], ".html or .pdf"),
        (["tea-urn", "--to", "kept.pdf"], "kept.pdf, with something else in it"),
    ],
)
def test_a_refusal_has_code_2_no_traceback_and_changes_nothing(
    words: list[str], said: str, tmp_path: Path, checkout: Path
) -> None:
    (tmp_path / "broken.toml").write_text("title = 3")
    (tmp_path / "kept.pdf").write_text("mine")
    done = command(tmp_path, checkout, *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert "accepted" in done.stderr.lower()
    assert "Traceback" not in done.stderr
    assert (tmp_path / "kept.pdf").read_text() == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["broken.toml", "kept.pdf"]
