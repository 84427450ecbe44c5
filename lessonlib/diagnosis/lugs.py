"""Which lug of an element block is which: the elements, from what a meter reads between lugs.

What a meter at the lugs cannot tell apart, no arithmetic can: elements in parallel between the same
lugs read as one, and a joint inside that has no lug of its own shows only in what it does. The
result says where that matters.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from lessonlib.diagnosis.leak import Leak
from lessonlib.diagnosis.lug_block import Block, Contradiction, LugElement
from lessonlib.diagnosis.lug_readings import LugReadings, Pair, lug_readings
from lessonlib.errors import ReadingError, shown
from lessonlib.meter.ohmmeter import ohms
from lessonlib.quantities import format_quantity, number
from lessonlib.safety import UNPLUGGED
from lessonlib.tables import Table
from lessonlib.words import listed

_ALIKE = 1.03
"""Powers closer than this are one heat: a usual meter does not tell them apart."""

_HEATS = {1: ("",), 2: ("low", "high"), 3: ("low", "medium", "high")}


@dataclass(frozen=True)
class Misreading:
    """A reading without which all others agree, and what it is with the fewest elements that give
    the others: None for open. It may be another value with more."""

    between: tuple[str, str]
    read_ohm: float | None
    expected_ohm: float | None

    @property
    def factor(self) -> float:
        """How many times too high or too low it is; infinite where one of the two is open."""
        if not self.read_ohm or not self.expected_ohm:
            return math.inf
        return max(self.read_ohm / self.expected_ohm, self.expected_ohm / self.read_ohm)

    def __str__(self) -> str:
        return (
            f"{self.between[0]}–{self.between[1]}, which reads {ohms(self.read_ohm)}: without it "
            "all the others agree"
        )


@dataclass(frozen=True, repr=False)
class Lugs(Table):
    """What the readings say. Nothing is said of elements while `contradiction` is not empty.

    `straps` are lugs that are joined, `leaks` what leads to the case. `to_measure` are the pairs
    not read that would tell more, with what they read if nothing else is there (None for open).
    `likely_misreadings` are the readings any one of which, if wrong, explains a contradiction.
    """

    supply_voltage_V: float
    lugs: tuple[str, ...]
    elements: tuple[LugElement, ...] = ()
    straps: tuple[tuple[str, ...], ...] = ()
    leaks: tuple[Leak, ...] = ()
    to_measure: tuple[tuple[tuple[str, str], float | None], ...] = ()
    contradiction: str = ""
    likely_misreadings: tuple[Misreading, ...] = ()
    doubts: tuple[str, ...] = ()

    @property
    def caption(self) -> str:
        if self.contradiction:
            return "These readings cannot all be true."
        return f"Elements between the lugs, at {self.supply_voltage_V:g} V"

    @property
    def header(self) -> tuple[str, ...]:
        return ("Between", "Cold resistance", "Power", "Heat")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        heats: list[float] = []
        for watts in sorted(element.power_W for element in self.elements):
            if not heats or watts > _ALIKE * heats[-1]:
                heats.append(watts)
        between = [f"{rank} of {len(heats)}" for rank in range(2, len(heats))]
        words = _HEATS.get(len(heats), ("lowest", *between, "highest"))
        return [
            (
                " and ".join(element.between),
                ohms(element.resistance_ohm),
                format_quantity(element.power_W, "W"),
                words[bisect_right(heats, element.power_W) - 1],
            )
            for element in self.elements
        ]

    @property
    def lines(self) -> tuple[str, ...]:
        """All that stands below the table."""
        said = [self.contradiction] if self.contradiction else []
        if len(self.likely_misreadings) > 1:
            said.append("One of these is likely to be a misreading, the first most likely:")
        said += [f"Measure again {wrong}." for wrong in self.likely_misreadings]
        said += [f"{listed(strap)} are joined." for strap in self.straps]
        said += [str(leak) for leak in self.leaks]
        said += [
            f"Measure {one}–{other} too: it reads {ohms(ohm)} if nothing more is there."
            for (one, other), ohm in self.to_measure
        ]
        if self.elements:
            said.append(
                "The watts follow from the cold resistance. At work the wire is hot, has a few per "
                "cent more, and draws a little less."
            )
        return (*said, *self.doubts, UNPLUGGED)

    @cached_property
    def appliance_text(self) -> str:
        """The start of an appliance file: in each circuit the lug with the most elements is put on
        N, and every other lug gets a switch of its own from L. Empty without elements."""
        from lessonlib.diagnosis.lug_file import file_start  # needed by few

        return file_start(self)

    def __str__(self) -> str:
        table = super().__str__() if self.elements else self.caption
        return "\n".join((table, *self.lines))

    __repr__ = __str__

    def _repr_html_(self) -> str:
        from lessonlib.diagnosis.lug_sketch import lug_page  # drawn only where it is seen

        return lug_page(self, super()._repr_html_() if self.elements else "")


def lugs(
    readings: Mapping[Pair, float | None],
    *,
    supply_voltage_V: float = 230.0,
    leads_ohm: float = 0.0,
) -> Lugs:
    """The elements of a block with 2 to 8 lugs, from readings in ohms between pairs of its lugs,
    and between lugs and its "case"; None where the meter shows an open path.

    Some pairs may be missing. `leads_ohm` is what the leads read when they touch, and is taken off.
    The meter is a usual one, as in `ResistanceReading`. Readings that cannot be true together are
    no error: the result names them.

    Raises `ReadingError` (a `ValueError`) for what is no such table, and for a voltage that no
    supply has.
    """
    if not 1 <= number(supply_voltage_V) <= 1000:
        raise ReadingError(
            f"found a supply voltage of {shown(supply_voltage_V)}; accepted: 1 to 1000 V. Give the "
            "volts on the rating plate."
        )
    read, volts = lug_readings(readings, leads_ohm), float(supply_voltage_V)
    try:
        found = Block(read, volts)
    except Contradiction as why:
        wrong = tuple(_misreadings(read, volts))
        return Lugs(volts, read.lugs, contradiction=str(why), likely_misreadings=wrong)
    return Lugs(
        volts,
        read.lugs,
        tuple(found.elements),
        tuple(strap for strap in found.straps if len(strap) > 1),
        tuple(found.leaks),
        tuple(found.to_measure()),
        doubts=tuple(found.doubts),
    )


def _misreadings(read: LugReadings, volts: float) -> list[Misreading]:
    """The readings any one of which is alone to blame: first those that leave fewest elements, and
    of these the one that is least far off."""
    found: list[tuple[int, float, Misreading]] = []
    for pair, reading in read.between.items():
        try:
            others = Block(read.without(pair), volts)
        except Contradiction:
            continue
        wrong = Misreading(pair, reading, others.expected(pair))
        found.append((len(others.elements), wrong.factor, wrong))
    return [wrong for *_, wrong in sorted(found, key=lambda each: each[:2])]
