"""What each kind of meter shows of one voltage: only on a sine do they all agree."""

from __future__ import annotations

from dataclasses import dataclass

from lessonlib.circuit.wave import Wave
from lessonlib.circuit.waveform import Waveform
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table


@dataclass(frozen=True, repr=False)
class MeterKinds(Table):
    """One row for each kind of meter; the values are those of `wave`, by the names in `readings`.

    That most meters are a.c.-coupled on their a.c. range is common practice, no source.
    """

    between: tuple[str, str]
    wave: Wave

    @property
    def readings(self) -> dict[str, float]:
        """What each kind of meter shows, in V, by its kind."""
        wave = self.wave
        return {
            "true r.m.s., a.c.-coupled": wave.ac_coupled_true_rms_meter,
            "averaging, a.c.-coupled": wave.ac_coupled_averaging_meter,
            "true r.m.s., d.c.-coupled": wave.true_rms_meter,
            "averaging, d.c.-coupled": wave.averaging_meter,
            "d.c. range": wave.mean,
        }

    @property
    def caption(self) -> str:
        red, black = self.between
        return f"From {red} to {black}, in the model: what each kind of meter would show"

    @property
    def header(self) -> tuple[str, ...]:
        return ("meter", "shows", "what it makes of the wave")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        makes = (
            "leaves the mean out, then takes the r.m.s.: most true-r.m.s. meters",
            "leaves the mean out, then takes 1.11 times the average size: most other meters",
            "the r.m.s. of the whole wave, which is what heats",
            "1.11 times the average size of the whole wave: a moving coil behind a rectifier",
            "the mean; its sign turns with the leads",
        )
        return [
            (kind, format_quantity(value, self.wave.unit), words)
            for (kind, value), words in zip(self.readings.items(), makes, strict=True)
        ]


def meter_kinds(wave: Waveform) -> MeterKinds:
    """What the four kinds of a.c. voltmeter, and a d.c. range, show across `wave`.

    `wave` is what `waveform` gives for a part or a node. Raises `WaveformError` (a `ValueError`)
    where nothing fixes the voltage.
    """
    return MeterKinds(wave.between, wave.defined("voltage"))
