"""Every ohmmeter reading between the plug's pins, in one table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isclose

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.terminals import has_earth
from lessonlib.circuit.table import SettingTable
from lessonlib.meter.ohmmeter import OhmReading, resistances
from lessonlib.words import listed


@dataclass(frozen=True, repr=False)
class MeterTable(SettingTable):
    """One row for each setting of the hand-operated switches, one column for each pair of points.

    `readings[row][column]` has the reading as named, red first, and with the leads swapped.
    """

    pairs: tuple[tuple[str, str], ...]
    readings: tuple[tuple[tuple[OhmReading, OhmReading], ...], ...]

    @property
    def caption(self) -> str:
        fault = self.readings[0][0][0].fault
        return (
            f"{self.appliance.title}, unplugged and cold: what an ohmmeter shows"
            f"{'' if fault is None else f', fault: {fault}'}"
        )

    @property
    def header(self) -> tuple[str, ...]:
        pairs = (f"{red}–{black}" for red, black in self.pairs)
        return (*self.switch_header, *pairs, f"{'–'.join(self.pairs[0])} sees")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [tuple(self._shown(row)) for row in self.readings]

    def _shown(self, row: tuple[tuple[OhmReading, OhmReading], ...]) -> Iterator[str]:
        yield from self.switch_cells(row[0][0].setting)
        for reading, swapped in row:
            same = reading.text == swapped.text or _equal(reading, swapped)
            yield reading.text if same else f"{reading.text}; leads swapped {swapped.text}"
        yield _seen(row[0][0])


def _equal(one: OhmReading, other: OhmReading) -> bool:
    """Whether two readings are the same but for rounding, which may fall on either side of .5."""
    pairs = ((one.ohm, other.ohm), (one.low_ohm, other.low_ohm), (one.high_ohm, other.high_ohm))
    return all(a == b or (a and b and isclose(a, b, rel_tol=1e-9)) for a, b in pairs)


def _seen(reading: OhmReading) -> str:
    """What the meter's current goes through, in words."""
    seen = listed(reading.through) if reading.through else ""
    if reading.ohm == 0:
        seen = f"a direct join through {seen}" if seen else "a direct join"
    elif reading.ohm is None:
        seen = "no path"
    return "; ".join((seen, *reading.doubts))


def meter_table(
    appliance: Appliance,
    *,
    fault: Fault | str | None = None,
    pairs: Sequence[tuple[str, str]] = (),
) -> MeterTable:
    """What an ohmmeter shows between the pins of the unplugged appliance in every switch setting.

    `pairs` are further points to measure between, red first; the rest is as for `resistance`.
    """
    to_earth = (("L", "PE"), ("N", "PE")) if has_earth(appliance) else ()
    every = (("L", "N"), *to_earth, *pairs)
    columns = []
    for red, black in every:
        ways = [
            resistances(appliance, red=one, black=other, faults=(fault,))
            for one, other in ((red, black), (black, red))
        ]
        columns.append(list(zip(*ways, strict=True)))
    return MeterTable(appliance, every, tuple(zip(*columns, strict=True)))
