"""`meter_shows`: what a meter shows between two points, on its ohms range and its diode range, with
the leads either way round."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, ClassVar

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting, complete
from lessonlib.diagnosis.at_readings import shown_at
from lessonlib.diagnosis.bench_test import BenchTest, bench_test, reading_words
from lessonlib.diagnosis.predicted import TOP, seen
from lessonlib.diagnosis.ranges import exact
from lessonlib.meter.ohmmeter import check_points
from lessonlib.meter.readings import DiodeReading, ResistanceReading
from lessonlib.safety import AT_BENCH
from lessonlib.tables import Table


@dataclass(frozen=True)
class Shown:
    """What one range shows: `usual` by the file, from `low` to `high` with parts as far off their
    marking, and the meter and its leads as far off, as they may be. Infinite is open."""

    test: BenchTest
    usual: float
    low: float
    high: float

    @property
    def text(self) -> str:
        """All that it may show: "57 to 76 Ω", "open", "53 Ω or more, or open"."""
        return reading_words(self.low, self.high, self.test.unit)


@dataclass(frozen=True, repr=False)
class MeterShows(Table):
    """Both ranges with the leads as named, and swapped."""

    above: ClassVar[str] = AT_BENCH
    appliance: Appliance
    ohms: tuple[Shown, Shown]
    diode: tuple[Shown, Shown]

    @property
    def one_way(self) -> bool:
        """Whether current goes one way only: the diode range has one side open, the other not."""
        return math.isinf(self.diode[0].low) != math.isinf(self.diode[1].low)

    @property
    def caption(self) -> str:
        way = ": it conducts one way" if self.one_way else ""
        return f"{self.appliance.title}, unplugged and cold: what a meter shows{way}"

    @property
    def header(self) -> tuple[str, ...]:
        return ("red lead to black lead", "ohms range", "diode range")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (ohms.test.words, ohms.text, diode.text)
            for ohms, diode in zip(self.ohms, self.diode, strict=True)
        ]


def meter_shows(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    red: str,
    black: str,
    fault: Fault | str | None = None,
    unhooked: str = "",
) -> MeterShows:
    """What a usual hand meter may show between two points of the unplugged appliance.

    Points, setting, fault and wire are those of `resistance`; `unhooked` is a part, or a contact
    such as "S1.2", whose wires are off. A usual meter is good to 1 % and 3 steps of its
    last digit, its leads add up to 1 ohm, and its diode range drives 0.5 to 1.5 mA: typical, no
    source.
    """
    check_points(appliance, red, black)
    chosen, found = complete(appliance, setting), find_fault(appliance, fault)
    tests = [
        bench_test(appliance, *ends, chosen, diode_range=on_diode_range, unhooked=unhooked)
        for on_diode_range in (False, True)
        for ends in ((red, black), (black, red))
    ]
    guess = exact(() if found is None else (found,))
    shows = shown_at(appliance, list(map(_reading, tests)), [guess])

    def shown(number: int) -> Shown:
        test = tests[number]
        least, usual, most = shows.values[:, 0, number]
        low, high = seen(least, most, test.unit)
        told = (float(usual), float(low), float(high))
        return Shown(test, *(math.inf if each >= TOP[test.unit] else each for each in told))

    return MeterShows(appliance, (shown(0), shown(1)), (shown(2), shown(3)))


def _reading(test: BenchTest) -> ResistanceReading | DiodeReading:
    """The test as a reading, of which only the place counts here."""
    where: dict[str, Any] = {"red": test.red, "black": test.black, "unhooked": test.unhooked}
    if test.diode_range:
        return DiodeReading(volts=None, setting=test.setting, **where)
    return ResistanceReading(ohm=None, setting=test.setting, **where)
