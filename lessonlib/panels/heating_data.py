"""What the browser gets for a heating run: all that takes the solver, and the figures of water.

Every flip leads to another run, so runs cannot be tabulated; the browser computes them from event
to event (`heating_engine.js`). It needs a row for every combination of positions and fault (as in
`data`, with the elements' powers added), the vessel's numbers, and the contacts' temperatures.
Pure functions, no widgets.
"""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, ThermalFuse
from lessonlib.circuit.solution import Solution
from lessonlib.errors import HeatError
from lessonlib.heat import vessel as limits
from lessonlib.heat import water
from lessonlib.heat.contacts import contacts_of
from lessonlib.heat.stepping import MOST_EVENTS
from lessonlib.heat.vessel import Body, body_of
from lessonlib.panels.data import Choices, Indexes, Row, most_rows, picture_data, row_of, rows

SPEEDS = (1, 10, 60, 300)
"""How many times as fast as real time a run can be played."""


def heating_row(solution: Solution) -> Row:
    """A row as in `data`, and the mean power of each element, W."""
    elements = solution.appliance.elements
    powers = [solution.part[element.name].power_W or 0.0 for element in elements]
    return [*row_of(solution), powers]


def heating_data(
    offer: Choices, svg: str, caution: str, start: Indexes, minutes: float
) -> dict[str, Any]:
    """Everything the browser gets, made of lists, dicts, texts and numbers only.

    Raises `HeatError` (a `ValueError`) where there is no vessel to heat, and for more combinations
    of positions and faults than a page can carry.
    """
    appliance = offer.appliance
    body = body_of(appliance)
    most, count = most_rows(appliance), math.prod(offer.ways)
    if count > most:
        raise HeatError(
            f"{appliance.title} has {count:,} combinations of positions and faults; accepted: at "
            f"most {most:,} in a heating panel. Offer fewer faults, or use heat_up."
        )
    kept, index = rows(offer, start, count, heating_row)
    return {
        **picture_data(offer, svg, caution, kept, index),
        "vessel": _vessel(body),
        "contacts": [_contacts(appliance, body, fault) for fault in offer.faults],
        "most_events": MOST_EVENTS,
        "minutes": minutes,
        "start": list(start),
        "speeds": list(SPEEDS),
    }


def _vessel(body: Body) -> dict[str, Any]:
    values = asdict(body)
    return {
        **values.pop("vessel"),
        **values,
        "water_J_per_kgK": water.HEAT_OF_WATER_J_PER_KGK,
        "freezes_C": limits.FREEZES_C,
        "fire_C": limits.FIRE_C,
        "melts_C": limits.MELTS_C,
        "words": {
            "fire": limits.FIRE,
            "melts": limits.MELTS,
            "bursts": limits.BURSTS,
            "freezes": limits.FREEZES,
            "weightless": limits.WEIGHTLESS,
        },
        "saturation": water.SATURATION if body.holds_steam else None,
    }


def _contacts(appliance: Appliance, body: Body, fault: Fault | None) -> list[dict[str, Any]]:
    elements = [element.name for element in appliance.elements]
    movable = [part.name for part in appliance.movable]
    resettable = [fuse.name for fuse in appliance.of_type(ThermalFuse) if fuse.resettable]
    return [
        {
            **asdict(contact),
            "part": movable.index(contact.name),
            "opens_C": contact.opens_C if math.isfinite(contact.opens_C) else None,
            # infinite where it closes at any temperature, and nothing is hotter than this
            "closes_C": None if contact.closes_C is None else min(contact.closes_C, limits.MELTS_C),
            "words": contact.words,
            "dry": {
                name: getattr(contact.over_dry_steam, name)
                for name in ("opens_at", "closes_at", "words")
            },
            "placed_on": None if contact.placed_on is None else elements.index(contact.placed_on),
            "resettable": contact.name in resettable,
        }
        for contact in contacts_of(appliance, body, fault)
    ]
