"""What the command line may say."""

from __future__ import annotations

import argparse
import difflib
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from lessonlib import __version__
from lessonlib.errors import shown
from lessonlib.start.trouble import StartError

COMMAND = "python3 -m lessonlib"
FOLDER = Path("~/heater-workbook")
SHEET_SUFFIXES = (".html", ".pdf")
SHEET_PAPERS = ("A4", "letter")
"""As in `lessonlib/sheet`, which cannot be loaded before set-up; a test compares them."""

_TEXT = """\
Sets up what is missing, makes or updates your own copy of the lessons, and opens it in the browser.
What you changed in a lesson is never overwritten.
"""

_SHEET_TEXT = (
    "Writes an appliance as a page for the bench or the wall, for the printer: "
    "NAME-sheet.html and NAME-sheet.pdf in this folder. No file of yours is written over."
)

_MORE = """\
python3 -m lessonlib sheet APPLIANCE_OR_FILE [--to FILE] [--paper letter]
                        a page for the bench or the wall, as .html and .pdf in this folder
python3 -m lessonlib test [pytest arguments]
                        sets up what is missing and runs all tests and every lesson
"""


@dataclass(frozen=True)
class StartOptions:
    """Open the workbook."""

    folder: Path = FOLDER
    port: int | None = None
    browser: bool = True
    copy_only: bool = False
    instructor: bool = False
    fresh: tuple[str, ...] = ()


@dataclass(frozen=True)
class TestOptions:
    """Run the tests; `extra` goes to pytest as it is."""

    __test__ = False  # the name starts like a test class; pytest must not collect it

    extra: tuple[str, ...] = ()


@dataclass(frozen=True)
class SheetOptions:
    """Write the bench sheet of `appliance`: to `to`, or as HTML and PDF into this folder."""

    appliance: str
    to: Path | None = None
    paper: str = "A4"

    @property
    def targets(self) -> list[Path]:
        """The files to be written."""
        name = Path(self.appliance).stem
        return [self.to] if self.to else [Path(f"{name}-sheet{end}") for end in SHEET_SUFFIXES]


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        # argparse's own wording, without its usage block: the next step says where to look
        raise StartError(
            message,
            "the words and options that --help lists",
            f"{self.prog} --help",
        )


def parser() -> argparse.ArgumentParser:
    """The options of the start command."""
    made = _Parser(
        prog=COMMAND,
        description=_TEXT,
        epilog=_MORE,
        allow_abbrev=False,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    made.add_argument(
        "place", nargs="?", metavar="FOLDER", help=f"your copy of the lessons (default: {FOLDER})"
    )
    made.add_argument("--folder", metavar="FOLDER", help="the same, as an option")
    made.add_argument("--port", type=int, help="port of JupyterLab (default: a free one from 8888)")
    made.add_argument("--no-browser", action="store_true", help="only print the address")
    made.add_argument(
        "--fresh",
        action="append",
        default=[],
        metavar="LESSON",
        help="a clean copy of this lesson: in its place if you removed it, else beside yours",
    )
    made.add_argument(
        "--instructor", action="store_true", help="also copy the instructor's notebooks"
    )
    made.add_argument("--copy-only", action="store_true", help="make or update the copy, then stop")
    made.add_argument("--version", action="version", version=f"heater workbook {__version__}")
    return made


def sheet_parser() -> argparse.ArgumentParser:
    """The options of the sheet command."""
    made = _Parser(prog=f"{COMMAND} sheet", description=_SHEET_TEXT, allow_abbrev=False)
    made.add_argument(
        "appliance", metavar="APPLIANCE_OR_FILE", help="a bundled name, or a path to a .toml file"
    )
    made.add_argument("--to", metavar="FILE", help="write this one file: .html or .pdf")
    made.add_argument("--paper", default="A4", help="A4 (default) or letter, both upright")
    return made


def parse(arguments: Sequence[str]) -> StartOptions | TestOptions | SheetOptions:
    """The command line as options. Raises `StartError` for anything that is not understood.

    `--help` and `--version` print and end the process, as usual.
    """
    words = list(arguments)
    if words[:1] == ["test"]:
        if words[1:] in (["--help"], ["-h"]):
            parser().parse_args(["--help"])
        return TestOptions(tuple(words[1:]))
    if words[:1] == ["sheet"]:
        return _sheet(words[1:])
    given = parser().parse_args(words)
    if given.place is not None and given.folder is not None:
        raise StartError(
            f"two folders, {shown(given.place)} and {shown(given.folder)}",
            "one folder",
            "name the folder once",
        )
    if given.port is not None and not 1 <= given.port <= 65535:
        raise StartError(
            f"port {given.port}", "a port from 1 to 65535", "leave --port out to use a free one"
        )
    folder = given.place if given.place is not None else given.folder
    _refuse_slip_of(folder)
    return StartOptions(
        folder=FOLDER if folder is None else Path(folder),
        port=given.port,
        browser=not given.no_browser,
        copy_only=given.copy_only,
        instructor=given.instructor,
        fresh=tuple(given.fresh),
    )


def _sheet(words: Sequence[str]) -> SheetOptions:
    given = sheet_parser().parse_args(words)
    paper = next((name for name in SHEET_PAPERS if name.lower() == given.paper.lower()), None)
    if paper is None:
        raise StartError(
            f"paper {shown(given.paper)}",
            " or ".join(SHEET_PAPERS),
            "use one of these, or leave --paper out",
        )
    if given.to is None:
        return SheetOptions(given.appliance, paper=paper)
    to = Path(given.to)
    if "\0" in given.to or to.suffix.lower() not in SHEET_SUFFIXES:
        raise StartError(
            f"the file name {shown(given.to)}",
            f"a name that ends in {' or '.join(SHEET_SUFFIXES)}",
            "leave --to out to have both, or end the name in one of these",
        )
    if not os.path.isdir(to.parent):
        raise StartError(
            f"no folder {shown(str(to.parent))}",
            "a folder that is there",
            "make the folder first, or name another file",
        )
    return SheetOptions(given.appliance, to, paper)


def _refuse_slip_of(folder: str | None) -> None:
    """A mistyped `test` or `sheet` must not make a folder of that name."""
    if folder is None:
        return
    if not folder.strip() or "\0" in folder:
        raise StartError(
            f"the folder name {shown(folder)}", "a folder", "leave it out, or name one"
        )
    near = difflib.get_close_matches(folder[:40].lower(), ["test", "sheet"], n=1, cutoff=0.7)
    if near and not Path(folder).exists():
        raise StartError(
            f"the word {shown(folder)}",
            "a folder, or the words test and sheet",
            f"{COMMAND} {near[0]}, or ./{folder} if you mean a folder of that name",
        )
