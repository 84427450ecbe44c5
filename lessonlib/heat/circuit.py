"""The circuit during a run: each combination of positions met, solved once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from lessonlib.circuit.islands import Short
from lessonlib.circuit.situation import Situation
from lessonlib.circuit.solution import solution_of


@dataclass(frozen=True)
class Circuit:
    """One combination of positions. `heat_W` is what the elements give, one by one in `element_W`;
    `drawn_W` is what the appliance draws, lamps included. In a short circuit they give nothing.
    `setting` has a welded contact as closed, and one that does not make as open."""

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
    """Every circuit of a run; `held` is where a fault holds contacts."""

    situation: Situation
    held: Mapping[str, str]
    _solved: dict[tuple[str, ...], Circuit] = field(default_factory=dict)

    def at(self, positions: Mapping[str, str]) -> Circuit:
        """The circuit at these positions of every movable part."""
        key = tuple(positions.values())
        if key not in self._solved:
            self._solved[key] = self._solve(positions)
        return self._solved[key]

    def _solve(self, positions: Mapping[str, str]) -> Circuit:
        now = solution_of(replace(self.situation, setting=dict(positions)))
        elements = self.situation.appliance.elements
        element_W = {each.name: now.part[each.name].power_W or 0.0 for each in elements}
        return Circuit(
            heat_W=sum(element_W.values()),
            element_W=element_W,
            drawn_W=now.power_W or 0.0,
            short=now.short,
            setting={**positions, **self.held},
        )
