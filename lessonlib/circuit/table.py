"""Every setting in one table, and two wirings of the same parts side by side."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import TERMINALS, Appliance
from lessonlib.appliance.settings import Setting, settings, switch_words
from lessonlib.circuit.live import live_words
from lessonlib.circuit.situation import situation
from lessonlib.circuit.solution import Solution, solutions_of, solve_all
from lessonlib.errors import SettingError
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table
from lessonlib.words import listed

_SHORT = "short circuit"


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
        yield _SHORT if solution.short is not None else format_quantity(solution.power_W, "W")
        yield format_quantity(solution.current_A, "A")
        for part in self.appliance.elements:
            yield format_quantity(solution.part[part.name].power_W, "W")
        yield live_words(self.appliance, solution.live)

    @property
    def rows(self) -> list[dict[str, object]]:
        """Plain rows: positions by switch name under "setting", SI floats (None in a short),
        element powers under "part_W", node conditions under "condition", the ends of parts that can
        give a shock under "live" (part, contact and node), and "short" as text."""
        return [
            {
                "setting": {
                    part.name: solution.setting[part.name] for part in self.appliance.switches
                },
                "power_W": solution.power_W,
                "current_A": solution.current_A,
                "part_W": {
                    part.name: solution.part[part.name].power_W
                    for part in (*self.appliance.elements, *self.appliance.lamps)
                },
                "condition": {name: node.condition for name, node in solution.node.items()},
                "live": [asdict(end) for end in solution.live],
                "short": None if solution.short is None else str(solution.short),
            }
            for solution in self.solutions
        ]

    def to_csv(self) -> str:
        """Comma-separated values with a header line; numbers in W and A, empty where undefined.

        The column "live" lists the ends of parts that can give a shock: "E1 at L; S1 at L".
        """
        rows = [list(self._csv_cells(solution)) for solution in self.solutions]
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(_plain(name) for name, _ in rows[0])
        writer.writerows([_plain(value) for _, value in row] for row in rows)
        return out.getvalue()

    def _csv_cells(self, solution: Solution) -> Iterator[tuple[str, str]]:
        for part in self.appliance.switches:
            yield part.name, solution.setting[part.name]
        yield "power_W", _number(solution.power_W)
        yield "current_A", _number(solution.current_A)
        for element in self.appliance.elements:
            yield f"{element.name} power_W", _number(solution.part[element.name].power_W)
        for name, node in solution.node.items():
            if name not in TERMINALS:
                yield f"{name} condition", node.condition
        yield "live", "; ".join(map(str, solution.live))
        yield "short", "" if solution.short is None else str(solution.short)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.10g}"


def _plain(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula: names come from files."""
    return f"'{cell}" if cell.startswith(tuple("=+-@\t\r")) else cell


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


Outcome = tuple[tuple[str, float], ...]
"""Element name and power in W, to four figures; empty for a short circuit."""


@dataclass(frozen=True, repr=False)
class Comparison(Table):
    """Which element powers each wiring can give, and by which settings.

    `outcomes` maps each distinct set of element powers to, for every appliance, the settings that
    give it.
    """

    appliances: tuple[Appliance, ...]
    outcomes: Mapping[Outcome, tuple[tuple[str, ...], ...]]

    @property
    def caption(self) -> str:
        titles = [appliance.title for appliance in self.appliances]
        lacking = []
        for index, title in enumerate(titles):
            missing = [_named(powers) for powers, by in self.outcomes.items() if not by[index]]
            if missing:
                lacking.append(f"{title} lacks {', '.join(missing)}")
        return f"{listed(titles)}: {'; '.join(lacking) or 'the same settings'}"

    @property
    def same(self) -> bool:
        """Whether every wiring gives the same sets of element powers."""
        return all(all(found) for found in self.outcomes.values())

    @property
    def header(self) -> tuple[str, ...]:
        return ("element powers", *(appliance.title for appliance in self.appliances))

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (_named(outcome), *(" or ".join(settings) or "not possible" for settings in found))
            for outcome, found in self.outcomes.items()
        ]


def _named(outcome: Outcome) -> str:
    if not outcome:
        return _SHORT
    return ", ".join(f"{name} {format_quantity(power, 'W')}" for name, power in outcome)


def compare(appliances: Sequence[Appliance]) -> Comparison:
    """Put two or more wirings of the same elements side by side.

    Raises `SettingError` (a `ValueError`) when the appliances do not have the same elements, by
    name and resistance, or when fewer than two are given.
    """
    found = tuple(appliances)
    if len(found) < 2:
        raise SettingError(
            f"found {len(found)} appliance to compare; accepted: two or more. "
            "Give a list: compare([first, second])."
        )
    for other in found[1:]:
        if _elements(other) != _elements(found[0]):
            raise SettingError(
                f"{other.title} has elements {_element_words(other)}, {found[0].title} has "
                f"{_element_words(found[0])}; accepted: the same names and resistances. "
                "Describe both wirings with the same elements."
            )
    outcomes: dict[Outcome, tuple[list[str], ...]] = {}
    for index, appliance in enumerate(found):
        for solution in solve_all(appliance):
            row = outcomes.setdefault(_outcome(solution), tuple([] for _ in found))
            row[index].append(switch_words(appliance, solution.setting) or "as it is")
    ordered = sorted(outcomes.items(), key=lambda item: sum(power for _, power in item[0]))
    return Comparison(found, {key: tuple(map(tuple, value)) for key, value in ordered})


def _elements(appliance: Appliance) -> dict[str, str]:
    """Resistance by element name, to six figures: enough to tell marked powers apart."""
    return {
        part.name: f"{part.resistance_ohm:.6g}"
        for part in sorted(appliance.elements, key=lambda part: part.name)
    }


def _element_words(appliance: Appliance) -> str:
    return ", ".join(f"{name} ({ohms} ohm)" for name, ohms in _elements(appliance).items())


def _outcome(solution: Solution) -> Outcome:
    if solution.short is not None:
        return ()
    # A meter cannot tell powers apart that agree to four figures.
    return tuple(
        (name, float(f"{solution.part[name].power_W or 0.0:.4g}"))
        for name in _elements(solution.appliance)
    )
