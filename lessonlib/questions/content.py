"""A question file, read: headings, lines of data, texts. Nothing in it is ever run.

A file is Markdown. `# Lesson 2` at the top says which lesson it belongs to; each `## name` begins a
question:

    ## urn-on-low-mains
    same circuit: say what it gives on any other voltage

        keep_W  = from 300 to 600 by 50
        circuit = tea-urn, E1.power_W = keep_W, at S1 on
        answer  = now.current_A in A

    The keep-warm element is marked {keep_W} W. Which current does the urn draw?

    - power-kept = keep_W / 207
      When: the watts of the marking are taken for the watts on any voltage
      Why: On another voltage the element no longer gives what is marked on it.
      Try: Lower the supply in the panel, and read the power of E1.
    ? What does it draw at the voltage that is marked?
    = {keep_W} W ÷ 230 V = {keep_W / 230: A}.

The line under the heading is a grade and an objective of the lesson, or `check`, or `prediction`.
Indented lines are data (see `content_lines`), then comes the text, a slip for each `-`, a hint for
each `?`, a line of the worked answer for each `=`. Any other line goes on with the one before. In
place of When, Why and Try a slip may have `Say:`, the whole reply, and `If:` says in which draws
there is such a slip. Why one step of an order comes before another is told by `> pull before prove:
Isolate first.`, and for any two by `> earlier before later: {earlier} comes first.` An option of
a prediction is `- its words`, with the thought behind it as `Why:`; the true one is `- [x] its
words`. Its lines with `=` are what `recall` tells once there is a choice.

A circuit of one's own stands anywhere in the file as an appliance file, between a line "```toml
glue-pot", with its name, and a line "```".
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from keyword import iskeyword
from typing import Any

from lessonlib.appliance.problems import near
from lessonlib.errors import AnswerError, LessonlibError, shown
from lessonlib.questions.content_words import filled
from lessonlib.questions.exercise import GRADES

MOST_CHARACTERS = 400_000
"""Longest file that is read: ten times the longest of ours."""

MOST_OF_A_LINE = 4000
"""Longest line, what goes on below it included."""

FIELDS = ("When", "Why", "Try", "Say", "Source", "If")
KINDS = (*GRADES, "check", "prediction")


@dataclass(frozen=True)
class Line:
    """A line of data, `name = value`, with its number in the file."""

    number: int
    name: str
    value: str


@dataclass(frozen=True)
class Item:
    """A slip or an option: what follows its mark, and its fields by name."""

    number: int
    head: str
    fields: dict[str, str]
    true: bool = False

    @property
    def name(self) -> str:
        """A slip's name: what is before the equals sign."""
        return self.head.partition("=")[0].strip()

    @property
    def value(self) -> str:
        """A slip's value: what is after it."""
        return self.head.partition("=")[2].strip()


@dataclass
class Entry:
    """One question as it stands in its file. `kind` is a grade, "check" or "prediction";
    `circuits` are the appliance files of the same file, by name. `ours`: it comes with the
    workbook, so it may use a Python function, and the tests have checked it."""

    file: str
    lesson: int
    number: int
    name: str
    circuits: dict[str, str]
    ours: bool
    kind: str = ""
    objective: str = ""
    data: list[Line] = field(default_factory=list)
    text: str = ""
    items: list[Item] = field(default_factory=list)
    hints: list[str] = field(default_factory=list)
    worked: list[str] = field(default_factory=list)
    reasons: dict[tuple[str, str], str] = field(default_factory=dict)

    def wrong(self, number: int, what: str) -> AnswerError:
        """An error that says where it is: file, line and question."""
        return AnswerError(f"{self.file}, line {number}, {self.name}: {what}")

    def fill(self, number: int, text: str, names: Mapping[str, Any]) -> str:
        """`text` of that line with its gaps filled."""
        try:
            return filled(text, names)
        except LessonlibError as error:
            raise self.wrong(number, str(error)) from None


def read_entries(text: str, file: str = "questions", ours: bool = False) -> list[Entry]:
    """Every question of a file. Raises `AnswerError` that lists everything wrong with its form."""
    if len(text) > MOST_CHARACTERS:
        raise AnswerError(
            f"{file}: found {len(text):,} characters. Accepted: at most {MOST_CHARACTERS:,}. "
            "Cut it into two files."
        )
    lesson, entries, problems = 0, [], []
    text, circuits = _without_circuits(text)
    for number, block in _blocks(text):
        try:
            if number == 1 and not block[0].startswith("## "):
                lesson = _lesson(file, block)
            else:
                entry = Entry(file, lesson, number, block[0][3:].strip(), circuits, ours)
                entries.append(_filled_in(entry, block))
        except AnswerError as error:
            problems.append(str(error))
    names = [entry.name for entry in entries]
    problems += [
        f"{file}, line {entry.number}: found the name {shown(entry.name)} twice. Accepted: a name "
        "for one question only. Give this one another."
        for place, entry in enumerate(entries)
        if entry.name in names[:place]
    ]
    if problems:
        raise AnswerError("\n".join(problems))
    return entries


_CIRCUIT = re.compile(r"^```toml (\S+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def _without_circuits(text: str) -> tuple[str, dict[str, str]]:
    """The text with blank lines in place of its appliance files, and those by name."""
    circuits = {found[1]: found[2] for found in _CIRCUIT.finditer(text)}
    return _CIRCUIT.sub(lambda found: "\n" * found[0].count("\n"), text), circuits


def _blocks(text: str) -> Iterator[tuple[int, list[str]]]:
    """The lines up to the first `## `, and of each question; with the number of the first line."""
    block: list[str] = []
    begin = 1
    for number, line in enumerate(text.splitlines(), start=1):
        if line.startswith("## ") and number > 1:
            yield begin, block
            block, begin = [], number
        block.append(line.rstrip())
    if block:
        yield begin, block


def _lesson(file: str, block: list[str]) -> int:
    found = re.fullmatch(r"# Lesson ([0-9]{1,3})\b.*", block[0])
    if found is None:
        raise AnswerError(
            f"{file}, line 1: found {shown(block[0])}. Accepted: a heading such as # Lesson 2. "
            "Begin the file with it."
        )
    return int(found[1])


def _filled_in(entry: Entry, block: list[str]) -> Entry:
    """`entry` with what the lines of its block say."""
    number = entry.number
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", entry.name):
        raise entry.wrong(
            number,
            "found that name. Accepted: lower case letters and digits, joined by hyphens.",
        )
    lines = [(number + place, line) for place, line in enumerate(block)][1:]
    rest = iter(_joined(lines))
    _, kind = next(rest, (number, ""))
    grade, _, objective = kind.partition(": ")
    entry.kind, entry.objective = grade.strip(), objective.strip()
    if entry.kind not in KINDS or (entry.kind in GRADES and not entry.objective):
        meant = near(entry.kind, KINDS)
        then = f"Did you mean {meant}?" if meant else "Write one under the name."
        raise entry.wrong(
            number + 1,
            f"found {shown(kind)}. Accepted: {', '.join(GRADES)}, each with an objective after a "
            f"colon; check; prediction. {then}",
        )
    paragraphs: list[str] = []
    for place, line in rest:
        if len(line) > MOST_OF_A_LINE:
            raise entry.wrong(
                place, f"found {len(line)} characters in one. Accepted: at most {MOST_OF_A_LINE}."
            )
        mark, _, said = line.partition(" ")
        said = said.strip()
        if line.startswith("    ") and not paragraphs:
            entry.data.append(_data(entry, place, line))
        elif mark == "-":
            true = said.startswith(_TRUE)
            entry.items.append(Item(place, said.removeprefix(_TRUE).strip(), {}, true))
        elif line.startswith("  ") and entry.items:
            name, colon, words = line.strip().partition(": ")
            if name not in FIELDS or not colon:
                raise entry.wrong(
                    place, f"found {shown(line)}. Accepted: {', '.join(FIELDS)} and a colon."
                )
            if name in entry.items[-1].fields:
                raise entry.wrong(
                    place, f"found {name} twice. Accepted: one in each slip. Begin a new slip: -."
                )
            entry.items[-1].fields[name] = words.strip()
        elif mark == "?":
            entry.hints.append(said)
        elif mark == "=":
            entry.worked.append(said)
        elif mark == ">":
            entry.reasons |= _reason(entry, place, said)
        elif entry.items or entry.hints or entry.worked:
            raise entry.wrong(
                place,
                f"found {shown(line)} after the slips. Accepted there: lines that begin with -, ? "
                "or =, and the fields of a slip. Put the text of the question before them.",
            )
        else:
            paragraphs.append(line)
    entry.text = "\n".join(paragraphs)
    return entry


_TRUE = "[x] "
_BEGINS = re.compile(r"[-?=>] |    (?=\S)|  (" + "|".join(FIELDS) + r"):")


def _joined(lines: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """Lines without blank ones; a line that only goes on is joined to the one before."""
    joined: list[tuple[int, str]] = []
    goes_on = False
    for place, (number, line) in enumerate(lines):
        if goes_on and line.strip() and not _BEGINS.match(line):
            begin, before = joined[-1]
            joined[-1] = (begin, f"{before} {line.strip()}")
            continue
        if line.strip():
            joined.append((number, line))
        goes_on = bool(line.strip()) and place > 0  # the grade has its line to itself
    return joined


def _reason(entry: Entry, number: int, said: str) -> dict[tuple[str, str], str]:
    found = re.fullmatch(r"(\S+) before (\S+): (.+)", said)
    if found is None:
        raise entry.wrong(
            number,
            f"found {shown(said)}. Accepted: two steps and a sentence, as in pull before prove: "
            "Isolate first. Write it so.",
        )
    return {(f"{{{found[1]}}}", f"{{{found[2]}}}"): found[3]}


def _data(entry: Entry, number: int, line: str) -> Line:
    name, sign, value = line.strip().partition("=")
    names = [each.strip() for each in name.split(",")]
    if not sign or not all(each.isidentifier() and not iskeyword(each) for each in names):
        raise entry.wrong(
            number,
            f"found {shown(line.strip())}. Accepted: a name, =, and a value, as in "
            "supply_V = one of 207, 230, 253.",
        )
    return Line(number, name.strip(), value.strip())
