"""What questions about live points share: the points inside, which are live, which slips count."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import solve
from lessonlib.questions.answers import Points
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw, T


@dataclass(frozen=True)
class LiveCase:
    """An appliance in a setting, its lead as marked or with line and neutral `swapped`."""

    appliance: Appliance
    setting: Mapping[str, str]
    swapped: bool

    def but(self, **positions: str) -> LiveCase:
        """The same case with some parts in other positions."""
        return replace(self, setting={**self.setting, **positions})

    @property
    def turned(self) -> LiveCase:
        """The same case with the lead the other way round."""
        return replace(self, swapped=not self.swapped)

    @cached_property
    def live(self) -> frozenset[str]:
        """The points inside that can give a shock."""
        return live_inside(self.appliance, self.setting, swapped=self.swapped)

    @property
    def cold_ends(self) -> frozenset[str]:
        """The ends of the elements that carry no current."""
        return cold_ends(self.appliance, self.setting, swapped=self.swapped)

    @property
    def points(self) -> frozenset[str]:
        return frozenset(inside(self.appliance))

    def asked(self, slips: Mapping[str, Set[str]], **words: object) -> Numbers:
        """The question which points inside are live, with those of `slips` that are wrong here."""
        points = inside(self.appliance)
        return Numbers(
            answer=Points(self.live, points),
            slips=distinct(self.live, slips),
            words={
                **words,
                **self.setting,
                "swapped": self.swapped,
                "live": tuple(name for name in points if name in self.live),
            },
            appliance=self.appliance,
            setting=self.setting,
        )


def inside(appliance: Appliance) -> tuple[str, ...]:
    """The points that are no terminal of the supply, in the order of the file."""
    return tuple(node for node in appliance.nodes if node not in ("L", "N", "PE"))


def live_inside(
    appliance: Appliance, setting: Mapping[str, str], *, swapped: bool
) -> frozenset[str]:
    """The points inside that can give a shock; `swapped`: with line and neutral swapped in the
    lead."""
    node = solve(appliance, setting, reversed_plug=swapped).node
    return frozenset(name for name in inside(appliance) if node[name].can_shock)


def cold_ends(appliance: Appliance, setting: Mapping[str, str], *, swapped: bool) -> frozenset[str]:
    """The ends of the elements that carry no current."""
    part = solve(appliance, setting, reversed_plug=swapped).part
    cold = [each for each in appliance.of_kind("element") if not part[each.name].current_A]
    return frozenset(end for each in cold for end in each.rungs[0])


def one_by_answer(draw: Draw, cases: Sequence[tuple[T, frozenset[str]]], every: int) -> T:
    """One of `cases`, each with what is right for it: nothing, some or all of its `every` points
    are equally likely, so that no one does well by always giving the same answer."""
    sorts = {
        "none": [case for case, right in cases if not right],
        "some": [case for case, right in cases if 0 < len(right) < every],
        "all": [case for case, right in cases if len(right) == every],
    }
    return draw.one_of(draw.one_of([kind for kind in sorts.values() if kind]))


def distinct(right: object, slips: Mapping[str, Any]) -> dict[str, Any]:
    """Each slip that gives a wrong answer here which no earlier one gave."""
    found, kept = {right}, {}
    for name, value in slips.items():
        if value not in found:
            found.add(value)
            kept[name] = value
    return kept
