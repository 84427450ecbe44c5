"""One hazard, the table of all, and every case of an appliance that they are read from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import switch_words
from lessonlib.appliance.terminals import Terminal, terminals
from lessonlib.circuit.live import live_terminals, live_words
from lessonlib.circuit.network import Flags
from lessonlib.circuit.solution import Solution, Solutions, solve_all
from lessonlib.tables import Table

Level = Literal["danger", "know"]
LEVELS: tuple[Level, ...] = ("danger", "know")

FIRST = "Pull the plug before you open it."
SOUND = (
    "The circuit itself shows no danger to put right. Check ratings, earth and insulation besides."
)

NO_HEAT_W = 0.01
"""Below this an element counts as off, as a share of its power on the full supply."""


@dataclass(frozen=True)
class Hazard:
    """`level` is "danger" for what has to be put right, "know" for what one must reckon with.
    `live` are the ends of parts that can shock, where the row is about these. `seen` is the case
    that shows it, and `marked` names the parts to mark in its drawing."""

    level: Level
    about: str
    when: str
    what: str
    do: str
    live: tuple[Terminal, ...] = ()
    seen: Solution | None = field(default=None, compare=False)
    marked: frozenset[str] = frozenset()

    def __str__(self) -> str:
        return f"{self.level}: {self.about}, {self.told}"

    __repr__ = __str__

    @property
    def then(self) -> str:
        """What follows, and what to do."""
        return f"{self.what[0].upper()}{self.what[1:]}. {self.do}".strip()

    @property
    def sentence(self) -> str:
        """The same as a sentence by itself."""
        return f"{self.when[0].upper()}{self.when[1:]}: {self.what}. {self.do}".strip()

    @property
    def told(self) -> str:
        """When, what follows, and what to do."""
        return f"{self.when} – {self.what}. {self.do}".strip()


@dataclass(frozen=True, repr=False, eq=False)
class Hazards(Table):
    """Every hazard of an appliance, dangers first."""

    appliance: Appliance
    rows: tuple[Hazard, ...]

    @property
    def dangers(self) -> tuple[Hazard, ...]:
        """What has to be put right."""
        return tuple(row for row in self.rows if row.level == "danger")

    def about(self, word: str) -> tuple[Hazard, ...]:
        """The rows about "off", "fuse", "metalwork" and so on."""
        return tuple(row for row in self.rows if row.about == word)

    @property
    def caption(self) -> str:
        """What to act on, in a few sentences."""
        lines = [row.sentence for row in self.dangers] or [SOUND]
        return " ".join([f"{self.appliance.title}, what can hurt. {FIRST}", *lines])

    @property
    def header(self) -> tuple[str, ...]:
        return ("level", "about", "when – what follows, and what to do")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [(row.level, row.about, row.told) for row in self.rows]

    @property
    def _row_headers(self) -> int:
        return 2


@dataclass(frozen=True, eq=False)
class Way:
    """All cases with the plug one way; arrays by setting, fault, and node or element."""

    batch: Solutions

    @property
    def appliance(self) -> Appliance:
        return self.batch.base.appliance

    @property
    def plug(self) -> str:
        """How the plug is, in words."""
        if not self.batch.base.reversed_plug:
            return "plug as marked"
        reversible = self.appliance.supply.reversible_plug
        return "plug turned" if reversible else "socket wired the wrong way round"

    @cached_property
    def shocks(self) -> Flags:
        return self._shaped(self.batch.shocks)

    @cached_property
    def short(self) -> Flags:
        return self._shaped(self.batch.short)[:, :, 0]

    @cached_property
    def heats(self) -> Flags:
        """Whether each element gives heat."""
        elements = self.appliance.elements
        columns = [self.batch.network.place[part.name, 1] for part in elements]
        ohms = np.array([part.resistance_ohm for part in elements])
        least_W = NO_HEAT_W * self.batch.base.supply_voltage_V**2 / ohms
        return self._shaped(self.batch.totals.power[:, columns] > least_W)

    def _shaped(self, values: Flags) -> Flags:
        return values.reshape(len(self.batch.settings), len(self.batch.faults), -1)

    @cached_property
    def as_set(self) -> tuple[int, ...]:
        """Settings in which no contact has acted by itself."""
        acting = self.appliance.self_acting
        return tuple(
            number
            for number, setting in enumerate(self.batch.settings)
            if all(setting[part.name] == part.start for part in acting)
        )

    @cached_property
    def off(self) -> tuple[int, ...]:
        """Those of them in which nothing heats."""
        return tuple(n for n in self.as_set if not self.short[n, 0] and not self.heats[n, 0].any())

    def opened(self, index: int, part: str) -> int:
        """The number of the setting that differs from number `index` in that open contact."""
        return self.batch.settings.index({**self.batch.settings[index], part: "open"})

    def live(self, index: int, fault: int = 0) -> tuple[Terminal, ...]:
        nodes = self.batch.network.nodes
        found = {nodes[n] for n in np.flatnonzero(self.shocks[index, fault])}
        if not self.batch.network.slots:
            return live_terminals(self.appliance, found)
        return tuple(end for end in terminals(self.appliance) if str(end) in found)

    def most_live(self, indexes: Sequence[int], fault: int = 0) -> int:
        """The one of these settings with most points live."""
        return max(indexes, key=lambda index: int(self.shocks[index, fault].sum()))

    def seen(self, index: int, fault: int = 0) -> Solution:
        """That case by itself."""
        return self.batch[index * len(self.batch.faults) + fault]

    def row(
        self, level: Level, about: str, when: str, what: str, do: str, index: int, fault: int = 0
    ) -> Hazard:
        """A row about what is live in that case, which marks these parts."""
        live = self.live(index, fault)
        marked = frozenset(end.part for end in live)
        return Hazard(level, about, when, what, do, live, self.seen(index, fault), marked)

    def words(self, index: int) -> str:
        return switch_words(self.appliance, self.batch.settings[index]) or "plugged in"


Ways = tuple[Way, Way]
"""The plug as marked; and turned, or in a socket wired the wrong way round."""


def both_ways(
    appliance: Appliance,
    every: Sequence[Mapping[str, str]] | None = None,
    faults: Sequence[Fault | None] = (None,),
) -> Ways:
    """Every setting with every fault, the plug both ways."""
    marked, turned = (
        Way(solve_all(appliance, every, faults=faults, reversed_plug=turned))
        for turned in (False, True)
    )
    return marked, turned


def alike(ways: Ways, indexes: Iterable[int]) -> Iterator[tuple[str, int]]:
    """The settings among `indexes` in groups that leave the same live: their words, and the first
    of them."""
    groups: dict[tuple[tuple[Terminal, ...], ...], list[int]] = {}
    for index in indexes:
        groups.setdefault(tuple(way.live(index) for way in ways), []).append(index)
    for group in groups.values():
        yield "; ".join(ways[0].words(index) for index in group), group[0]


def different(ways: Ways) -> list[Mapping[str, str]]:
    """Every setting as it is set, those that are off and leave the same live only once."""
    way = ways[0]
    off = [index for _, index in alike(ways, way.off)]
    return [way.batch.settings[n] for n in way.as_set if n not in way.off or n in off]


def live_either_way(ways: Ways, index: int, fault: int = 0) -> str:
    """What is live as marked; and with the plug turned where that is something else."""
    marked, turned = (way.live(index, fault) for way in ways)
    words = live_words(ways[0].appliance, marked)
    if marked == turned:
        return words
    return f"{words}; with the {ways[1].plug}: {live_words(ways[0].appliance, turned)}"


def beyond_switches(appliance: Appliance, live: Iterable[Terminal]) -> bool:
    """Whether something besides the switches is live."""
    switches = {part.name for part in appliance.switches}
    return any(end.part not in switches for end in live)
