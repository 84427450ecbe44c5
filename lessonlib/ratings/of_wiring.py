"""Findings about the wiring and the file: shorts, elements that never heat, current to earth, and
values that cannot all be true."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.parts import Appliance, PressureSwitch
from lessonlib.limits import earth
from lessonlib.quantities import format_quantity
from lessonlib.ratings.duty import Duty, controlled_W
from lessonlib.ratings.finding import Finding, judged
from lessonlib.words import listed

SHORT = "short circuit"
_CHECK = "Check the wiring and the switch."
_HEATS = 0.01
"""An element that never gets this share of the most power that one gets does not count as heating:
a lamp in series with it lets so little through."""


def of_wiring(appliance: Appliance, rated: Duty) -> Iterator[Finding]:
    """`rated` is what the appliance meets at its own voltage."""
    shorted = rated.shorted()
    if shorted is not None:
        yield _wrong("wiring", SHORT, f"Do not plug it in. Path: {shorted.short}.")
    most_W = {part.name: rated.power_W(part.name) for part in appliance.elements}
    highest_W = max(most_W.values(), default=0.0)
    never = [name for name, watts in most_W.items() if watts <= _HEATS * highest_W]
    if never and rated.has_sound():
        heat = "heats" if len(never) == 1 else "heat"
        yield _wrong("wiring", f"{listed(never)} never {heat}", _CHECK)
    for diode in appliance.diodes:
        if controlled_W(appliance, diode.name) == 0:
            do = f"A wire in its place would give the same powers. {_CHECK}"
            yield _wrong("wiring", f"{diode.name} changes nothing", do)
    yield from _to_earth(appliance, rated)
    for part, what, do in _contradictions(appliance):
        yield _wrong(part, what, do, "the file contradicts itself")


def _wrong(part: str, what: str, do: str, where: str = "") -> Finding:
    return Finding(part, what, "fail", do, "the file", where=where)


def _to_earth(appliance: Appliance, rated: Duty) -> Iterator[Finding]:
    limit = earth.LEAKAGE_A["I"]
    do = "That is a fault, and makes the case dangerous: do not plug it in."
    for part in appliance.parts:
        for number, rung in enumerate(part.rungs, 1):
            if "PE" in rung:
                most, what = rated.current(part.name, number), "current to earth"
                yield judged(part.name, what, most, limit.value, "A", limit.cited, do=do)


def _contradictions(appliance: Appliance) -> Iterator[tuple[str, str, str]]:
    """Values of the file that cannot all be true: the part, what they are, what to do."""
    supply, vessel = appliance.supply, appliance.vessel
    on_earth = "PE" in appliance.nodes
    if supply.reversible_plug and supply.plug_fuse_A is not None:
        do = "A plug with a fuse goes in one way only: correct one of them."
        yield "plug fuse", "reversible_plug = true together with plug_fuse_A", do
    if supply.protection_class == "II" and (on_earth or supply.cord_cores == "three"):
        do = "Class II has no earth wire: read the plate again."
        yield "earth", "class II together with an earth", do
    if on_earth and supply.cord_cores == "two":
        do = "Count the cores again: two cores have no earth."
        yield "earth", "parts on PE together with a two-core cord", do
    relief_bar = None if vessel is None else vessel.relief_bar
    for part in appliance.of_type(PressureSwitch):
        if relief_bar is not None and relief_bar <= part.opens_at_bar:
            what = f"opens at {part.opens_at_bar:g} bar, relief at"
            do = "The valve lifts first and it never opens: check both."
            yield part.name, f"{what} {format_quantity(relief_bar, 'bar')}", do
