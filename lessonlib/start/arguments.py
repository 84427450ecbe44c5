"""Reads the command line: start, test, sheet or class, and their options."""

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
Opening the workbook sets up what is missing, makes or updates your own copy of the lessons, and
opens it in the browser. What you have changed or run in a lesson is never overwritten.
"""

_SHEET_TEXT = (
    "Writes a page about an appliance, to print for the bench or the wall: "
    "NAME-sheet.html and NAME-sheet.pdf in this folder. No file of yours is overwritten. "
    "A name that you saved an appliance under comes before a bundled one."
)

_CLASS_TEXT = (
    "For instructors: sets a class exercises with numbers of their own, marks what comes back, and "
    "says what to talk about; or checks questions of your own."
)

_USAGE = f"""
  {COMMAND} [FOLDER] [options]                  open the workbook
  {COMMAND} sheet APPLIANCE_OR_FILE [options]   write a page for the bench or the wall
  {COMMAND} class set|mark|check ...            set a class exercises, mark them
  {COMMAND} test [pytest arguments]             run all tests and every lesson"""


@dataclass(frozen=True)
class StartOptions:
    """Open the workbook."""

    folder: Path = FOLDER
    port: int | None = None
    browser: bool = True
    copy_only: bool = False
    instructor: bool = False
    fresh: Sequence[str] = ()


@dataclass(frozen=True)
class TestOptions:
    """Run the tests; `extra` goes to pytest as it is."""

    __test__ = False  # the name starts like a test class; pytest must not collect it

    extra: Sequence[str] = ()


@dataclass(frozen=True)
class SheetOptions:
    """Write the bench sheet of `appliance`: to `to`, or as HTML and PDF into this folder."""

    appliance: str
    to: Path | None = None
    paper: str = "A4"
    folder: Path = FOLDER

    @property
    def targets(self) -> list[Path]:
        name = Path(self.appliance).stem
        return [self.to] if self.to else [Path(f"{name}-sheet{end}") for end in SHEET_SUFFIXES]


@dataclass(frozen=True)
class ClassOptions:
    """Set a worksheet (`exercises`, for the trainees in `trainees`, into `folder`), mark what is in
    `folder`, or check the question file `exercises`: as `what` says."""

    what: str
    exercises: str = ""
    trainees: str = ""
    folder: str = ""
    seed: int | None = None


Options = StartOptions | TestOptions | SheetOptions | ClassOptions


def parse(arguments: Sequence[str]) -> Options:
    """The command line as options. Raises `StartError` for anything that is not understood.

    `--help` and `--version` print and end the process, as usual.
    """
    match list(arguments):
        case ["test", "--help" | "-h"]:
            return parse(["--help"])
        case ["test", *extra]:
            return TestOptions(extra)
        case ["sheet", *words]:
            return SheetOptions(**vars(_sheet_parser().parse_args(words)))
        case ["class", *words]:
            return ClassOptions(**vars(_class_parser().parse_args(words)))
        case words:
            _check_spelling(words[0] if words else "")
            return _start_options(words)


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        # argparse's own wording, without its usage block: the next step says where to look
        found = message.replace("the following arguments are required:", "nothing for")
        raise StartError(found, "the words and options that --help lists", f"{self.prog} --help")


def _start_options(words: Sequence[str]) -> StartOptions:
    parser = _Parser(
        prog=COMMAND,
        description=_TEXT,
        usage=_USAGE,
        allow_abbrev=False,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    option = parser.add_argument
    option(
        "place", nargs="?", metavar="FOLDER", help=f"your copy of the lessons (default: {FOLDER})"
    )
    option("--folder", help="the same, as an option")
    option("--port", type=int, help="port of JupyterLab (default: a free one from 8888)")
    option(
        "--no-browser",
        dest="browser",
        action="store_false",
        help="open no browser; print the address to go to",
    )
    option(
        "--fresh",
        action="append",
        default=[],
        metavar="LESSON",
        help="a clean copy of this lesson: in its place if you removed it, else beside yours",
    )
    option("--instructor", action="store_true", help="also copy the notebooks for instructors")
    option("--copy-only", action="store_true", help="make or update the copy, then stop")
    option("--version", action="version", version=f"heater workbook {__version__}")
    given = vars(parser.parse_args(words))
    place, folder, port = given.pop("place"), given.pop("folder"), given["port"]
    if place is not None and folder is not None:
        found = f"two folders, {shown(place)} and {shown(folder)}"
        raise StartError(found, "one folder", "name the folder once")
    if port is not None and not 1 <= port <= 65535:
        raise StartError(
            f"port {port}", "a port from 1 to 65535", "leave --port out to use a free one"
        )
    given["fresh"] = tuple(given["fresh"])
    return StartOptions(_folder(place if folder is None else folder), **given)


def _folder(name: str | None) -> Path:
    if name is None:
        return FOLDER
    if not name.strip() or "\0" in name:
        raise StartError(f"the folder name {shown(name)}", "a folder", "leave it out, or name one")
    return Path(name)


def _check_spelling(name: str) -> None:
    """Refuses a first word that looks like a misspelt `test`, `sheet` or `class`."""
    near = difflib.get_close_matches(name[:40].lower(), ["test", "sheet", "class"], n=1, cutoff=0.7)
    if near and not Path(name).exists():
        raise StartError(
            f"the word {shown(name)}",
            "a folder, or the words test, sheet and class",
            f"{COMMAND} {near[0]}, or ./{name} if you mean a folder of that name",
        )


def _sheet_parser() -> argparse.ArgumentParser:
    parser = _Parser(prog=f"{COMMAND} sheet", description=_SHEET_TEXT, allow_abbrev=False)
    option = parser.add_argument
    option(
        "appliance",
        metavar="APPLIANCE_OR_FILE",
        help="a name that you saved, a bundled one, or a path to a .toml file",
    )
    option("--to", type=_target, metavar="FILE", help="write this one file: .html or .pdf")
    option("--paper", type=_paper, default="A4", help="A4 (default) or letter, both upright")
    option(
        "--folder",
        type=_folder,
        default=FOLDER,
        help=f"your copy of the lessons, which has what you saved (default: {FOLDER})",
    )
    return parser


def _class_parser() -> argparse.ArgumentParser:
    parser = _Parser(prog=f"{COMMAND} class", description=_CLASS_TEXT, allow_abbrev=False)
    what = parser.add_subparsers(dest="what", required=True, metavar="set|mark|check")
    sets = what.add_parser(
        "set", help="write notebooks, pages to print and a key", allow_abbrev=False
    )
    sets.add_argument(
        "exercises",
        metavar="LIST",
        help="a TOML file with title and exercises, or a lesson's number",
    )
    sets.add_argument(
        "--trainees", required=True, metavar="CSV", help="the class, a row each, with a column name"
    )
    sets.add_argument("--seed", type=int, help="which numbers (default: those of the list, or 1)")
    sets.add_argument("--to", dest="folder", required=True, metavar="FOLDER", help="where to")
    marks = what.add_parser("mark", help="mark what is in FOLDER/handed in", allow_abbrev=False)
    marks.add_argument("folder", metavar="FOLDER", help="a folder that `class set` has made")
    checks = what.add_parser(
        "check", help="say what is wrong with a question file", allow_abbrev=False
    )
    checks.add_argument("exercises", metavar="FILE", help="questions of your own, as Markdown")
    return parser


def _paper(word: str) -> str:
    for name in SHEET_PAPERS:
        if name.lower() == word.lower():
            return name
    accepted = " or ".join(SHEET_PAPERS)
    raise StartError(f"paper {shown(word)}", accepted, "use one of these, or leave --paper out")


def _target(name: str) -> Path:
    to = Path(name)
    if "\0" in name or to.suffix.lower() not in SHEET_SUFFIXES:
        raise StartError(
            f"the file name {shown(name)}",
            f"a name that ends in {' or '.join(SHEET_SUFFIXES)}",
            "leave --to out to have both, or end the name in one of these",
        )
    if not os.path.isdir(to.parent):
        raise StartError(
            f"no folder {shown(str(to.parent))}",
            "a folder that is there",
            "make the folder first, or name another file",
        )
    return to
