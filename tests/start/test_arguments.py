"""The command line: what is understood, and what is refused with found, accepted and next."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

import lessonlib
from lessonlib.sheet import pages, sheet
from lessonlib.start.arguments import (
    FOLDER,
    SHEET_PAPERS,
    SHEET_SUFFIXES,
    SheetOptions,
    StartOptions,
    TestOptions,
    parse,
)
from lessonlib.start.command import main
from lessonlib.start.trouble import StartError


@pytest.mark.parametrize(
    ("words", "options"),
    [
        ("", StartOptions(folder=FOLDER, port=None, browser=True)),
        ("mine", StartOptions(Path("mine"))),
        ("--folder mine", StartOptions(Path("mine"))),
        ("--folder=mine", StartOptions(Path("mine"))),
        (
            "--port 9000 --no-browser --copy-only --instructor --fresh first --fresh second",
            StartOptions(FOLDER, 9000, False, True, True, ("first", "second")),
        ),
        ("test -k copy --port", TestOptions(["-k", "copy", "--port"])),
    ],
)
def test_what_is_asked_for_is_read(words: str, options: object) -> None:
    assert parse(words.split()) == options


def test_a_sheet_is_html_and_pdf_in_this_folder_or_the_one_file_named(tmp_path: Path) -> None:
    both = parse(["sheet", "appliances/tea-urn.toml"])
    assert isinstance(both, SheetOptions)
    assert both.targets == [Path("tea-urn-sheet.html"), Path("tea-urn-sheet.pdf")]
    file = str(tmp_path / "wall.PDF")
    one = parse(["sheet", "tea-urn", "--paper", "Letter", "--to", file])
    assert one == SheetOptions("tea-urn", Path(file), "letter")
    assert one.targets == [Path(file)]


def test_the_sheet_command_takes_the_papers_and_files_of_the_library() -> None:
    assert tuple(pages.PAPERS) == SHEET_PAPERS
    assert sheet.SUFFIXES == SHEET_SUFFIXES


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (["sheet"], "APPLIANCE_OR_FILE"),
        (["sheet", "tea-urn", "mine"], "mine"),
        (["sheet", "tea-urn", "--paper", "A5"], "paper 'A5'"),
        (["sheet", "tea-urn", "--to", "x.png"], "'x.png'"),
        (["sheet", "tea-urn", "--to", "a\0.pdf"], "file name"),
        (["sheet", "tea-urn", "--to", "no/such/x.pdf"], "no folder 'no/such'"),
        (["sheet", "tea-urn", "--to", f"{'a' * 300}/x.pdf"], "no folder 'aaa"),
        (["shet"], "'shet'"),
        (["clas", "set", "2"], "'clas'"),
        (["--frobnicate"], "--frobnicate"),
        (["--po", "9000"], "--po"),
        (["one", "two"], "two"),
        (["one", "--folder", "two"], "two folders"),
        (["--port"], "--port"),
        (["--port", "many"], "many"),
        (["--port", "0"], "port 0"),
        (["--port", "70000"], "port 70000"),
        (["--folder", ""], "folder name ''"),
        (["--folder", "a\0b"], "folder name"),
        (["tests-"], "'tests-'"),
        (["Test"], "'Test'"),
    ],
)
def test_what_is_not_understood_is_refused(words: list[str], found: str) -> None:
    with pytest.raises(StartError) as refusal:
        parse(words)
    assert found in refusal.value.found
    assert refusal.value.accepted
    assert refusal.value.next_step


def test_a_folder_with_a_name_that_the_terminal_cannot_show_is_told_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(shown, "ascii"))
    monkeypatch.setattr("lessonlib.start.command.checkout", lambda: None)
    folder = tmp_path / os.fsdecode(
        b"caf\xe9"
    )  # as a system that knew no UTF-8 would have named it
    assert main(["--copy-only", str(folder)]) == 0
    sys.stdout.flush()
    assert rb"caf\udce9" in shown.getvalue()


def command(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "lessonlib", *words], capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("words", ["--port 0", "used", "used/accounts.ods", "--fresh ? new"])
def test_a_refusal_comes_before_set_up(
    words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "used").mkdir()
    (tmp_path / "used" / "accounts.ods").touch()

    def set_up(*given: object, **named: object) -> None:
        raise AssertionError("set up before it was refused")

    monkeypatch.setattr("lessonlib.start.command.suitable_python", set_up)
    assert main(["--copy-only", *words.split()]) == 2
    said = capsys.readouterr().err
    for heading in ("found:", "accepted:", "next:"):
        assert heading in said


def test_a_refusal_ends_with_code_2_and_no_traceback() -> None:
    done = command("--frobnicate")
    assert done.returncode == 2
    assert done.stderr.startswith("The workbook cannot go on.")
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("words", [["--help"], ["test", "--help"]])
def test_help_lists_every_option_and_the_other_commands(words: list[str]) -> None:
    done = command(*words)
    assert done.returncode == 0
    for word in ("--folder", "--port", "--no-browser", "--fresh", "--version", "test", "sheet"):
        assert word in done.stdout


def test_version_is_the_package_s() -> None:
    assert lessonlib.__version__ in command("--version").stdout


def test_a_class_is_set_and_marked_by_the_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("lessonlib.start.command.checkout", lambda: None)
    (tmp_path / "names.csv").write_text("name\nAda\nBen\n", "utf-8")
    folder = str(tmp_path / "monday")
    sets = ["class", "set", "1", "--trainees", str(tmp_path / "names.csv"), "--to", folder]
    assert main([*sets, "--seed", "7"]) == 0
    assert "2 trainees" in capsys.readouterr().out
    assert main(["class", "mark", folder]) == 0
    assert "0 of 2 marked" in capsys.readouterr().out
    assert main(["class", "mark", str(tmp_path)]) == 2
    assert "the folder that a worksheet was set into" in capsys.readouterr().err
    assert main(["class", "check", str(tmp_path / "names.csv")]) == 2
    assert "to put right" in capsys.readouterr().out
    with pytest.raises(StartError, match="--trainees"):
        parse(["class", "set", "1", "--to", folder])
