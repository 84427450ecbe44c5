"""The numbers of lesson 2's questions that lines of data cannot draw."""

from __future__ import annotations

from collections.abc import Callable

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import solve
from lessonlib.questions.answers import CellTable, CircuitFile, Order
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.reading import written

LIMITS_V = (207.0, 253.0)
"""230 V, 10 % down and up: IEC 60038, as quoted."""


def urn_within_the_limits(draw: Draw) -> Numbers:
    """Current and power of the urn at either limit of the mains."""
    keep_W, boost_W = draw.number(300, 600, 50), draw.number(800, 1600, 100)
    position = draw.one_of(["off", "on"])
    urn = draw.appliance("tea-urn", {"E1": {"power_W": keep_W}, "E2": {"power_W": boost_W}})
    marked_W = keep_W + (boost_W if position == "on" else 0)

    def table(current_by: int, power_by: int) -> tuple[tuple[float, ...], ...]:
        """Current and power at both limits, each with that power of the ratio of voltages."""
        ratios = [volts / 230 for volts in LIMITS_V]
        return tuple((marked_W / 230 * q**current_by, marked_W * q**power_by) for q in ratios)

    solved = [solve(urn, {"S1": position}, supply_voltage_V=volts) for volts in LIMITS_V]
    right = tuple((now.current_A or 0.0, now.power_W or 0.0) for now in solved)
    return Numbers(
        answer=CellTable(
            rows=tuple(f"{volts:g} V" for volts in LIMITS_V),
            columns=(("current", "A"), ("power", "W")),
            value=right,
            because="three figures, and 2 % for rounding on the way; the slips are 10 % apart",
        ),
        slips={
            "nothing-changes": table(0, 0),
            "power-follows-voltage": table(1, 1),
            "square-for-both": table(2, 2),
            "current-makes-up-for-it": table(-1, 0),
        },
        words={
            "keep_W": keep_W,
            "boost_W": boost_W,
            "position": position,
            "marked_W": marked_W,
            "low": solved[0],
            "high": solved[1],
        },
        appliance=urn,
        setting={"S1": position},
    )


def elements_by_resistance(draw: Draw) -> Numbers:
    """Four markings in order of resistance: a low voltage with few watts, and a high one with many,
    so that no single figure tells."""
    first_W, step = draw.number(200, 400, 50), draw.one_of([1.5, 1.6, 1.8])
    low_V, high_V = draw.one_of([(115, 230), (110, 220), (120, 240)])
    marked = draw.shuffled(
        [(first_W, low_V), (first_W * step, high_V), (2.5 * first_W, high_V), (6 * first_W, high_V)]
    )

    def ordered(by: Callable[[float, float], float]) -> tuple[str, ...]:
        return tuple(f"{w:g} W at {v} V" for w, v in sorted(marked, key=lambda each: by(*each)))

    right = ordered(lambda watts, volts: volts**2 / watts)
    return Numbers(
        answer=Order(right),
        slips={
            "more-watts-more-ohms": ordered(lambda watts, volts: watts),
            "watts-alone": ordered(lambda watts, volts: -watts),
            "voltage-once": ordered(lambda watts, volts: volts / watts),
            "most-first": right[::-1],
        },
        words={
            "marked": tuple(f"{watts:g} W at {volts} V" for watts, volts in marked),
            "low_V": low_V,
            "high_V": high_V,
            "worked": "\n".join(
                f"{watts:g} W at {volts} V: {volts}² ÷ {watts:g} = "
                f"{written(float(f'{volts**2 / watts:.3g}'), 'Ω')}."
                for watts, volts in sorted(marked, key=lambda each: each[1] ** 2 / each[0])
            ),
        },
    )


def club_heater_file(draw: Draw) -> Numbers:
    """A heater with one element and one switch, on a mains that is not what the element is
    marked for."""
    power_W, supply_V = draw.number(400, 1200, 100), draw.one_of([207, 212, 219, 244])

    def heater(marked_V: float, volts: float, element: str, contact: str) -> Appliance:
        return read_appliance(
            f"""\
title = "Club heater"
supply.voltage_V = {volts:g}
[[switch]]
name = "S1"
positions = ["off", "on"]
contacts = [{{ between = [{contact}], closed_in = ["on"] }}]
[[element]]
name = "E1"
between = [{element}]
power_W = {power_W:g}
voltage_V = {marked_V:g}
"""
        )

    line, neutral = '"L", "fed"', '"fed", "N"'
    right = heater(230, supply_V, neutral, line)
    return Numbers(
        answer=CircuitFile(
            right,
            start_text='title = "Club heater"\n\n[supply]\nvoltage_V = \n',
            must=("live points", "lamps", "protection", "positions"),
        ),
        slips={
            "marking-moved": heater(supply_V, supply_V, neutral, line),
            "mains-as-marked": heater(230, 230, neutral, line),
            "switch-in-neutral": heater(230, supply_V, line, neutral),
        },
        words={"power_W": power_W, "supply_V": supply_V, "on": solve(right, {"S1": "on"})},
    )
