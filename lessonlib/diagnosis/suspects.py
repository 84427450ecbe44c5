"""What all readings say together: suspects, what is ruled out and why, and what to do next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.diagnosis.bench_test import BenchTest
from lessonlib.diagnosis.further import further_tests
from lessonlib.diagnosis.joint_heat import joint_heat
from lessonlib.diagnosis.ranges import Guess
from lessonlib.diagnosis.typed import Reading
from lessonlib.safety import AT_BENCH, AT_PLUG
from lessonlib.tables import Table
from lessonlib.words import counted

_MOST_NAMED = 6


@dataclass(frozen=True)
class Suspect:
    """What agrees with all readings; no faults stand for a sound appliance.

    `agreement` is 1 where every reading is what the file says, and 0 at the limits of what may be.
    `shown` is False where nothing measured so far would show it.
    """

    guess: Guess
    agreement: float
    shown: bool
    reasons: tuple[str, ...]

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults, in the size that agrees best."""
        return self.guess.faults

    @property
    def words(self) -> str:
        """The faults, with all sizes that agree."""
        return self.guess.words


@dataclass(frozen=True)
class RuledOut:
    """What does not agree, and why: the reading that it is farthest from, against what it would
    read there."""

    guess: Guess
    why: str

    @property
    def words(self) -> str:
        """The faults in words, without a size: none agrees."""
        return self.guess.unsized


@dataclass(frozen=True, repr=False)
class Diagnosis(Table):
    """What `readings` say together about `appliance`; a table of suspects, then of what is out.

    `next_test` is the test that would tell most now for its trouble, None where no test tells more.
    `nearest` has what comes nearest where nothing agrees.
    """

    appliance: Appliance
    readings: tuple[Reading, ...]
    suspects: tuple[Suspect, ...]
    ruled_out: tuple[RuledOut, ...]
    contradictions: tuple[str, ...]
    nearest: tuple[RuledOut, ...]
    next_test: BenchTest | None

    @property
    def conclusion(self) -> str:
        """What it comes to, in a sentence."""
        found = [each for each in self.suspects if each.shown]
        hidden = len(self.suspects) - len(found)
        if not found:
            near = _some([each.words for each in self.nearest])
            return f"Nothing modelled explains these readings. Nearest: {near}"
        rest = f". These readings would not show {counted(hidden, 'other fault')}" if hidden else ""
        if not found[0].faults:
            others = [each.words for each in found[1:]]
            also = f". These may read the same: {_some(others)}" if others else ""
            so_far = " so far" if self.next_test else ""
            return f"No fault found{so_far}{also}{rest}"
        if len(found) == 1:
            return f"It is {found[0].words}, if it is one fault only"
        return f"It is one of {len(found)}: {_some([each.words for each in found])}"

    @property
    def caption(self) -> str:
        return f"{self.appliance.title}: what the readings say together"

    @property
    def header(self) -> tuple[str, ...]:
        return ("verdict", "what, and why")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        grouped = {("contradiction", words): ["Measure again"] for words in self.contradictions}
        for near in self.nearest:
            grouped.setdefault(("nearest", near.why), []).append(near.words)
        for one in self.suspects:
            key = (f"fits {100 * one.agreement:.0f} %", "; ".join(one.reasons))
            if not one.shown:
                key = ("not shown yet", "no reading so far would show it")
            grouped.setdefault(key, []).append(one.words)
        for each in self.ruled_out:
            if each not in self.nearest:
                grouped.setdefault(("ruled out", each.why), []).append(each.words)
        return [(verdict, f"{_some(names)} – {why}") for (verdict, why), names in grouped.items()]

    @property
    def what_next(self) -> str:
        """The next test in a sentence, or what would tell more where no test at the bench does."""
        test = self.next_test
        if not self.suspects:
            return "Do the tests again that contradict each other, and look at the meter's range."
        if test is not None:
            return f"Next test, {test.place}: {test.words}."
        faults = [fault for one in self.suspects for fault in one.faults]
        more = further_tests(self.appliance, faults) if len(self.suspects) > 1 else ()
        return " ".join(("No test at the bench tells more.", *(f"{line}." for line in more)))

    @cached_property
    def heat(self) -> str:
        """What a bad joint among the suspects would do in use, in a sentence; empty for none."""
        shown = [one.guess for one in self.suspects if one.shown]
        if shown and not shown[0].faults:  # nothing speaks for one
            return ""
        corners = [corner for guess in shown for corner in guess.corners]
        return joint_heat(self.appliance, corners)

    @property
    def told(self) -> tuple[str, ...]:
        """The conclusion, what a bad joint would do, and what to do next: a sentence each."""
        return tuple(filter(None, (f"{self.conclusion}.", self.heat, self.what_next)))

    def __str__(self) -> str:
        return "\n".join((f"{AT_BENCH} {AT_PLUG}", *self.told, "", super().__str__()))

    __repr__ = __str__

    def _repr_html_(self) -> str:
        told = self.told
        return (
            f"<p>{escape(AT_BENCH)} {AT_PLUG}</p>"
            f"<p><strong>{escape(told[0])}</strong><br>{'<br>'.join(map(escape, told[1:]))}</p>"
            f"{super()._repr_html_()}"
        )


def _some(names: Sequence[str]) -> str:
    more = len(names) - _MOST_NAMED
    rest = f"; and {more} more" if more > 0 else ""
    return f"{'; '.join(names[:_MOST_NAMED])}{rest}"
