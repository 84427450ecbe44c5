"""The numbers of lesson 2's questions that lines of data cannot draw."""

from __future__ import annotations

from lessonlib.electric.solution import solve
from lessonlib.exercises.answers import CellTable
from lessonlib.exercises.content_template import Numbers
from lessonlib.exercises.draw import Draw

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
