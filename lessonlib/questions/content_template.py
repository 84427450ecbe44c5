"""From a question's entry in a file to the question with its numbers: `content_lines` says what its
lines of data may be, `content_answers` what its answer and its slips."""

from __future__ import annotations

from typing import Any

from lessonlib.questions.answers import Answer, CircuitFile, Number
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.content import Entry, Item
from lessonlib.questions.content_answers import asked
from lessonlib.questions.content_lines import Lines
from lessonlib.questions.draw import Draw
from lessonlib.questions.exercise import Exercise, Slip, Template
from lessonlib.questions.marking import too_close


def template_of(entry: Entry) -> Template:
    """The template of an entry that is an exercise or a check. One of ours is not checked anew
    each time it is drawn, since the tests have done so."""
    grade: Any = entry.kind

    def make(draw: Draw) -> Exercise:
        exercise = _exercise(entry, Lines(entry, draw))
        close = None if entry.ours else too_close(exercise)
        if close:
            raise entry.wrong(entry.number, close)
        return exercise

    return Template(entry.name, entry.lesson, grade, entry.objective, make)


def _exercise(entry: Entry, lines: Lines) -> Exercise:
    answer, found = _answer_and_slips(entry, lines)
    names = {"right": answer.written(answer.value), **lines.names}
    worked = [entry.fill(entry.number, line, names) for line in entry.worked]
    # a drawing of the circuit that a file is asked for would be its answer
    shows = lines.picture != "no" and not isinstance(answer, CircuitFile) and not lines.wirings
    return Exercise(
        text=entry.fill(entry.number, entry.text, lines.names),
        answer=answer,
        slips=tuple(_slip(entry, item, value, names | own) for item, value, own in found),
        hints=tuple(entry.fill(entry.number, hint, names) for hint in entry.hints),
        worked=tuple("\n".join(worked).split("\n")) if worked else (),
        appliance=lines.circuit if shows else None,
        setting=lines.setting if shows else {},
        wirings=lines.wirings,
        heats=lines.heats,
    )


_Found = tuple[Item, Any, dict[str, Any]]
"""A slip with its value, and the names that its texts may read beside the question's own."""


def _answer_and_slips(entry: Entry, lines: Lines) -> tuple[Answer, list[_Found]]:
    """The answer, and the slips without those that are right in this draw, or the same as an
    earlier one."""
    if lines.answer is None:
        raise entry.wrong(
            entry.number,
            "found no answer. Accepted: a line such as answer = now.power_W in W. Add it.",
        )
    number = lines.answer[0]
    with entry.at(number):
        wanted = asked(lines)
    found: list[_Found] = []
    for item in entry.items:
        with entry.at(item.number):
            name = item.name.replace("-", "_")
            if "If" in item.fields and not work_out(item.fields["If"], lines.names):
                continue  # this draw has no such slip
            if item.value.startswith("with "):
                other = lines.but(item.value.removeprefix("with "))
                found.append((item, asked(other).right, {"then": other.names}))
            elif item.value or not lines.from_python:
                found.append((item, wanted.read(item.value), {}))
            elif name in lines.names:
                found.append((item, lines.names[name], {}))
    with entry.at(number):
        answer = wanted.made([value for _, value, _ in found])
    if isinstance(answer, Number | CircuitFile):  # its author must hear of it
        return answer, found
    met = [answer.value, *(value for _, value, _ in found)]
    return answer, [slip for place, slip in enumerate(found, 1) if slip[1] not in met[:place]]


def _slip(entry: Entry, item: Item, value: Any, names: dict[str, Any]) -> Slip:
    words = {
        field: entry.fill(item.number, text, names).rstrip()
        for field, text in item.fields.items()
        if field not in ("If", "Source")  # the source is for who reads the file
    }
    if "Say" in words:
        words |= {"When": "", "Why": words["Say"], "Try": ""}
    missing = [field for field in ("When", "Why", "Try") if field not in words]
    if missing:
        raise entry.wrong(
            item.number, f"found no {' and no '.join(missing)}. Accepted: all three. Add them."
        )
    return Slip(item.name, value, words["When"], words["Why"], words["Try"])
