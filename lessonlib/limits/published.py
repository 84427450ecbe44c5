"""Every limit that is kept here, as rows: for a reader, and for the test that each has a source."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from lessonlib.limits import components, cords, earth, half_wave, input_power, mains, plugs, series
from lessonlib.limits.limit import UNSEEN, Limit
from lessonlib.tables import Table

_EARTH = "VDE 0701-0702"


def published() -> tuple[Limit, ...]:
    """All limits with their sources."""
    return tuple(_rows())


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


def _rows() -> Iterator[Limit]:
    for table in (cords.LEAST_AREA, cords.EASED_AREA, cords.AMPACITY, cords.CLASS_5):
        yield from (row for _, row in table)
    yield from (cords.WARM_FACTOR, cords.MOST_DROP)
    yield from (*plugs.FUSES, plugs.FUSE_LOAD, plugs.SMALL_LOAD_W, plugs.SHORT_CORD_FUSE)
    yield from (each[-1] for each in plugs.MOST_A)
    yield from (*earth.LEAKAGE_A.values(), earth.STATIONARY_A_PER_KW, earth.STATIONARY_A)
    yield from (row for _, row in plugs.CORD_FUSE)
    yield from (coupler.rated for coupler in plugs.COUPLERS.values())
    yield from (components.TOLERANCE, components.HOLDING)
    yield from components.RATED_CURRENT.values()
    yield from (components.ABNORMAL, components.RELIEF, *components.DIODE_V, components.DIODE_A)
    yield from (components.FORWARD_V, components.AIR_C, components.SURGES)
    yield from (components.RCD_A, components.RCD_MEAN)
    for steps in (series.SWITCH_A, series.DIODE_A, series.FUSE_A, series.FUSE_C):
        yield from steps
    yield series.PLUG_FUSE_A[1]
    yield HALF_WAVE
    yield from map(power_limit, input_power.ROWS)
    for each in (*mains.RANGES, mains.UK):
        for word, volts in (("lowest", each.low_V), ("highest", each.high_V)):
            source, _, rest = each.source.partition(", ")
            yield Limit(f"{word} mains of {each.nominal_V:g} V", volts, "V", source, UNSEEN,
                        rest.partition(" (")[0], "S")  # fmt: skip
    yield Limit("earth path, cord up to 5 m", earth.SHORT_CORD_OHM, "Ω", _EARTH, "2008",
                "clause 5.3", "S")  # fmt: skip
    yield Limit("insulation, class I", earth.INSULATION_OHM, "Ω", _EARTH, "2008", "clause 5.4",
                "S")  # fmt: skip
    yield Limit("insulation, class I with elements", earth.HEATER_INSULATION_OHM, "Ω", _EARTH,
                "2008", "clause 5.4", "S")  # fmt: skip
    yield Limit("insulation, class II", earth.CLASS_2_INSULATION_OHM, "Ω", _EARTH, "2008",
                "clause 5.4", "S")  # fmt: skip


HALF_WAVE = Limit(
    "power controlled by half waves", half_wave.MOST_CONTROLLED_W, "W", "IEC 61000-3-2",
    "2018+A1:2020", "clause 6.2", "P",
)  # fmt: skip


def power_limit(row: input_power.DeviationRow) -> Limit:
    """How far above the marked power a row allows, %."""
    upto = "" if math.isinf(row.up_to_W) else f" up to {row.up_to_W:g} W"
    what = f"power above the marked one, over {row.over_W:g} W{upto}"
    clause = "clause 10.1 table 1"
    return Limit(what, row.above_percent, "%", "GOST R IEC 335-1", "1994", clause, "P")
