"""Every setting of an appliance in one table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, settings
from lessonlib.circuit.live import live_words
from lessonlib.circuit.situation import situation
from lessonlib.circuit.solution import Solution, solutions_of
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table


@dataclass(frozen=True, repr=False)
class SettingTable(Table):
    """A row for each setting of the hand-operated switches, whose positions lead it."""

    appliance: Appliance

    @property
    def _row_headers(self) -> int:
        return max(1, len(self.appliance.switches))

    @property
    def switch_header(self) -> tuple[str, ...]:
        """The switches' names, over their positions."""
        return tuple(part.name for part in self.appliance.switches) or ("setting",)

    def switch_cells(self, setting: Setting) -> tuple[str, ...]:
        """The switches' positions, one a cell."""
        return tuple(setting[part.name] for part in self.appliance.switches) or ("as it is",)


@dataclass(frozen=True, repr=False)
class StateTable(SettingTable):
    """Every setting: power and current, each element's power, and what can give a shock."""

    solutions: tuple[Solution, ...]

    @property
    def caption(self) -> str:
        notes = ", ".join(self.solutions[0].situation.notes)
        return f"{self.appliance.title}: every switch setting, at {notes}"

    @property
    def header(self) -> tuple[str, ...]:
        elements = (part.name for part in self.appliance.elements)
        return (*self.switch_header, "power", "current", *elements, "live")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [tuple(self._shown(solution)) for solution in self.solutions]

    def _shown(self, solution: Solution) -> Iterator[str]:
        yield from self.switch_cells(solution.setting)
        short = solution.short is not None
        yield "short circuit" if short else format_quantity(solution.power_W, "W")
        yield format_quantity(solution.current_A, "A")
        for part in self.appliance.elements:
            yield format_quantity(solution.part[part.name].power_W, "W")
        yield live_words(self.appliance, solution.live)


def state_table(
    appliance: Appliance,
    *,
    fault: Fault | str | None = None,
    reversed_plug: bool = False,
    supply_voltage_V: float | None = None,
) -> StateTable:
    """Every setting of the switches: power, current, each element's power, what can give a shock.

    The options are those of `solve`. Parts that act by themselves are at their start.
    """
    base = situation(appliance, None, fault, reversed_plug, supply_voltage_V)
    return StateTable(appliance, tuple(solutions_of(base, settings(appliance), [base.fault])))
