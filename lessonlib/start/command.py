"""The whole command: check, set up, copy and open; or run the tests; or write a sheet; or set and
mark exercises for a class."""

from __future__ import annotations

import io
import os
import secrets
import sys
from collections.abc import Sequence
from pathlib import Path, PurePosixPath
from typing import Any

from lessonlib.appliance.bundled import load_appliance, workbook_folder
from lessonlib.errors import LessonlibError
from lessonlib.start import copying, lab, testing
from lessonlib.start.arguments import (
    COMMAND,
    ClassOptions,
    SheetOptions,
    StartOptions,
    TestOptions,
    parse,
)
from lessonlib.start.copying import Report
from lessonlib.start.environment import go_on_with, suitable_python
from lessonlib.start.notebook import START_PAGE
from lessonlib.start.requirements import checkout
from lessonlib.start.trouble import StartError

REFUSED = 2
_INTERRUPTED = 130  # as shells report Ctrl-C


def main(arguments: Sequence[str]) -> int:
    """Do what the command line asks; returns the exit code."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")  # a folder may have any name
    try:
        options = parse(arguments)
        if isinstance(options, TestOptions):
            return _test(options, arguments)
        if isinstance(options, SheetOptions):
            return _sheet(options, arguments)
        if isinstance(options, ClassOptions):
            return _class(options, arguments)
        return _start(options, arguments)
    except LessonlibError as refusal:  # each says found, accepted, next
        print(refusal, file=sys.stderr, flush=True)
        return REFUSED
    except KeyboardInterrupt:
        print("\nStopped. Nothing is lost; the same command goes on from here.", file=sys.stderr)
        return _INTERRUPTED


def _test(options: TestOptions, arguments: Sequence[str]) -> int:
    project = checkout()
    if project is None:
        raise StartError(
            "an installed copy of lessonlib, which comes without its tests",
            "a checkout of the project",
            f"clone the project, then in its folder: {COMMAND} test",
        )
    _be_set_up(arguments, "test")
    return testing.run_tests(project.folder, options.extra)


def _be_set_up(arguments: Sequence[str], extra: str | None = None) -> None:
    """Make sure that this Python has everything; if not, start again in one that has."""
    project = checkout()
    if project is not None:
        python = suitable_python(project, extra, say=_say)
        if python != Path(sys.executable):
            go_on_with(python, arguments)


def _sheet(options: SheetOptions, arguments: Sequence[str]) -> int:
    try:
        appliance = load_appliance(_asked_for(options))
        _be_set_up(arguments)
        from lessonlib.sheet.files import write_files
        from lessonlib.sheet.sheet import bench_sheet

        sheet = bench_sheet(appliance, paper=options.paper)
        written = write_files(sheet, options.targets)
    except OSError as problem:
        if isinstance(problem, LessonlibError):
            raise
        raise StartError(
            f"{problem.strerror or problem} while writing {problem.filename or 'the sheet'}",
            "a folder that you may write to, with space on the disk",
            "put that right, or name another file with --to",
        ) from None
    pages = "1 page" if sheet.pages == 1 else f"{sheet.pages} pages"
    _say(f"Bench sheet of {appliance.title}, {options.paper}, {pages}:")
    for target in options.targets:
        _say(f"  {target}{'' if target in written else ' (was there already, the same)'}")
    return 0


def _class(options: ClassOptions, arguments: Sequence[str]) -> int:
    _be_set_up(arguments)
    from lessonlib.worksheets.marking import mark_worksheet
    from lessonlib.worksheets.own import check_questions
    from lessonlib.worksheets.setting import set_worksheet

    try:
        if options.what == "check":
            checked = check_questions(options.exercises)
            _say(str(checked))
            return REFUSED if checked.problems else 0
        if options.what == "mark":
            _say(str(mark_worksheet(options.folder)))
            return 0
        number = options.exercises.isdecimal()
        exercises = int(options.exercises) if number else options.exercises
        said: dict[str, Any] = {} if options.seed is None else {"seed": options.seed}
        _say(str(set_worksheet(exercises, options.trainees, options.folder, **said)))
    except OSError as problem:
        if isinstance(problem, LessonlibError):
            raise
        raise StartError(
            f"{problem.strerror or problem} while writing {problem.filename or 'a file'}",
            "a folder that you may write to, with space on the disk",
            "put that right; the same command goes on from here",
        ) from None
    return 0


def _asked_for(options: SheetOptions) -> str | Path:
    """What `load_appliance` is to load: a saved file of that name comes first, as in a notebook."""
    saved = options.folder.expanduser() / "appliances"
    if Path("appliances").is_dir():  # this is a copy of the lessons, as in the workbook's terminal
        saved = Path("appliances")
    own = saved / f"{options.appliance}.toml"
    return own if os.path.isfile(own) else options.appliance


def _start(options: StartOptions, arguments: Sequence[str]) -> int:
    # everything that can be refused is refused before set-up, which takes minutes
    workbook = workbook_folder()
    lessons = copying.sources(workbook, instructor=options.instructor)
    folder = copying.check_folder(options.folder, workbook, [item.name for item in lessons])
    fresh = [copying.named(word, lessons) for word in options.fresh]
    port = None if options.copy_only else lab.usable_port(options.port)
    _be_set_up(arguments)
    report = copying.update(folder, lessons, fresh=fresh, say=_say)
    for line in lines(report):
        _say(line)
    if port is None:
        return 0
    lab.check_installed()
    page = "/lab"
    if (folder / START_PAGE).is_file():  # unless the trainee has removed it
        page += f"/tree/{START_PAGE}"
    token = os.environ.get("JUPYTER_TOKEN") or secrets.token_hex(24)
    address = f"http://{lab.HOST}:{port}{page}?token={token}"
    where = "The browser opens the workbook. If it does not, go" if options.browser else "Go"
    root = os.name != "nt" and os.geteuid() == 0
    code = lab.open_lab(
        lab.lab_command(folder, port=port, browser=options.browser, page=page, root=root),
        folder,
        lab.lab_environment(os.environ, token),
        port=port,
        ready=lambda: _say(f"{where} to\n  {address}\nPress Ctrl-C here to close the workbook."),
    )
    _say(f"Closed. Your work is in {folder}")
    return code


def lines(report: Report) -> list[str]:
    """The report in plain words."""
    said = []
    if report.record_lost:
        said.append("The record of what was copied is damaged, so every file here counts as yours.")
    said += _line("Copied", report.brought)
    said += _line("Updated (you had not changed them)", report.updated)
    for name, beside in report.kept.items():
        if beside is not None:
            said.append(f"Kept yours: {name}. The workbook's version is beside it: {beside}")
    said += _line("Kept yours", [name for name, beside in report.kept.items() if beside is None])
    said += _line("Not copied again, as you removed them", report.removed)
    for name in report.removed[:1]:
        said.append(f"  To get one back: {COMMAND} --fresh {PurePosixPath(name).stem}")
    said += _line("Left alone, as they are links, folders or pipes", report.left_alone)
    head = f"Your copy of the lessons: {report.folder}"
    return [head, *(f"  {line}" for line in said or ["Everything is up to date."])]


def _line(what: str, names: Sequence[str]) -> list[str]:
    """What was done with these files, if any. Of many appliance files it gives the number only."""
    files = [name for name in names if name.startswith("appliances/")]
    lessons = [name for name in names if name not in files]
    if len(files) > 2:
        files = [f"{len(files)} appliance files"]
    return [f"{what}: {', '.join(lessons + files)}"] if names else []


def _say(line: str) -> None:
    print(line, flush=True)
