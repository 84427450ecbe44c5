"""What an exercise is: a template draws it from a seed, with its answer, its slips and its words.

An exercise holds every word of its question, hints and replies, with the numbers drawn. Its answer
says how a reply is read and compared; a slip is a known wrong way of thinking together with the
wrong answer that it gives here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from lessonlib.questions.draw import Draw

if TYPE_CHECKING:
    from lessonlib.appliance.parts import Appliance
    from lessonlib.questions.answers import Answer

Grade = Literal["same circuit", "new circuit", "find or design", "check"]

GRADES: tuple[Grade, ...] = ("same circuit", "new circuit", "find or design")


@dataclass(frozen=True)
class Slip:
    """A known wrong way of thinking. `value` is what it gives here, as the answer's kind has it.

    `thought` is a clause that completes "This is what you get when ...": "the voltage is halved and
    the power with it". `why` says in a sentence why that fails here, with this exercise's numbers
    where they help, but not the right answer. `attempt` is a thing to do on the panel or the
    drawing that shows the conflict, as an instruction. Where `thought` is empty, `why` is the whole
    reply.
    """

    name: str
    value: Any
    thought: str
    why: str
    attempt: str


@dataclass(frozen=True)
class Exercise:
    """One exercise with its numbers. `hints`: the first points the way, the second nearly there; a
    check has one or none.
    `worked`: the solution line by line, each a formula or a sentence with this exercise's numbers.
    `appliance` and `setting` are what its drawing shows; None and empty where there is none.
    `wirings` are drawn in its place where there are several, each under its label.
    `heats` says that it is about what happens over minutes, so its live picture is one that heats.
    """

    text: str
    answer: Answer
    slips: tuple[Slip, ...]
    hints: tuple[str, ...]
    worked: tuple[str, ...]
    appliance: Appliance | None = None
    setting: Mapping[str, str] = field(default_factory=dict)
    wirings: tuple[tuple[str, Appliance], ...] = ()
    heats: bool = False


@dataclass(frozen=True)
class Template:
    """Where exercises and checks come from. `name` is unique: lower case, words joined by hyphens.
    `objective` is one of the lesson's own objectives, in its words; `make` draws the exercise."""

    name: str
    lesson: int
    grade: Grade
    objective: str
    make: Callable[[Draw], Exercise]

    def draw(self, seed: int) -> Exercise:
        """The exercise of that seed: the same seed gives the same exercise."""
        return self.make(Draw(self.name, seed))
