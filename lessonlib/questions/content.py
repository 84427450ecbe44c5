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
Indented lines are data (`template` says what may stand there), then comes the text, a slip for each
`-`, a hint for each `?`, a line of the worked answer for each `=`. A line that begins in no such
way goes on with the one before. In place of When, Why and Try a slip may have `Say:`, the whole
reply. An option of a prediction is `- its words`, with the thought behind it as `Why:`; the true
one is `- [x] its words`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from keyword import iskeyword

from lessonlib.errors import AnswerError, shown

MOST_CHARACTERS = 400_000
"""Longest file that is read: ten times the longest of ours."""

MOST_OF_A_LINE = 2000
"""Longest line, what goes on below it included."""

FIELDS = ("When", "Why", "Try", "Say", "Source")


@dataclass(frozen=True)
class Line:
    """A line of data, `name = value`, with its number in the file."""

    number: int
    name: str
    value: str


@dataclass(frozen=True)
class Item:
    """A slip or an option: what stands behind its mark, and its fields by name."""

    number: int
    head: str
    fields: dict[str, str]
    true: bool = False


@dataclass
class Entry:
    """One question as it stands in its file. `kind` is a grade, "check" or "prediction"."""

    file: str
    lesson: int
    number: int
    name: str
    kind: str = ""
    objective: str = ""
    data: list[Line] = field(default_factory=list)
    text: str = ""
    items: list[Item] = field(default_factory=list)
    hints: list[str] = field(default_factory=list)
    worked: list[str] = field(default_factory=list)

    def wrong(self, number: int, what: str) -> AnswerError:
        """An error that says where it is: file, line and question."""
        return AnswerError(f"{self.file}, line {number}, {self.name}: {what}")


def read_entries(text: str, file: str = "questions") -> list[Entry]:
    """Every question of a file. Raises `AnswerError` that lists everything wrong with its form."""
    if len(text) > MOST_CHARACTERS:
        raise AnswerError(
            f"{file}: found {len(text):,} characters. Accepted: at most {MOST_CHARACTERS:,}. "
            "Cut it into two files."
        )
    lesson, entries, problems = 0, [], []
    for number, block in _blocks(text):
        try:
            if number == 1 and not block[0].startswith("## "):
                lesson = _lesson(file, block)
            else:
                entries.append(_entry(file, lesson, number, block))
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


def _entry(file: str, lesson: int, number: int, block: list[str]) -> Entry:
    entry = Entry(file, lesson, number, block[0][3:].strip())
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
            entry.items[-1].fields[name] = words.strip()
        elif mark == "?":
            entry.hints.append(said)
        elif mark == "=":
            entry.worked.append(said)
        elif entry.items or entry.hints or entry.worked:
            raise entry.wrong(
                place,
                f"found {shown(line)} behind the slips. Accepted there: lines that begin with -, "
                "? or =, and the fields of a slip. Put the text of the question in front of them.",
            )
        else:
            paragraphs.append(line)
    entry.text = "\n".join(paragraphs)
    return entry


_TRUE = "[x] "
_BEGINS = re.compile(r"[-?=] |    (?=\S)|  (" + "|".join(FIELDS) + r"):")


def _joined(lines: list[tuple[int, str]]) -> Iterator[tuple[int, str]]:
    """Lines, those that only go on with the one before joined to it; blank ones end it."""
    whole: tuple[int, str] | None = None
    for number, line in lines:
        goes_on = whole is not None and line.strip() and not _BEGINS.match(line)
        if goes_on and whole is not None:
            whole = (whole[0], f"{whole[1]} {line.strip()}")
            continue
        if whole is not None:
            yield whole
        whole = (number, line) if line.strip() else None
        if whole is not None and number == lines[0][0]:  # the kind stands by itself
            yield whole
            whole = None
    if whole is not None:
        yield whole


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
