"""One stretch of time between two events, in closed form.

Nothing changes within it but the state itself, so temperature is an exponential (a straight line
without losses), or stands still while the water gets less by a straight line.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from lessonlib.circuit.islands import Short
from lessonlib.heat.vessel import Body

Mode = Literal["warming", "blowing", "boiling", "venting"]
VALVE_OPEN = ("venting", "blowing")


@dataclass(frozen=True)
class Circuit:
    """The circuit at one combination of positions. `heat_W` is what the elements give, one by one
    in `element_W`; `drawn_W` is what the appliance draws, lamps included. In a short circuit, and
    once the supply has tripped, they give nothing. `setting` has a welded contact as closed, and
    one that does not make as open."""

    heat_W: float
    element_W: Mapping[str, float]
    drawn_W: float
    short: Short | None
    setting: Mapping[str, str]


@dataclass(frozen=True)
class Course:
    """What follows from one state until something happens; seconds count from that state.

    `mode` is "warming" (or cooling: the temperature is free to move), "blowing" (the same, and the
    relief valve of a dry vessel is open), "boiling" (open vessel at its boiling point) or "venting"
    (sealed vessel with water at its relief pressure). `steam_C` is that of `Body.pressure_bar`.
    """

    mode: Mode
    start_C: float
    start_kg: float
    steam_C: float | None
    circuit: Circuit
    body: Body

    @property
    def is_held(self) -> bool:
        """Whether heat goes into steam, and the temperature stands still."""
        return self.mode in ("boiling", "venting")

    @cached_property
    def net_W(self) -> float:
        """Heat given less heat lost, at the start."""
        return self.circuit.heat_W - self.body.lost_W(self.start_C)

    @cached_property
    def capacity_J_per_K(self) -> float:
        """Heat capacity of vessel and water, J/K."""
        return self.body.capacity_J_per_K(self.start_kg)

    def temperature_C(self, seconds: float) -> float:
        """Temperature after some seconds, °C."""
        if self.is_held:
            return self.start_C
        k = self.body.vessel.loss_W_per_K
        if k == 0:
            return self.start_C + self.net_W * seconds / self.capacity_J_per_K
        share = -math.expm1(-k * seconds / self.capacity_J_per_K)
        return self.start_C + self.net_W / k * share

    def seconds_to(self, temperature_C: float) -> float:
        """Seconds until it is this warm, or this cold; infinite if it never is."""
        rise_K, net_W = temperature_C - self.start_C, self.net_W
        if self.is_held or net_W == 0 or (rise_K > 0) != (net_W > 0):
            return math.inf
        k = self.body.vessel.loss_W_per_K
        share = k * rise_K / net_W  # of the way to the steady temperature
        if share >= 1:
            return math.inf
        if share < 1e-300:  # no losses, or none to speak of
            return self.capacity_J_per_K * rise_K / net_W
        return -self.capacity_J_per_K / k * math.log1p(-share)

    @property
    def seconds_to_dry(self) -> float:
        """Seconds until the last water has become steam, where heat goes into steam."""
        return self.start_kg * self.body.latent_J_per_kg / self.net_W

    def water_kg(self, seconds: float) -> float:
        """Water left after some seconds, kg."""
        if not self.is_held:
            return self.start_kg
        gone = self.net_W / self.body.latent_J_per_kg * seconds
        return max(self.start_kg - gone, 0.0)

    def lost_J(self, seconds: float) -> float:
        """Heat lost to the surroundings in some seconds, J: its integral, in closed form."""
        k = self.body.vessel.loss_W_per_K
        steady = self.body.lost_W(self.start_C) * seconds
        if self.is_held or k == 0:
            return steady
        x = k * seconds / self.capacity_J_per_K
        if x > 1e100:  # at once at its steady temperature; x squared would overflow
            return self.circuit.heat_W * seconds
        return steady + self.net_W * seconds * x * _phi(x)


class Segment(NamedTuple):
    """A course from `start_s` to `end_s` of the run; in cycling, many segments share a course."""

    start_s: float
    end_s: float
    course: Course

    @property
    def duration_s(self) -> float:
        return self.end_s - self.start_s

    def temperature_C(self, time_s: float) -> float:
        """Temperature at a time of the run within this segment, °C."""
        return self.course.temperature_C(time_s - self.start_s)

    def water_kg(self, time_s: float) -> float:
        """Water left at a time of the run within this segment, kg."""
        return self.course.water_kg(time_s - self.start_s)


def _phi(x: float) -> float:
    """(x - 1 + exp(-x)) / x^2, by its series where the difference would lose its figures."""
    if x < 1e-3:
        return 1 / 2 - x / 6 + x * x / 24 - x**3 / 120  # next term: 1e-15
    return (x + math.expm1(-x)) / (x * x)
