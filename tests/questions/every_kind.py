"""One exercise of each kind of answer, with answers to it, in code and on the keyboard."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from lessonlib.appliance.file_text import file_text
from lessonlib.questions.answers import (
    Answer,
    CellTable,
    Choice,
    CircuitFile,
    Number,
    OneSetting,
    Order,
    Points,
)
from lessonlib.questions.draw import Draw
from lessonlib.questions.exercise import Exercise, Slip, Template
from lessonlib.questions.task import Task

STEPS = ("Pull the plug", "Prove dead", "Measure")


@dataclass(frozen=True)
class Case:
    """`wrong` matches the slip. `keys` type an answer, beginning with the focus in front of the
    first field; what is longer than a key's name is typed."""

    template: Template
    right: Any
    wrong: Any
    keys: tuple[str, ...]

    def task(self, seed: int = 1) -> Task:
        return Task(self.template, seed)


def _template(
    kind: str, answer: Callable[[Draw], Answer], slip: Any, appliance: str = ""
) -> Template:
    def make(draw: Draw) -> Exercise:
        voltage_V = draw.number(100, 400, 1)
        return Exercise(
            text=f"A question for {kind}, on {voltage_V:g} V.\nThink before you write.",
            answer=answer(draw),
            slips=(
                Slip(
                    "known",
                    slip,
                    thought="this is thought",
                    why="It fails here.",
                    attempt="look again.",
                ),
            ),
            hints=("Look at the supply.", "Look at the elements."),
            worked=("One line.", "Another line."),
            appliance=draw.appliance(appliance) if appliance else None,
        )

    return Template(f"test-{kind}", 2, "same circuit", "test it", make)


def _rail_file(**powers_W: float) -> str:
    changes: Mapping[str, Mapping[str, object]] = {
        name: {"power_W": power_W} for name, power_W in powers_W.items()
    }
    return file_text(Draw("rail", 1).appliance("towel-rail", changes))


_START = 'title = "Rail"\n'

CASES = {
    "number": Case(
        _template("number", lambda draw: Number(100, "W"), 200.0, "tea-urn"),
        "0.1 kW",
        "200 W",
        ("Tab", "200 W", "Enter"),
    ),
    "choice": Case(
        _template("choice", lambda draw: Choice("a quarter", ("half", "a quarter")), "half"),
        "a quarter",
        "half",
        ("Tab", "Space", "Tab", "Enter"),
    ),
    "setting": Case(
        _template(
            "setting",
            lambda draw: OneSetting(draw.appliance("towel-rail"), {"S1": "low"}),
            {"S1": "high"},
            "towel-rail",
        ),
        {"S1": "low"},
        {"S1": "high"},
        ("Tab", "Space", "ArrowUp", "Tab", "Space"),
    ),
    "points": Case(
        _template("points", lambda draw: Points(frozenset(), ("L", "boost")), frozenset({"boost"})),
        ["none"],
        ["boost"],
        ("Tab", "Tab", "Space", "Tab", "Tab", "Enter"),
    ),
    "table": Case(
        _template(
            "table",
            lambda draw: CellTable(
                ("S1 off", "S1 on"),
                (("power", "W"), ("current", "A")),
                ((400.0, 2.0), (1600.0, 7.0)),
            ),
            ((0.0, 0.0), (1600.0, 7.0)),
        ),
        [["400 W", "2 A"], ["1.6 kW", "7 A"]],
        [["0 W", "0 A"], ["1600 W", "7 A"]],
        ("Tab", "0 W", "Tab", "0 A", "Tab", "1600 W", "Tab", "7 A", "Enter"),
    ),
    "order": Case(
        _template("order", lambda draw: Order(STEPS), (STEPS[0], STEPS[2], STEPS[1])),
        list(STEPS),
        [STEPS[0], STEPS[2], STEPS[1]],
        # offered are the second, the first and the third: the second goes down twice
        ("Tab", "Tab", "Enter", "Space", "Tab", "Enter"),
    ),
    "file": Case(
        _template(
            "file",
            lambda draw: CircuitFile(draw.appliance("towel-rail"), _START),
            Draw("rail", 1).appliance("towel-rail", {"E1": {"power_W": 700}}),
        ),
        _rail_file(),
        _rail_file(E1=700),
        ("Tab", "Control+a", _rail_file(E1=700), "Tab", "Enter"),
    ),
}
