"""What a person acts on: all that has to be put right or found out, each thing once."""

from __future__ import annotations

from dataclasses import dataclass

from lessonlib.ratings import metalwork
from lessonlib.ratings.finding import Finding, Findings
from lessonlib.ratings.hazard import FIRST as FIRST
from lessonlib.ratings.hazard import Hazards
from lessonlib.ratings.hazards import DRY_HEAT
from lessonlib.ratings.of_heat import DRY
from lessonlib.ratings.of_parts import HALF_WAVES
from lessonlib.ratings.of_supply import EARTH
from lessonlib.ratings.of_wiring import SHORT
from lessonlib.words import counted, listed

_SAME = {DRY: DRY_HEAT, EARTH: metalwork.ABOUT, SHORT: SHORT}
"""Findings that say the same as a danger."""


@dataclass(frozen=True)
class Advice:
    """Sentences, the dangers first. `passed` counts the limits that are kept; `not_new` are the
    diodes that may stay where they are, but that no new design may have."""

    put_right: tuple[str, ...]
    find_out: tuple[str, ...]
    passed: int
    not_new: tuple[str, ...]

    @property
    def standing(self) -> str:
        """How it stands, in one line."""
        right = "Nothing has to be put right"
        if self.put_right:
            right = f"{counted(len(self.put_right), 'thing')} to put right"
        out = f", {counted(len(self.find_out), 'thing')} to find out" if self.find_out else ""
        kept = counted(self.passed, "limit is", "limits are")
        new = f"; a new design may not have {listed(self.not_new)}" if self.not_new else ""
        return f"{right}{out}; {kept} kept{new}. None of this says that it is safe."


def advice(found: Findings, table: Hazards) -> Advice:
    """What findings and hazards of one appliance ask of somebody."""
    told = {row.about for row in table.dangers}

    def said(rows: tuple[Finding, ...]) -> tuple[str, ...]:
        return tuple(f"{row.part}, {row.what}: {row.told}" for row in rows if not twice(row))

    def twice(row: Finding) -> bool:
        fire = row.what == DRY and row.verdict == "fail"  # it says more than the danger
        return not fire and _SAME.get(row.what) in told

    dangers = tuple(row.sentence for row in table.dangers)
    fails = found.of("fail")
    put_right = said(tuple(row for row in fails if row.what != HALF_WAVES))
    not_new = tuple(row.part for row in fails if row.what == HALF_WAVES)
    find_out, passed = said(found.of("cannot tell")), len(found.of("pass"))
    return Advice((*dangers, *put_right), find_out, passed, not_new)
