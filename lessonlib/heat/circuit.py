"""The circuit during a run: what the solver says of each combination of positions that is met."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from lessonlib.circuit.islands import Short
from lessonlib.circuit.situation import Situation
from lessonlib.circuit.solution import solution_of


@dataclass(frozen=True)
class Circuit:
    """One combination of positions. `heat_W` is what the elements give, one by one in `element_W`
    (nothing in a short circuit), `drawn_W` what the appliance draws. `setting` has a welded contact
    of a self-acting part as closed, and one that does not make as open."""

    heat_W: float
    element_W: Mapping[str, float]
    drawn_W: float
    short: Short | None
    setting: Mapping[str, str]

    @cached_property
    def without_power(self) -> Circuit:
        """The same once the supply has tripped."""
        return replace(self, heat_W=0.0, element_W=dict.fromkeys(self.element_W, 0.0), drawn_W=0.0)


@dataclass(frozen=True)
class Circuits:
    """Every circuit of a run; each is solved once. `held` is where faults hold contacts."""

    situation: Situation
    held: Mapping[str, str]
    _solved: dict[tuple[str, ...], Circuit] = field(default_factory=dict)

    def at(self, positions: Mapping[str, str]) -> Circuit:
        """The circuit at these positions of every movable part."""
        key = tuple(positions.values())
        known = self._solved.get(key)
        if known is None:
            known = self._solved[key] = self._solve(positions)
        return known

    def _solve(self, positions: Mapping[str, str]) -> Circuit:
        now = solution_of(replace(self.situation, setting=dict(positions)))
        element_W = {
            element.name: now.part[element.name].power_W or 0.0
            for element in self.situation.appliance.elements
        }
        return Circuit(
            heat_W=sum(element_W.values()),
            element_W=element_W,
            drawn_W=now.power_W or 0.0,
            short=now.short,
            setting={**positions, **self.held},
        )
