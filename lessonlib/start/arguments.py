"""What the command line may say."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from lessonlib import __version__
from lessonlib.errors import shown
from lessonlib.start.trouble import StartError

COMMAND = "python3 -m lessonlib"
FOLDER = Path("~/heater-workbook")

_TEXT = """\
Sets up what is missing, makes or updates your own copy of the lessons, and opens it in the browser.
What you changed in a lesson is never overwritten.
"""

_MORE = """\
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


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        # argparse's own wording, without its usage block: the next step says where to look
        raise StartError(
            message,
            "a folder, and the options that --help lists",
            f"{COMMAND} --help",
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


def parse(arguments: Sequence[str]) -> StartOptions | TestOptions:
    """The command line as options. Raises `StartError` for anything that is not understood.

    `--help` and `--version` print and end the process, as usual.
    """
    words = list(arguments)
    if words[:1] == ["test"]:
        if words[1:] in (["--help"], ["-h"]):
            parser().parse_args(["--help"])
        return TestOptions(tuple(words[1:]))
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


def _refuse_slip_of(folder: str | None) -> None:
    """A mistyped `test` must not make a folder of that name."""
    if folder is None:
        return
    if not folder.strip() or "\0" in folder:
        raise StartError(
            f"the folder name {shown(folder)}", "a folder", "leave it out, or name one"
        )
    near = difflib.get_close_matches(folder.lower(), ["test"], n=1, cutoff=0.7)
    if near and not Path(folder).exists():
        raise StartError(
            f"the word {shown(folder)}",
            "a folder, or the word test",
            f"{COMMAND} test, or ./{folder} if you mean a folder of that name",
        )
