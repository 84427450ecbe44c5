"""`hazards`: what can shock, what stays live, and what stops protecting, in every setting.

Every setting of the switches, and each with one contact that has opened by itself, is solved with
every single fault, each way the plug can go in or a socket be wired. A row says what follows, and
what to do about it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from lessonlib.appliance.fault import CORD, Fault, as_drawn, single_faults
from lessonlib.appliance.parts import Appliance, SelfActing, Switch, ThermalFuse, Thermostat
from lessonlib.appliance.settings import setting_words, settings, switch_words
from lessonlib.appliance.terminals import Terminal, plug_fuse, terminals
from lessonlib.circuit.live import live_terminals, live_words
from lessonlib.circuit.network import Flags, Floats
from lessonlib.circuit.solution import Solutions, solve_all
from lessonlib.limits.components import RCD_A
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table
from lessonlib.words import listed

Level = Literal["danger", "know"]

NO_HEAT_W = 0.01
"""Below this an element counts as off, as a share of its power on the full supply."""


LEAKS_AT = (0.0, 0.5, 1.0)
"""Where along an element it touches its sheath."""


@dataclass(frozen=True)
class Hazard:
    """`level` is "danger" for what has to be put right, "know" for what one must reckon with.
    `live` are the ends of parts that can shock, where the row is about these."""

    level: Level
    about: str
    when: str
    what: str
    do: str
    live: tuple[Terminal, ...] = ()

    def __str__(self) -> str:
        return f"{self.level}: {self.about}, {self.when}: {self.what}. {self.do}".strip()

    __repr__ = __str__


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
    def summary(self) -> str:
        """What to act on, in a few sentences."""
        lines = [
            f"{row.when[0].upper()}{row.when[1:]}: {row.what}. {row.do}" for row in self.dangers
        ]
        if not lines:
            lines = [
                "The circuit itself shows no danger to put right. Check ratings, earth and "
                "insulation besides."
            ]
        return " ".join(["Pull the plug before you open it.", *lines])

    @property
    def caption(self) -> str:
        return f"{self.appliance.title}, what can hurt. {self.summary}"

    @property
    def header(self) -> tuple[str, ...]:
        return ("level", "about", "when – what follows, and what to do")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (row.level, row.about, f"{row.when} – {row.what}. {row.do}".strip())
            for row in self.rows
        ]

    @property
    def _row_headers(self) -> int:
        return 2


def hazards(appliance: Appliance) -> Hazards:
    """What can hurt somebody, setting by setting, with every single fault, the plug either way.

    Raises `SettingError` for an appliance with too many settings to solve at once.
    """
    faults = (None, *single_faults(appliance))
    by_hand = settings(appliance)
    opened = [
        {**setting, part.name: "open"} for part in appliance.self_acting for setting in by_hand
    ]
    every = [*by_hand, *opened]
    ways = tuple(
        _Way(solve_all(appliance, every, faults=faults, reversed_plug=turned))
        for turned in (False, True)
    )
    rows = [
        *_shocks(appliance, ways),
        *_off(appliance, ways),
        *_left_on(appliance, ways[0]),
        *_opened(appliance, ways[0]),
        *_with_case_open(appliance),
        *_dry_heat(appliance, ways[0]),
    ]
    levels = ("danger", "know")
    return Hazards(appliance, tuple(sorted(rows, key=lambda row: levels.index(row.level))))


@dataclass(frozen=True, eq=False)
class _Way:
    """All cases with the plug one way; arrays by setting, fault, and node or element."""

    batch: Solutions

    @property
    def appliance(self) -> Appliance:
        return self.batch.base.appliance

    @cached_property
    def shocks(self) -> Flags:
        return np.asarray(self._shaped(self.batch.shocks), dtype=bool)

    @cached_property
    def short(self) -> Flags:
        return self.batch.short.reshape(len(self.batch.settings), -1)

    @cached_property
    def heats(self) -> Flags:
        """Whether each element gives heat."""
        elements = self.appliance.elements
        columns = [self.batch.network.place[part.name, 1] for part in elements]
        ohms = np.array([part.resistance_ohm for part in elements])
        least_W = NO_HEAT_W * self.batch.base.supply_voltage_V**2 / ohms
        return np.asarray(self._shaped(self.batch.totals.power[:, columns]) > least_W, dtype=bool)

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

    def live(self, setting: int, fault: int = 0) -> tuple[Terminal, ...]:
        nodes = self.batch.network.nodes
        found = {nodes[n] for n in np.flatnonzero(self.shocks[setting, fault])}
        if not self.batch.network.slots:
            return live_terminals(self.appliance, found)
        return tuple(end for end in terminals(self.appliance) if str(end) in found)

    def words(self, setting: int) -> str:
        return switch_words(self.appliance, self.batch.settings[setting]) or "plugged in"

    def _shaped(self, values: Floats | Flags) -> Floats | Flags:
        return values.reshape(len(self.batch.settings), len(self.batch.faults), -1)


def _plug(appliance: Appliance, turned: bool) -> str:
    if not turned:
        return "plug as marked"
    return "plug turned" if appliance.supply.reversible_plug else "socket wired the wrong way round"


def _beyond_switches(appliance: Appliance, live: Iterable[Terminal]) -> bool:
    switches = {part.name for part in appliance.switches}
    return any(end.part not in switches for end in live)


def _shocks(appliance: Appliance, ways: Sequence[_Way]) -> Iterator[Hazard]:
    """Each setting that heats: what can shock."""
    for index in ways[0].as_set:
        if index in ways[0].off:
            continue
        if ways[0].short[index, 0]:
            do = "Do not plug it in."
            yield Hazard(
                "danger", "short circuit", ways[0].words(index), "the mains is shorted", do
            )
            continue
        for turned, way in enumerate(ways):
            live = way.live(index)
            when = f"{way.words(index)}, {_plug(appliance, bool(turned))}"
            yield Hazard(
                "know", "shock", when, f"can shock: {live_words(appliance, live)}", "", live
            )


def _off(appliance: Appliance, ways: Sequence[_Way]) -> Iterator[Hazard]:
    """What each "off" leaves live; settings that leave the same share a row."""
    if not ways[0].off:
        what = "no setting of the switches turns everything off"
        yield Hazard("know", "off", "in every setting", what, "Only the pulled plug does.")
    alike: dict[tuple[tuple[Terminal, ...], ...], list[str]] = {}
    for index in ways[0].off:
        alike.setdefault(tuple(way.live(index) for way in ways), []).append(ways[0].words(index))
    for (marked, turned), words_of in alike.items():
        when = "; ".join(words_of)
        if _beyond_switches(appliance, marked):
            what = f"nothing heats, but these stay live: {live_words(appliance, marked)}"
            both = "a switch fitted that cuts both conductors."
            one = "Have the switch put into the line, or "
            # a plug that goes in either way makes any line the neutral
            do = f"Have {both}" if appliance.supply.reversible_plug else f"{one}{both}"
            yield Hazard("danger", "off", when, what, do, marked)
        elif _beyond_switches(appliance, turned):
            words = f"{_plug(appliance, True)}, live: {live_words(appliance, turned)}"
            what = f"only the line is cut; with the {words}"
            yield Hazard("know", "off", when, what, "Off is not dead: pull the plug.", turned)
        else:
            do = "The switch itself stays live: pull the plug to open it."
            yield Hazard("know", "off", when, "both conductors are cut behind the switch", do)


def _left_on(appliance: Appliance, way: _Way) -> Iterator[Hazard]:
    """Single faults with which "off" heats, or leaves more live."""
    for number, fault in enumerate(way.batch.faults):
        if fault is None:
            continue
        for index in way.off:
            heats = [part.name for part, on in zip(appliance.elements, way.heats[index, number],
                                                   strict=True) if on]  # fmt: skip
            live = way.live(index, number)
            words = f"{way.words(index)}, {as_drawn(appliance, fault)}"
            if way.short[index, number]:
                yield Hazard("know", "off", words, "the mains is shorted", "")
            elif heats:
                do = "Off does nothing: pull the plug."
                yield Hazard("know", "off", words, f"{listed(heats)} still heats", do, live)
            elif _beyond_switches(appliance, live) and len(live) > len(way.live(index)):
                what = f"nothing heats, live: {live_words(appliance, live)}"
                yield Hazard("know", "off", words, what, "Off is not dead: pull the plug.", live)
            else:
                continue
            break  # one such setting says enough


def _opened(appliance: Appliance, way: _Way) -> Iterator[Hazard]:
    """What each contact that opened by itself leaves live."""
    numbered = {tuple(setting.values()): n for n, setting in enumerate(way.batch.settings)}
    for part in appliance.self_acting:
        worst: tuple[Terminal, ...] = ()
        when = ""
        for index in way.as_set:
            setting = {**way.batch.settings[index], part.name: "open"}
            case = numbered[tuple(setting.values())]
            live = way.live(case)
            if index not in way.off and len(live) > len(worst):
                worst, when = live, setting_words(appliance, setting)
        if worst:
            what = f"still live: {live_words(appliance, worst)}"
            do = "An open contact is no isolation: pull the plug."
            yield Hazard("know", "fuse" if isinstance(part, ThermalFuse) else "contact", when,
                         what, do, worst)  # fmt: skip


def _with_case_open(appliance: Appliance) -> Iterator[Hazard]:
    """A blown plug fuse, a broken neutral core, and elements that touch their sheath."""
    kinds = [Fault(CORD, "neutral core broken")]
    if plug_fuse(appliance) is not None:
        kinds.insert(0, Fault(CORD, "plug fuse blown"))
    leaks = [
        Fault(part.name, "leaking", share=share, ohm=0.0)
        for part in appliance.elements
        for share in LEAKS_AT
    ]
    for turned in (False, True):
        way = _Way(solve_all(appliance, faults=kinds, reversed_plug=turned))
        for number, kind in enumerate(kinds):
            yield _cord(way, number, f"{kind}, {_plug(appliance, turned)}")
    if leaks:
        ways = [
            _Way(solve_all(appliance, faults=leaks, reversed_plug=turned))
            for turned in (False, True)
        ]
        yield from _metalwork(appliance, ways)


def _cord(way: _Way, fault: int, when: str) -> Hazard:
    """What a blown plug fuse or a broken neutral leaves live, in the worst setting."""
    every = [way.live(index, fault) for index in range(len(way.batch.settings))]
    worst = max(range(len(every)), key=lambda index: len(every[index]))
    if not _beyond_switches(way.appliance, every[worst]):
        what = "in the model nothing behind the switches is live"
        do = "Do not rely on it: pull the plug, and prove dead."
        return Hazard("know", "fuse", when, what, do)
    live = live_words(way.appliance, every[worst])
    do = "It looks dead and is not: pull the plug."
    what = f"still live ({way.words(worst)}): {live}"
    return Hazard("know", "fuse", when, what, do, every[worst])


def _metalwork(appliance: Appliance, ways: Sequence[_Way]) -> Iterator[Hazard]:
    """An element that touches its sheath, and what then operates."""
    cls, cores = appliance.supply.protection_class, appliance.supply.cord_cores
    earthed = (cls == "I" or cls is None) and cores != "two"
    if not earthed:
        level: Level = "danger" if cls == "I" else "know"
        what = "no earth: its metal stands at up to the full mains, and no fuse blows"
        do = (
            "Fit a cord with an earth." if cls == "I" else
            "The second insulation is all there is: test it. An RCD opens once current flows "
            "through somebody."
        )  # fmt: skip
        yield Hazard(level, "metalwork", "an element touches its sheath", what, do)
        return
    for number, part in enumerate(appliance.elements):
        shorts, through, nothing = False, 0.0, False
        start = number * len(LEAKS_AT)
        for way in ways:
            batch = way.batch
            faults = slice(start, start + len(LEAKS_AT))
            squares = batch.totals.current2[:, batch.network.slots["earth core"]]
            current = np.sqrt(np.maximum(squares, 0)).reshape(way.short.shape)[:, faults]
            short = way.short[:, faults]
            shorts |= bool(short.any())
            through = max(through, float(np.where(short, 0.0, current).max()))
            nothing |= bool((~short & (current < RCD_A.value)).any())
        told = []
        if shorts:
            told.append("near its live end the fuse or the circuit breaker opens, and an RCD")
        if through >= RCD_A.value:
            amps = format_quantity(through, "A")
            told.append(f"further along up to {amps} flows to earth: only an RCD opens at once")
        if nothing:
            told.append("at its neutral end, or switched off, no fuse opens, and not every RCD")
        what = "; ".join(told) or "nothing opens"
        do = "A broken earth wire then leaves the metal live: test earth continuity."
        yield Hazard("know", "metalwork", f"{part.name} touches its sheath", what, do)
    if cls is None or cores is None:
        do = "Find out, and write protection_class and cord_cores under [supply]."
        yield Hazard(
            "danger", "metalwork", "always", "the file does not say that it has an earth", do
        )


def _dry_heat(appliance: Appliance, way: _Way) -> Iterator[Hazard]:
    """Elements that nothing stops, and single faults after which nothing does."""
    sensing = [part for part in appliance.self_acting if isinstance(part, ThermalFuse | Thermostat)]
    stops = _stops(way, sensing)
    elements = appliance.elements
    bare = [part.name for e, part in enumerate(elements) if not stops[:, 0, e].any()]
    if bare:
        what = f"nothing that feels heat stops {listed(bare)}"
        do = "Never leave it alone, unless its maker shows that it cannot overheat."
        yield Hazard("danger", "dry heat", "it runs dry or is covered", what, do)
    for number, fault in enumerate(way.batch.faults):
        if fault is None or fault.kind == "open":
            continue
        left = [
            part.name
            for e, part in enumerate(elements)
            if part.name not in bare and not stops[:, number, e].any()
        ]
        if left:
            welds = isinstance(appliance.part(fault.part), Switch | Thermostat)
            words = str(as_drawn(appliance, fault))
            if isinstance(appliance.part(fault.part), ThermalFuse):
                words = f"{fault.part} bridged"
            do = (
                "A second protector is needed: this one's contact can weld." if welds
                else "Never bridge it."
            )  # fmt: skip
            what = f"nothing that feels heat stops {listed(left)}"
            yield Hazard("danger" if welds else "know", "dry heat", words, what, do)


def _stops(way: _Way, sensing: Sequence[SelfActing]) -> Flags:
    """Whether opening each of `sensing`, all others closed, leaves each element without heat in
    every setting: by part, fault and element."""
    numbered = {tuple(setting.values()): n for n, setting in enumerate(way.batch.settings)}
    found = np.zeros((len(sensing), len(way.batch.faults), len(way.appliance.elements)), dtype=bool)
    for row, part in enumerate(sensing):
        cases = [
            numbered[tuple({**way.batch.settings[index], part.name: "open"}.values())]
            for index in way.as_set
        ]
        found[row] = ~way.heats[cases].any(axis=0)
    return found
