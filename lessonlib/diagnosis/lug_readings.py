"""The readings between lugs as they were given, checked and put in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from lessonlib.errors import ReadingError, shown
from lessonlib.meter.readings import ResistanceReading

MOST_LUGS = 8

CASE = "case"
"""What the case of the block is called among its lugs."""

Pair = tuple[str, str]
_TABLE = 'a table such as {("1", "2"): 189.0, ("1", "3"): None}, in ohms, None for open'


@dataclass(frozen=True)
class LugReadings:
    """`between` has each pair once, as it was first named: ohms, None for open. `differing` are
    pairs read both ways round that do not read the same."""

    lugs: tuple[str, ...]
    between: Mapping[Pair, float | None]
    differing: tuple[Pair, ...]

    @property
    def among_lugs(self) -> dict[Pair, float | None]:
        """Without those to the case."""
        return {pair: ohm for pair, ohm in self.between.items() if CASE not in pair}

    @property
    def to_case(self) -> dict[str, float | None]:
        """From each lug that was read to the case."""
        return {
            one if other == CASE else other: ohm
            for (one, other), ohm in self.between.items()
            if CASE in (one, other)
        }

    def without(self, pair: Pair) -> LugReadings:
        """All readings but one."""
        kept = {each: ohm for each, ohm in self.between.items() if each != pair}
        return replace(self, between=kept)


def slack_of(ohm: float) -> float:
    """By how much a usual hand meter may be off at this reading, in ohms."""
    return ResistanceReading(red="", black="", ohm=ohm).tolerance


def lug_readings(readings: Mapping[Pair, float | None], leads_ohm: float) -> LugReadings:
    """See `lugs`. Raises `ReadingError` (a `ValueError`)."""
    if not isinstance(readings, Mapping) or not readings:
        raise ReadingError(f"found {shown(readings)}; accepted: {_TABLE}. Read at least one pair.")
    leads = ResistanceReading(red="", black="", ohm=leads_ohm).value
    between: dict[Pair, float | None] = {}
    differing = []
    for key, value in readings.items():
        one, other = _pair(key)
        try:
            read = ResistanceReading(red=one, black=other, ohm=value).ohm
        except ReadingError as error:
            raise ReadingError(f"between {one} and {other}: {error}") from None
        ohm = None if read is None else max(0.0, read - leads)
        if (other, one) not in between:
            between[one, other] = ohm
        elif not _same(between[other, one], ohm):
            differing.append((other, one))
    lugs = {lug for pair in between for lug in pair if lug != CASE}
    ordered = tuple(sorted(lugs, key=lambda lug: (len(lug), lug)))
    if not 2 <= len(ordered) <= MOST_LUGS:
        raise ReadingError(
            f"found {len(ordered)} lugs: {', '.join(ordered)}; accepted: 2 to {MOST_LUGS}. "
            "Take a larger block in parts that do not lead to each other."
        )
    return LugReadings(ordered, between, tuple(differing))


def _pair(key: object) -> Pair:
    if isinstance(key, tuple) and len(key) == 2:
        one, other = (str(lug).strip() for lug in key)
        if one and other and one != other:
            return one, other
    raise ReadingError(
        f'found {shown(key)}; accepted: two different lugs, such as ("1", "2"). Name each lug once.'
    )


def _same(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= 2 * slack_of(max(one, other))
