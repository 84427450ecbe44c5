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
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from keyword import iskeyword
from typing import Any

from lessonlib.appliance.problems import near
from lessonlib.errors import AnswerError, LessonlibError, shown
from lessonlib.questions.content_words import filled
from lessonlib.questions.exercise import GRADES

MOST_CHARACTERS = 400_000
"""Longest file that is read: ten times the longest of ours."""

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

    @contextmanager
    def at(self, number: int) -> Iterator[None]:
        """Whatever is refused in this block is what is wrong with that line."""
        try:
            yield
        except LessonlibError as error:
            raise self.wrong(number, str(error)) from None

    def fill(self, number: int, text: str, names: Mapping[str, Any]) -> str:
        """`text` of that line with its gaps filled."""
        with self.at(number):
            return filled(text, names)


def read_entries(text: str, file: str = "questions", ours: bool = False) -> list[Entry]:
    """Every question of a file. Raises `AnswerError` that lists everything wrong with its form."""
    if len(text) > MOST_CHARACTERS:
        raise AnswerError(
            f"{file}: found {len(text):,} characters. Accepted: at most {MOST_CHARACTERS:,}. "
            "Cut it into two files."
        )
    circuits = {found[1]: found[2] for found in _CIRCUIT.finditer(text)}
    text = _CIRCUIT.sub(lambda found: "\n" * found[0].count("\n"), text)
    head, *blocks = re.split("^(?=## )", text, flags=re.MULTILINE)
    lesson = re.match(r"# Lesson ([0-9]{1,3})\b", head or "# Lesson 0")
    if lesson is None:
        raise AnswerError(
            f"{file}, line 1: found {shown(head.partition(chr(10))[0])}. Accepted: a heading such "
            "as # Lesson 2. Begin the file with it."
        )
    entries: list[Entry] = []
    problems: list[str] = []
    number = 1 + head.count("\n")
    for block in blocks:
        name, *lines = block.splitlines()
        entry = Entry(file, int(lesson[1]), number, name[3:].strip(), circuits, ours)
        number += block.count("\n")
        try:
            if entry.name in [each.name for each in entries]:
                raise entry.wrong(
                    entry.number,
                    f"found the name {shown(entry.name)} twice. Accepted: a name for one question "
                    "only. Give this one another.",
                )
            _fill_in(entry, lines)
        except AnswerError as error:
            problems.append(str(error))
        entries.append(entry)
    if problems:
        raise AnswerError("\n".join(problems))
    return entries


_CIRCUIT = re.compile(r"^```toml (\S+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def _fill_in(entry: Entry, block: Sequence[str]) -> None:
    """Put what the lines of its block say into `entry`."""
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", entry.name):
        raise entry.wrong(
            entry.number,
            "found that name. Accepted: lower case letters and digits, joined by hyphens.",
        )
    lines = _joined(entry.number, block)
    _, kind = next(lines, (0, ""))
    grade, _, objective = kind.partition(": ")
    entry.kind, entry.objective = grade.strip(), objective.strip()
    if entry.kind not in KINDS or (entry.kind in GRADES and not entry.objective):
        meant = near(entry.kind, KINDS)
        then = f"Did you mean {meant}?" if meant else "Write one under the name."
        raise entry.wrong(
            entry.number + 1,
            f"found {shown(kind)}. Accepted: {', '.join(GRADES)}, each with an objective after a "
            f"colon; check; prediction. {then}",
        )
    paragraphs: list[str] = []
    for number, line in lines:
        mark, _, said = line.partition(" ")
        said = said.strip()
        if line.startswith("    ") and not paragraphs:
            entry.data.append(_data(entry, number, said))
        elif mark == "-":
            true = said.startswith(_TRUE)
            entry.items.append(Item(number, said.removeprefix(_TRUE).strip(), {}, true))
        elif line.startswith("  ") and entry.items:
            name, colon, words = said.partition(": ")
            if name in entry.items[-1].fields or not colon:
                found = f"{name} twice" if colon else shown(line)
                raise entry.wrong(
                    number,
                    f"found {found}. Accepted: {', '.join(FIELDS)} and a colon, each once in a "
                    "slip. Begin a new slip with -.",
                )
            entry.items[-1].fields[name] = words.strip()
        elif mark == "?":
            entry.hints.append(said)
        elif mark == "=":
            entry.worked.append(said)
        elif mark == ">":
            entry.reasons |= _reason(entry, number, said)
        elif entry.items or entry.hints or entry.worked:
            raise entry.wrong(
                number,
                f"found {shown(line)} after the slips. Accepted there: lines that begin with -, ? "
                "or =, and the fields of a slip. Put the text of the question before them.",
            )
        else:
            paragraphs.append(line)
    entry.text = "\n".join(paragraphs)


_TRUE = "[x] "
_BEGINS = re.compile(r"[-?=>] |    (?=\S)|  (" + "|".join(FIELDS) + r"):")


def _joined(number: int, block: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Lines without blank ones, with their numbers in the file; a line that only goes on is joined
    to the one before. The grade has its line to itself."""
    begin, joined, is_first = number, "", True
    for place, line in enumerate(map(str.rstrip, block), number + 1):
        if line and joined and not is_first and not _BEGINS.match(line):
            joined += f" {line.strip()}"
            continue
        if joined:
            yield begin, joined
            is_first = False
        begin, joined = place, line
    if joined:
        yield begin, joined


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
    name, sign, value = line.partition("=")
    names = [each.strip() for each in name.split(",")]
    if not sign or not all(each.isidentifier() and not iskeyword(each) for each in names):
        raise entry.wrong(
            number,
            f"found {shown(line)}. Accepted: a name, =, and a value, as in "
            "supply_V = one of 207, 230, 253.",
        )
    return Line(number, name.strip(), value.strip())
