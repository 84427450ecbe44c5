"""Every limit that is kept here, as rows: for a reader, and for the test that each has a source."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from lessonlib.limits import components, cords, earth, half_wave, input_power, mains, plugs
from lessonlib.limits.limit import Limit
from lessonlib.tables import Table


@dataclass(frozen=True, repr=False, eq=False)
class LimitTable(Table):
    """Every limit with what it is, its value, where it is printed and how that was confirmed."""

    rows: tuple[Limit, ...]

    @property
    def caption(self) -> str:
        return f"The {len(self.rows)} limits that are kept here"

    @property
    def header(self) -> tuple[str, ...]:
        return ("value", "limit – source, edition, clause, and how it was confirmed")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        return [
            (f"{row.value:.4g} {row.unit}".strip(), f"{row.what} – {', '.join(row.where)}")
            for row in self.rows
        ]


def published() -> tuple[Limit, ...]:
    """All limits with their sources."""
    tables = (*cords.LEAST_AREA, *cords.EASED_AREA, *cords.AMPACITY, *cords.CLASS_5)
    return (
        *(row for _, row in tables),
        *(cords.WARM_FACTOR, cords.MOST_DROP),
        *(*plugs.FUSES, plugs.FUSE_LOAD, plugs.SMALL_LOAD_W, plugs.SHORT_CORD_FUSE),
        *(row for *_, row in plugs.MOST_A),
        *(*earth.LEAKAGE_A.values(), earth.STATIONARY_A_PER_KW, earth.STATIONARY_A),
        *(row for _, row in plugs.CORD_FUSE),
        *(coupler.rated for coupler in plugs.COUPLERS.values()),
        *(components.TOLERANCE, components.HOLDING, *components.RATED_CURRENT.values()),
        *(components.ABNORMAL, components.RELIEF, *components.DIODE_V, components.DIODE_MEAN),
        *(components.FORWARD_V, components.AIR_C, components.SURGES),
        *(components.RCD_A, components.RCD_MEAN),
        *(*components.SWITCHES_A, *components.DIODES_A, *components.FUSES_A, *components.FUSES_C),
        *(plugs.FUSES_A[1], half_wave.CONTROLLED),
        *_marked_powers(),
        *_mains(),
        *earth.TESTED,
    )


def _marked_powers() -> Iterator[Limit]:
    over_W = 0.0
    for up_to_W, percent, *_ in input_power.ROWS:
        upto = "" if math.isinf(up_to_W) else f" up to {up_to_W:g} W"
        what = f"power above the marked one, over {over_W:g} W{upto}"
        yield Limit(what, percent, "%", "GOST R IEC 335-1", "P", input_power.CLAUSE, "1994")
        over_W = up_to_W


def _mains() -> Iterator[Limit]:
    for each in (*mains.RANGES, mains.UK):
        source, _, rest = each.source.partition(", ")
        clause = rest.partition(" (")[0]
        for word, volts in (("lowest", each.low_V), ("highest", each.high_V)):
            yield Limit(f"{word} mains of {each.nominal_V:g} V", volts, "V", source, "S", clause)
