"""An appliance file, judged by what its circuit does and not by its spelling."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from lessonlib.appliance.file_text import file_text
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.appliance.settings import setting_count
from lessonlib.circuit.behaviour import ASPECTS, Aspect, behaviour
from lessonlib.circuit.behaviour import same as same_behaviour
from lessonlib.circuit.differences import differences
from lessonlib.errors import AnswerError, ApplianceError, LessonlibError, shown
from lessonlib.quantities import format_quantity
from lessonlib.questions.answers.answer import Answer
from lessonlib.questions.reading import Unread
from lessonlib.words import counted, listed

MOST_SETTINGS = 64
MOST_PARTS = 40
"""Most settings and parts of a reply. The largest bundled appliance has 8 settings, 9 parts."""


@dataclass(frozen=True)
class CircuitFile(Answer):
    """The text of a file whose circuit does what `value` does. Names of nodes and parts are
    free; so is everything else that changes none of its powers, and nothing in `must`:

    - "live points"  what both ends of each element are, in each setting and each way of the plug
      that the reference allows
    - "off is dead"  only whether any point inside is live where nothing heats
    - "lamps"        which glow when
    - "protection"   what heats and glows when a fuse, thermostat or pressure switch is open, and
      with "live points" what the ends of the elements are then
    - "marks"        at which temperature or pressure each of those opens and closes
    - "positions"    which position of which switch does it, by the positions' names
    """

    kind: ClassVar[str] = "file"
    value: Appliance
    start_text: str = ""
    must: tuple[Aspect, ...] = ("live points", "lamps", "protection")

    def __post_init__(self) -> None:
        if not set(self.must) <= set(ASPECTS):
            raise AnswerError(
                f"found must = {shown(self.must)}. Accepted: any of {', '.join(ASPECTS)}. "
                "Use these words."
            )

    def read(self, given: object) -> tuple[Appliance, ...] | Unread:
        """The appliance that the text describes, or everything that the reader finds wrong with
        it."""
        if not isinstance(given, str):
            return Unread(f"I cannot read {shown(given)}. Write the text of an appliance file.")
        if not given.strip():
            return Unread("Nothing is written yet. Begin with a title and a [supply] table.")
        try:
            found = read_appliance(given, "your file")
        except ApplianceError as error:
            return Unread(str(error))
        count = setting_count(found.switches)
        if count > MOST_SETTINGS or len(found.parts) > MOST_PARTS:
            return Unread(
                f"Your file has {len(found.parts)} parts and {count:,} settings of its switches, "
                f"more than I compare ({MOST_PARTS} and {MOST_SETTINGS}). Describe only what is "
                "there."
            )
        try:
            behaviour(found, self.value).rows  # noqa: B018 - raises where there is none
        except LessonlibError as error:  # numbers that the solver cannot hold against each other
            return Unread(f"I cannot work out what your circuit does. {error}")
        return (found,)

    def same(self, value: Appliance, slip_value: Appliance) -> bool:
        one, other = (behaviour(each, self.value) for each in (value, slip_value))
        return same_behaviour(one, other, self.must)

    def seen(self, value: Appliance) -> str:
        rows = behaviour(value, self.value).rows
        powers_W = sorted({round(row.heat_W, 1) for row in rows if not row.short})
        powers = [format_quantity(power_W, "W") for power_W in powers_W] or ["a short circuit"]
        gives = listed(powers) if len(powers) < 7 else f"{powers[0]} to {powers[-1]}"
        return f"a circuit with {listed(list(_counted(value)))}, which gives {gives}"

    def general(self, value: Appliance) -> str:
        theirs, ours = behaviour(value, self.value), behaviour(self.value, self.value)
        return " ".join(differences(theirs, ours, self.must)[:2])

    def written(self, value: Appliance) -> str:
        return file_text(value)

    def form(self) -> dict[str, Any]:
        return {"kind": self.kind, "start_text": self.start_text}

    def how(self) -> str:
        return 'the text of the file, as in .try_answer("""...""")'


def _counted(appliance: Appliance) -> Iterator[str]:
    kinds = {
        "element": appliance.elements,
        "diode": appliance.diodes,
        "self-acting contact": appliance.self_acting,
        "lamp": appliance.lamps,
        "switch": appliance.switches,
    }
    for word, parts in kinds.items():
        if parts:
            yield counted(len(parts), word)
    if not any(kinds.values()):
        yield "no part that heats"
