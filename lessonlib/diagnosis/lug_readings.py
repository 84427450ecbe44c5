"""The readings between lugs as they were given, checked and put in order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from lessonlib.errors import ReadingError, shown
from lessonlib.meter.readings import ResistanceReading

MOST_LUGS = 8

Pair = tuple[str, str]
_TABLE = 'a table such as {("1", "2"): 189.0, ("1", "3"): None}, in ohms, None for open'


@dataclass(frozen=True)
class LugReadings:
    """`between` has each pair once, as it was first named: ohms, None for open. `differing` are
    pairs read both ways round that do not read the same."""

    lugs: tuple[str, ...]
    case: str
    between: Mapping[Pair, float | None]
    differing: tuple[Pair, ...]
    meter: ResistanceReading

    @property
    def among_lugs(self) -> dict[Pair, float | None]:
        """Without those to the case."""
        return {pair: ohm for pair, ohm in self.between.items() if self.case not in pair}

    @property
    def to_case(self) -> dict[str, float | None]:
        """From each lug that was read to the case."""
        return {
            one if other == self.case else other: ohm
            for (one, other), ohm in self.between.items()
            if self.case in (one, other)
        }

    def slack_of(self, ohm: float) -> float:
        """By how much the meter may be off at this reading, in ohms."""
        return replace(self.meter, ohm=ohm).tolerance

    def in_order(self, lugs: Iterable[str]) -> list[str]:
        """These lugs, in the order in which they were named."""
        return sorted(lugs, key=self.lugs.index)

    def without(self, pair: Pair) -> LugReadings:
        """All readings but one."""
        kept = {each: ohm for each, ohm in self.between.items() if each != pair}
        return replace(self, between=kept)


def lug_readings(
    readings: Mapping[Pair, float | None],
    case: str,
    leads_ohm: float,
    accuracy_percent: float,
    digits: float,
    resolution_ohm: float,
) -> LugReadings:
    """See `lugs`. Raises `ReadingError` (a `ValueError`)."""
    if not isinstance(readings, Mapping) or not readings:
        raise ReadingError(f"found {shown(readings)}; accepted: {_TABLE}. Read at least one pair.")
    meter = ResistanceReading(
        red="",
        black="",
        ohm=0.0,
        accuracy_percent=accuracy_percent,
        digits=digits,
        resolution=resolution_ohm,
    )
    leads = replace(meter, ohm=leads_ohm).value
    between: dict[Pair, float | None] = {}
    differing: list[Pair] = []
    for key, value in readings.items():
        pair = _pair(key)
        read = replace(meter, red=pair[0], black=pair[1], ohm=_ohm(pair, value))
        ohm = None if read.ohm is None else max(0.0, read.ohm - leads)
        turned = (pair[1], pair[0])
        if turned not in between:
            between[pair] = ohm
        elif not _same(between[turned], ohm, meter):
            differing.append(turned)
    named = dict.fromkeys(lug for pair in between for lug in pair if lug != case)
    if not 2 <= len(named) <= MOST_LUGS:
        raise ReadingError(
            f"found {len(named)} lugs: {', '.join(named)}; accepted: 2 to {MOST_LUGS}. "
            "Take a larger block in parts that do not lead to each other."
        )
    lugs = tuple(sorted(named, key=lambda lug: (len(lug), lug)))
    return LugReadings(lugs, case, between, tuple(differing), meter)


def _pair(key: object) -> Pair:
    if isinstance(key, tuple) and len(key) == 2:
        one, other = (str(lug).strip() for lug in key)
        if one and other and one != other:
            return one, other
    raise ReadingError(
        f'found {shown(key)}; accepted: two different lugs, such as ("1", "2"). Name each lug once.'
    )


def _ohm(pair: Pair, value: object) -> float | None:
    if value is None or (isinstance(value, (int, float)) and not isinstance(value, bool)):
        return value
    raise ReadingError(
        f"found {shown(value)} between {pair[0]} and {pair[1]}; accepted: a number of ohms, or "
        "None where the meter shows an open path. Write 1.2 kΩ as 1200."
    )


def _same(one: float | None, other: float | None, meter: ResistanceReading) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= 2 * replace(meter, ohm=max(one, other)).tolerance
