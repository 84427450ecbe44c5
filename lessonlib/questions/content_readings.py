"""What a question file can ask beyond a solution: a heating run, and a wave."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.circuit.solution import Solution
from lessonlib.circuit.wave import Wave
from lessonlib.circuit.waveform import waveform
from lessonlib.heat.result import Cycle
from lessonlib.heat.run import heat_up
from lessonlib.heat.vessel import body_of
from lessonlib.heat.water import HEAT_OF_WATER_J_PER_KGK
from lessonlib.questions.content_circuit import Settings


@dataclass(frozen=True)
class Heated:
    """A heating run, by names that a question can read.

    `ready_s` is when it is ready, `cycle` how it cycles then; `first_s` says when each kind of
    event happens first, as in `first_s.vents`, and `hottest_C` how hot the place of each thermal
    fuse gets. `capacity_J_per_K` is that of the full vessel, `held_C` where its water takes up heat
    without warming, at `latent_J_per_kg`.
    """

    ready_s: float | None
    cycle: Cycle | None
    first_s: Mapping[str, float]
    hottest_C: Mapping[str, float]
    capacity_J_per_K: float
    held_C: float | None
    latent_J_per_kg: float
    water_J_per_kgK: float = HEAT_OF_WATER_J_PER_KGK


@lru_cache(maxsize=256)
def heated(appliance: Appliance, minutes: float, setting: Settings, **more: Any) -> Heated:
    """The appliance heated up for so many minutes; `more` has what else `heat_up` may be told."""
    run = heat_up(appliance, dict(setting), minutes=minutes, **more)
    body = body_of(appliance)
    fuses = [part.name for part in appliance.of_type(ThermalFuse)]
    return Heated(
        ready_s=run.time_to_ready_s,
        cycle=run.cycle,
        first_s={event.kind: event.time_s for event in reversed(run.events)},
        hottest_C={fuse: run.hottest_place_C(fuse) for fuse in fuses},
        capacity_J_per_K=body.capacity_J_per_K(body.vessel.water_kg),
        held_C=body.held_C,
        latent_J_per_kg=body.latent_J_per_kg,
    )


def voltage_across(now: Solution, part: str) -> Wave:
    """The voltage across a part over a mains cycle, with what each kind of meter makes of it."""
    return waveform(now, part).defined("voltage")
