"""What the browser gets: one table with a row for every setting, fault and supply.

Pure functions, no widgets. The browser only looks up rows and shows their texts, so a flip needs
no kernel, and all numbers are written by `format_quantity`. A row is

    [short, power, current, [voltage, current, power, ...], [potential, ...], "0124", live]

`short` is the path of a short circuit in words, or None. Voltage, current and power come for each
rung, potentials for each node; "–" stands where the solver gives None. The text after them has one
digit for each node, an index into `CONDITIONS`. `live` says which ends of parts can give a shock.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, islice, product
from typing import Any

from lessonlib.appliance.fault import Fault, as_drawn, find_fault, single_faults
from lessonlib.appliance.parts import Appliance, Part
from lessonlib.appliance.settings import Setting, complete
from lessonlib.circuit.condition import CONDITIONS
from lessonlib.circuit.live import live_words
from lessonlib.circuit.situation import Situation, situation
from lessonlib.circuit.solution import NodeReading, Solution, solution_of, solutions_of
from lessonlib.quantities import format_quantity
from lessonlib.schematics.layout import NAME_MOST_PX
from lessonlib.schematics.text import shortened

Row = list[Any]
Indexes = tuple[int, ...]

MOST_ROWS = 4096
# About a megabyte of JSON at ten characters a text: what a saved notebook can carry.
MOST_TEXTS = 100_000
# Supply voltage within +/-10 % of nominal: IEC 60038 (EN 60038), for 230 V systems. Used for
# other nominal voltages too: 108 V to 132 V holds ANSI C84.1 range A (114 V to 126 V) for 120 V.
SUPPLY_FACTORS = (0.9, 1.0, 1.1)


@dataclass(frozen=True)
class Choices:
    """Everything a person can choose in a panel: positions, supply voltage, plug and fault.

    A choice is written as indexes: voltage, plug, fault, then one position for each movable part
    in file order. Joined by commas they are the key of a row.
    """

    appliance: Appliance
    voltages_V: tuple[float, ...]
    plugs: tuple[bool, ...]
    faults: tuple[Fault | None, ...]

    @property
    def ways(self) -> Indexes:
        """How many values each index can have."""
        moved = (len(part.positions) for part in self.appliance.movable)
        return (len(self.voltages_V), len(self.plugs), len(self.faults), *moved)

    @cached_property
    def nominal(self) -> int:
        """Index of the file's own voltage; of the first one offered when it is not among them."""
        voltage_V = self.appliance.supply.voltage_V
        return self.voltages_V.index(voltage_V) if voltage_V in self.voltages_V else 0

    def setting(self, positions: Sequence[int]) -> dict[str, str]:
        """Position indexes as a setting."""
        return {
            part.name: part.positions[index]
            for part, index in zip(self.appliance.movable, positions, strict=True)
        }

    def positions(self, setting: Setting | None) -> Indexes:
        """A setting as position indexes. Raises `SettingError` for what the appliance lacks."""
        full = complete(self.appliance, setting)
        return tuple(part.positions.index(full[part.name]) for part in self.appliance.movable)

    def solve(self, chosen: Indexes) -> Solution:
        """The solution of one choice."""
        return solution_of(self.situation(chosen))

    def situation(self, chosen: Indexes) -> Situation:
        """The situation that a choice stands for."""
        voltage, plug, fault, *positions = chosen
        setting, offered = self.setting(positions), self.faults[fault]
        volts = self.voltages_V[voltage]
        return situation(self.appliance, setting, offered, self.plugs[plug], volts)


def choices(
    appliance: Appliance,
    voltages_V: Sequence[float] | None = None,
    faults: bool | Sequence[Fault | str] = True,
) -> Choices:
    """What a panel of `appliance` offers; r.m.s. voltages, nominal and +/-10 % when left out.

    `faults` is True for every single fault, False for none, or the faults to offer. Raises
    `FaultError` for what does not fit.
    """
    nominal_V = appliance.supply.voltage_V
    # rounded, so that 1.1 times 230 V is 253 V and not 253.00000000000003 V
    offered = voltages_V or [round(nominal_V * factor, 6) for factor in SUPPLY_FACTORS]
    if isinstance(faults, bool):
        found: Sequence[Fault | None] = single_faults(appliance) if faults else ()
    else:
        found = [find_fault(appliance, fault) for fault in faults]
    return Choices(
        appliance,
        voltages_V=tuple(dict.fromkeys(offered)),
        plugs=(False, True) if appliance.supply.reversible_plug else (False,),
        faults=tuple(dict.fromkeys([None, *found])),
    )


def key_of(chosen: Indexes) -> str:
    """The key of a choice in the table's index."""
    return ",".join(map(str, chosen))


def row_of(solution: Solution) -> Row:
    """One row of the table; see the top of this file."""
    nodes = [solution.node[name] for name in solution.appliance.nodes]
    readings = [
        reading
        for part in solution.appliance.parts
        for reading in solution.part[part.name].contacts
    ]
    return [
        None if solution.short is None else str(solution.short),
        format_quantity(solution.power_W, "W"),
        format_quantity(solution.current_A, "A"),
        [
            format_quantity(value, unit)
            for reading in readings
            for value, unit in (
                (reading.voltage_V, "V"),
                (reading.current_A, "A"),
                (reading.power_W, "W"),
            )
        ],
        [_potential(node) for node in nodes],
        "".join(str(CONDITIONS.index(node.condition)) for node in nodes),
        live_words(solution.appliance, solution.live),
    ]


def _potential(node: NodeReading) -> str:
    # a floating node has no potential to write, and 0 V would be a lie
    return "floating" if node.condition == "floating" else format_quantity(node.potential_V, "V")


def most_rows(appliance: Appliance) -> int:
    """The most rows that are computed beforehand."""
    texts = 2 + len(appliance.nodes) + 3 * sum(len(part.rungs) for part in appliance.parts)
    return max(1, min(MOST_ROWS, MOST_TEXTS // texts))


def nearest_first(ways: Sequence[int], start: Indexes) -> Iterator[Indexes]:
    """Every choice of indexes, in order of how many of them differ from `start`."""
    others = [[i for i in range(count) if i != at] for count, at in zip(ways, start, strict=True)]
    for moved in range(len(start) + 1):
        for some in combinations(range(len(start)), moved):
            yield from product(
                *(others[place] if place in some else [at] for place, at in enumerate(start))
            )


def rows(
    offer: Choices, start: Indexes, limit: int, make: Callable[[Solution], Row] = row_of
) -> tuple[list[Row], dict[str, int]]:
    """Rows (made by `make`) without repeats, and row number by key.

    Of more than `limit` choices it takes the settings nearest to the start, then as many faults and
    then as many supplies as there is room for.
    """
    near = list(islice(nearest_first(offer.ways[3:], start), limit))
    faults = offer.faults[: max(1, limit // len(near))]
    supplies = nearest_first(offer.ways[:2], (offer.nominal, 0))
    found: dict[str, int] = {}
    numbers: dict[str, int] = {}
    kept: list[Row] = []
    for voltage, plug in islice(supplies, max(1, limit // (len(near) * len(faults)))):
        # all faults in one batch, as each batch takes about as long as one fault
        base = offer.situation((voltage, plug, 0, *start))
        solutions = solutions_of(base, [offer.setting(chosen) for chosen in near], faults)
        places = product(near, range(len(faults)))
        for (positions, fault), solution in zip(places, solutions, strict=True):
            row = make(solution)
            number = numbers.setdefault(repr(row), len(kept))
            if number == len(kept):
                kept.append(row)
            found[key_of((voltage, plug, fault, *positions))] = number
    return kept, found


def picture_data(
    offer: Choices, svg: str, caution: str, kept: Sequence[Row], index: dict[str, int]
) -> dict[str, Any]:
    """What every live picture gets: texts, drawing, parts, nodes, the faults on offer, and rows."""
    appliance = offer.appliance
    return {
        "title": appliance.title,
        "purpose": appliance.purpose,
        "svg": svg,
        "caution": caution,
        "parts": [_part(part) for part in appliance.parts],
        "nodes": list(appliance.nodes),
        "conditions": list(CONDITIONS),
        "faults": [_fault(appliance, fault) for fault in offer.faults],
        "rows": list(kept),
        "index": index,
    }


def panel_data(
    offer: Choices, svg: str, caution: str, start: Indexes | None = None
) -> dict[str, Any]:
    """Everything the browser gets, made of lists, dicts, texts and numbers only.

    `start` holds the position indexes the panel opens with; the appliance's own when left out.
    """
    appliance = offer.appliance
    begin = offer.positions(None) if start is None else start
    kept, index = rows(offer, begin, most_rows(appliance))
    return {
        **picture_data(offer, svg, caution, kept, index),
        "voltages": [_voltage_words(v, appliance.supply.voltage_V) for v in offer.voltages_V],
        "plugs": [_PLUG_WORDS[reversed_plug] for reversed_plug in offer.plugs],
    }


_PLUG_WORDS = {False: "as marked: L is live", True: "reversed: N is live"}


def _part(part: Part) -> dict[str, Any]:
    return {
        "name": part.name,
        "kind": part.words,
        "rungs": [list(rung) for rung in part.rungs],
        "positions": list(part.positions),
        # as they fit in the drawing
        "shown": [shortened(position, NAME_MOST_PX) for position in part.positions],
        # for each contact, the positions in which it is closed
        "closed": [
            [i for i, position in enumerate(part.positions) if position in contact.closed_in]
            for contact in part.contacts
        ],
    }


def _fault(appliance: Appliance, fault: Fault | None) -> dict[str, Any] | None:
    if fault is None:
        return None
    return {
        "words": str(as_drawn(appliance, fault)),
        "part": fault.part,
        "kind": fault.kind,
        "contact": fault.contact,
    }


def _voltage_words(voltage_V: float, nominal_V: float) -> str:
    text = f"{voltage_V:.6g} V"
    if voltage_V == nominal_V:
        return f"{text} (nominal)"
    change = round(100 * (voltage_V / nominal_V - 1), 1)
    return f"{text} ({change:+g} %)".replace("-", "−")
