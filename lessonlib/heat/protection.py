"""`protections`: which protection acts, when, and whether the fuse stays closed in normal use.

A row is one case (nothing wrong, a self-acting contact welded, no water, no relief valve, or two of
these) and one thermal fuse: the run of `heat_up`, and the span in which a fuse of that mark opens.
A case is never written into the appliance, but applied from outside.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.appliance.settings import Setting, complete, switch_words
from lessonlib.errors import HeatError, shown
from lessonlib.heat.result import Event, HeatRun, clock
from lessonlib.heat.run import heat_up
from lessonlib.limits.components import TOLERANCE
from lessonlib.tables import Table

TOLERANCE_K = TOLERANCE.value
"""How far below its mark a one-shot thermal fuse may open, K. How early a resettable one may, its
maker says."""

_BRIEF = {
    "boils": "boils",
    "vents": "relief valve lifts",
    "dry": "boiled dry",
    "fire": "fire",
    "short": "short circuit",
    "bursts": "bursts",
    "melts": "aluminium melts",
    "beyond": "the model stops",
}

NO_WATER, NO_VALVE = "no water", "no relief valve"


@dataclass(frozen=True)
class Case:
    """What has gone wrong: a part's fault, no water from the start, no relief valve."""

    fault: Fault | None = None
    no_water: bool = False
    no_valve: bool = False

    def __str__(self) -> str:
        """In words, as `protections` and `protection_story` read them."""
        words = [str(self.fault)] if self.fault is not None else []
        words += [NO_WATER] if self.no_water else []
        words += [NO_VALVE] if self.no_valve else []
        return ", ".join(words) or "nothing wrong"

    def applied_to(self, appliance: Appliance) -> Appliance:
        """The appliance with the case's vessel; its fault is for `heat_up` to apply."""
        vessel = appliance.vessel
        if vessel is None:
            return appliance  # `heat_up` says what is missing
        water_kg = 0.0 if self.no_water else vessel.water_kg
        relief_bar = None if self.no_valve else vessel.relief_bar
        return replace(appliance, vessel=replace(vessel, water_kg=water_kg, relief_bar=relief_bar))


@dataclass(frozen=True)
class Protection:
    """One case and one thermal fuse.

    `latest_s` is when it opens if exactly at its mark, `earliest_s` if at the cold end of its
    tolerance; None where it does not. `hottest_C` is the hottest that its place gets.
    """

    case: Case
    fuse: ThermalFuse
    run: HeatRun
    hottest_C: float
    earliest_s: float | None
    latest_s: float | None

    @property
    def coldest_C(self) -> float:
        """The coldest at which it may open: its mark less its tolerance, °C."""
        return self.fuse.opens_at_C - tolerance_K(self.fuse)

    @property
    def margin_K(self) -> float:
        """From the hottest at its place up to the coldest at which it may open, K. Where that is 0
        or less it may open: in normal use, for nothing."""
        return self.coldest_C - self.hottest_C

    @property
    def holds_margin_K(self) -> float | None:
        """From the hottest at its place up to its holding temperature, K; None if not stated.

        It has to hold at the highest mains too, where elements give more and its place is hotter.
        """
        return None if self.fuse.holds_C is None else self.fuse.holds_C - self.hottest_C

    @property
    def acts(self) -> list[Event]:
        """The first event of each kind for each part and for the vessel, in order of time; without
        those that protect nothing."""
        found: dict[tuple[str, str], Event] = {}
        for event in self.run.events:
            quiet = event.kind in ("turned", "closes", "stops")
            if not quiet and (event.kind != "stuck" or " should " in event.what):
                found.setdefault((event.kind, event.part), event)
        return list(found.values())

    @property
    def inert(self) -> str | None:
        """Why the fuse does nothing in this case, in words; None where it is closed and sound."""
        if self.case.fault == Fault(self.fuse.name, "welded"):
            return "cannot open: its contact is welded, or bridged"
        if self.latest_s is None and self.run.setting(0)[self.fuse.name] == "open":
            return "is open from the start"
        return None

    @property
    def verdict(self) -> str:
        """Whether it opens, in words."""
        if self.earliest_s is not None and self.latest_s is not None:
            first, last = clock(self.earliest_s), clock(self.latest_s)
            span = f"at {last}" if first == last else f"between {first} and {last}"
            return f"opens, {span}"
        if self.earliest_s is not None:
            short = self.fuse.opens_at_C - self.hottest_C
            return f"may open, from {clock(self.earliest_s)}: {short:.1f} K below its mark"
        if self.inert is not None:
            return self.inert
        words = f"stays closed: {self.margin_K:.1f} K below {self.coldest_C:g} °C"
        if self.holds_margin_K is not None and self.holds_margin_K < 0:
            words += f", but {-self.holds_margin_K:.1f} K above its holding temperature"
        return words


@dataclass(frozen=True, repr=False, eq=False)
class Protections(Table):
    """Every case of an appliance in one setting."""

    appliance: Appliance
    setting: Setting
    minutes: float
    rows: tuple[Protection, ...]

    @property
    def caption(self) -> str:
        marks = [f"{fuse.name} {_mark(fuse)}" for fuse in self.appliance.of_type(ThermalFuse)]
        over = f"{self.appliance.title} over {self.minutes:g} min"
        title = in_setting(over, self.appliance, self.setting)
        return f"{title}: what protects it. {'; '.join(marks)}"

    @property
    def header(self) -> tuple[str, ...]:
        return ("case", "hottest at its place", "thermal fuse", "what happens, in this order")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (
                str(row.case),
                f"{row.hottest_C:.1f} °C",
                f"{row.fuse.name} {row.verdict}",
                "; ".join(f"{brief(event)} {clock(event.time_s)}" for event in row.acts) or "–",
            )
            for row in self.rows
        ]


def protections(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    minutes: float,
    faults: Sequence[Fault | str | None] | None = None,
) -> Protections:
    """Which protection acts and when, case by case, and how far each thermal fuse is from opening.

    `faults` are the cases, in the words of `read_case` (None for nothing wrong); left out,
    `usual_cases`. Choose `minutes` as long as somebody leaves the appliance unwatched: left on for
    longer, an open vessel boils dry with nothing wrong. A fuse's tolerance is that of IEC 60691
    (`TOLERANCE_K`).

    Raises `HeatError` for an appliance without a thermal fuse or a vessel, a setting that does not
    heat, and what `heat_up` refuses; `SettingError`, `FaultError` as `heat_up` does.
    """
    cases = usual_cases(appliance)
    if faults is not None:
        cases = [read_case(appliance, words) for words in faults]
    check_heats(appliance, setting, minutes)
    rows = [row for case in cases for row in protections_in(appliance, setting, minutes, case)]
    return Protections(appliance, complete(appliance, setting), minutes, tuple(rows))


def read_case(appliance: Appliance, words: Fault | str | None) -> Case:
    """A fault, or words: "P1 welded", "no water", "no relief valve", or several with ", " between.

    Raises `FaultError` for other words, `HeatError` for two faults of parts and for "no relief
    valve" where there is none to miss (both `ValueError`).
    """
    if not isinstance(words, str):
        return Case(find_fault(appliance, words))
    pieces = words.split(", ")
    faults = [find_fault(appliance, p) for p in pieces if p not in (NO_WATER, NO_VALVE)]
    if len(faults) > 1:
        raise HeatError(
            f"found {len(faults)} faults of parts in {shown(words)}; accepted: one, with "
            f"{NO_WATER!r} or {NO_VALVE!r} besides. Ask for one at a time."
        )
    if NO_VALVE in pieces and not _has_valve(appliance):
        raise HeatError(
            f"found {NO_VALVE!r} for {appliance.title}, which has none; accepted: a sealed vessel "
            "with relief_bar in its [vessel] table. Leave it out."
        )
    return Case(faults[0] if faults else None, NO_WATER in pieces, NO_VALVE in pieces)


def usual_cases(appliance: Appliance) -> list[Case]:
    """Nothing wrong; each thermostat and pressure switch welded; no relief valve, alone and
    together with each of these; no water."""
    welded = [
        Fault(part.name, "welded")
        for part in appliance.self_acting
        if not isinstance(part, ThermalFuse)
    ]
    cases = [Case(), *(Case(fault) for fault in welded)]
    if _has_valve(appliance):
        cases += [Case(no_valve=True), *(Case(fault, no_valve=True) for fault in welded)]
    vessel = appliance.vessel
    if vessel is not None and vessel.water_kg > 0 and vessel.heat_capacity_J_per_K > 0:
        cases.append(Case(no_water=True))
    return cases


def _has_valve(appliance: Appliance) -> bool:
    vessel = appliance.vessel
    return vessel is not None and vessel.sealed and vessel.relief_bar is not None


def protections_in(
    appliance: Appliance, setting: Setting | None, minutes: float, case: Case
) -> list[Protection]:
    """One case: a row for each thermal fuse."""
    changed = case.applied_to(appliance)
    run = heat_up(changed, setting, minutes=minutes, fault=case.fault)
    rows = []
    for fuse in appliance.of_type(ThermalFuse):
        hottest_C = run.hottest_place_C(fuse.name)
        early = replace(fuse, opens_at_C=fuse.opens_at_C - tolerance_K(fuse))
        latest_s = earliest_s = run.first_s("opens", fuse.name)
        if tolerance_K(fuse) > 0 and hottest_C >= early.opens_at_C:
            other = heat_up(with_fuse(changed, early), setting, minutes=minutes, fault=case.fault)
            earliest_s = other.first_s("opens", fuse.name)
        rows.append(Protection(case, fuse, run, hottest_C, earliest_s, latest_s))
    return rows


def check_heats(appliance: Appliance, setting: Setting | None, minutes: float) -> None:
    """Raises `HeatError` where there is no thermal fuse, or nothing heats in this setting."""
    fuses = appliance.of_type(ThermalFuse)
    if not fuses:
        raise HeatError(
            f"{appliance.title} has no thermal fuse; accepted: an appliance whose file has a "
            "[[thermal_fuse]] table. Use heat_up to see what it does without."
        )
    run = heat_up(appliance, setting, minutes=minutes)
    if run.energy.heat_J == 0 and all(run.first_s("opens", fuse.name) is None for fuse in fuses):
        raise HeatError(
            f"{appliance.title}: no element gives heat in this setting; accepted: a setting that "
            "heats. Name one: state_table(appliance) lists what each gives."
        )


def brief(event: Event) -> str:
    """An event in two or three words."""
    if event.kind == "opens":
        return f"{event.part} opens"
    if event.kind == "stuck":
        return f"{event.part} should {'open' if event.position == 'closed' else 'close'}"
    return _BRIEF[event.kind]


def in_setting(words: str, appliance: Appliance, setting: Setting) -> str:
    """The words, and after a comma where the hand-operated switches are."""
    return ", ".join(filter(None, [words, switch_words(appliance, setting)]))


def tolerance_K(fuse: ThermalFuse) -> float:
    """How far below its mark it may open, K; 0 for a resettable one, of which no general figure is
    known here."""
    return 0.0 if fuse.resettable else TOLERANCE_K


def with_fuse(appliance: Appliance, fuse: ThermalFuse) -> Appliance:
    """The appliance with the thermal fuse of that name replaced by this one."""
    parts = tuple(fuse if part.name == fuse.name else part for part in appliance.parts)
    return replace(appliance, parts=parts)


def _mark(fuse: ThermalFuse) -> str:
    if fuse.resettable:
        return f"opens at {fuse.opens_at_C:g} °C (resettable: its tolerance is its maker's)"
    return f"opens at {fuse.opens_at_C:g} °C, +0/−{TOLERANCE_K:g} K (IEC 60691)"
