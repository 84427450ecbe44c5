"""Appliances that only these tests need, and the texts that panels show of a solution."""

from __future__ import annotations

from typing import Any

from lessonlib.appliance.parts import Appliance, Contact, Element, Supply, Switch
from lessonlib.quantities import format_quantity

MARKUP = '<script>boom()</script><img src=x onerror="boom()">'


def markup_everywhere() -> Appliance:
    """Names and texts that would run if anything took them for markup."""
    node = "</g><b>a & b</b>"
    switch = Switch(
        "S<1>",
        positions=("</script>off", "$on & 'so'", "\u2028third"),
        contacts=(Contact(("L", node), ("$on & 'so'", "\u2028third")),),
        start="</script>off",
    )
    element = Element('E"1"</text>', (node, "N"), 1000, 230, 52.9)
    return Appliance(MARKUP, "-->]]>$title{}", Supply(230), (switch, element))


def many_switches(count: int) -> Appliance:
    """One element behind `count` two-position switches in series."""
    names = ["L", *(f"n{number}" for number in range(1, count)), "fed"]
    switches = tuple(
        Switch(
            f"S{number}",
            positions=("off", "on"),
            contacts=(Contact((names[number - 1], names[number]), ("on",)),),
            start="off",
        )
        for number in range(1, count + 1)
    )
    return Appliance(
        "Many switches", "", Supply(230), (*switches, Element("E1", ("fed", "N"), 1000, 230, 52.9))
    )


def texts_of(reading: Any) -> list[str]:
    """Voltage, current and power of a part or contact."""
    values = ((reading.voltage_V, "V"), (reading.current_A, "A"), (reading.power_W, "W"))
    return [format_quantity(value, unit) for value, unit in values]


def potential_of(node: Any) -> str:
    """Its potential; a floating node has none."""
    floating = node.condition == "floating"
    return "floating" if floating else format_quantity(node.potential_V, "V")
