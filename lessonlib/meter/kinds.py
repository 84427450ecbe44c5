"""What each kind of meter shows of one voltage: only on a sine do they all agree."""

from __future__ import annotations

from dataclasses import dataclass

from lessonlib.circuit.wave import Wave
from lessonlib.circuit.waveform import Waveform
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table

# Each kind of meter, the property of a wave that it shows, and how it comes to that.
_KINDS = (
    (
        "true r.m.s., a.c.-coupled",
        "ac_coupled_true_rms_meter",
        "leaves the mean out, then takes the r.m.s.: most true-r.m.s. meters",
    ),
    (
        "averaging, a.c.-coupled",
        "ac_coupled_averaging_meter",
        "leaves the mean out, then takes 1.11 times the average size: most other meters",
    ),
    (
        "true r.m.s., d.c.-coupled",
        "true_rms_meter",
        "the r.m.s. of the whole wave, which is what heats",
    ),
    (
        "averaging, d.c.-coupled",
        "averaging_meter",
        "1.11 times the average size of the whole wave: a moving coil behind a rectifier",
    ),
    ("d.c. range", "mean", "the mean; its sign turns with the leads"),
)


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
        return {kind: getattr(self.wave, name) for kind, name, _ in _KINDS}

    @property
    def caption(self) -> str:
        red, black = self.between
        return f"From {red} to {black}, in the model: what each kind of meter would show"

    @property
    def header(self) -> tuple[str, ...]:
        return ("meter", "shows", "what it makes of the wave")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        readings = self.readings
        return [
            (kind, format_quantity(readings[kind], self.wave.unit), words)
            for kind, _, words in _KINDS
        ]


def meter_kinds(wave: Waveform) -> MeterKinds:
    """What the four kinds of a.c. voltmeter, and a d.c. range, show across `wave`.

    `wave` is what `waveform` gives for a part. Raises `WaveformError` (a `ValueError`)
    where nothing fixes the voltage.
    """
    return MeterKinds(wave.between, wave.defined("voltage"))
