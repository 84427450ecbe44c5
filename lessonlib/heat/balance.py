"""Where the heat of a run went, and a check that none is missing."""

from __future__ import annotations

import math
from collections.abc import Sequence

from lessonlib.errors import SolverError
from lessonlib.heat.result import Energy
from lessonlib.heat.segment import Segment
from lessonlib.heat.vessel import MELTS_C, Body
from lessonlib.heat.water import HEAT_OF_WATER_J_PER_KGK

BALANCE = 1e-9
"""Heat given, stored, lost and carried off agree to this share of the largest of them."""
ULP_K = math.ulp(MELTS_C)
"""Rounding of the temperature at which a segment ends, K. In a large vessel that takes up next to
no heat, it counts."""


def energy_of(segments: Sequence[Segment], body: Body, end_C: float, end_kg: float) -> Energy:
    """The energy of a run that ends at `end_C` with `end_kg` of water; each term is summed on its
    own. Raises `SolverError` where the heat does not balance."""
    vessel = body.vessel
    warmed = HEAT_OF_WATER_J_PER_KGK * ((body.held_C or 0.0) - vessel.start_C)
    courses = [(each.course, each.duration_s) for each in segments]
    energy = Energy(
        heat_J=math.fsum(course.circuit.heat_W * s for course, s in courses),
        stored_J=body.capacity_J_per_K(end_kg) * (end_C - vessel.start_C),
        lost_J=math.fsum(course.lost_J(s) for course, s in courses),
        steam_J=(vessel.water_kg - end_kg) * (body.latent_J_per_kg + warmed),
        drawn_J=math.fsum(course.circuit.drawn_W * s for course, s in courses),
    )
    largest = max(energy.heat_J, abs(energy.stored_J), abs(energy.lost_J), energy.steam_J)
    gap = energy.heat_J - energy.stored_J - energy.lost_J - energy.steam_J
    rounding_J = len(segments) * body.capacity_J_per_K(vessel.water_kg) * ULP_K
    if not abs(gap) <= BALANCE * largest + rounding_J:
        raise SolverError(
            f"{gap:g} J of heat are unaccounted for, of {largest:g} J; accepted: one part in 1e9. "
            "Do not use this run; report the appliance file."
        )
    return energy
