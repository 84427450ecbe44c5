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

PLATE = "the file"
SHORT = "short circuit"
_HEATS = 0.01
"""An element that never gets this share of the most power that one gets does not count as heating:
a lamp in series with it lets so little through."""


def of_wiring(appliance: Appliance, rated: Duty) -> Iterator[Finding]:
    """`rated` is what the appliance meets at its own voltage."""
    shorted = rated.shorted()
    if shorted is not None:
        do = f"Do not plug it in. Path: {shorted.short}."
        yield _wrong("wiring", SHORT, do)
    yield from _never_heats(appliance, rated)
    for diode in appliance.diodes:
        if controlled_W(appliance, diode.name) == 0:
            do = "A wire in its place would give the same powers. Check the wiring and the switch."
            yield _wrong("wiring", f"{diode.name} changes nothing", do)
    yield from _to_earth(appliance, rated)
    yield from _contradictions(appliance)


def _wrong(part: str, what: str, do: str, where: str = "") -> Finding:
    return Finding(part, what, "fail", None, None, "", where, PLATE, do)


def _never_heats(appliance: Appliance, rated: Duty) -> Iterator[Finding]:
    most_W = {part.name: rated.power_W(part.name) for part in appliance.elements}
    highest_W = max(most_W.values(), default=0.0)
    never = [name for name, watts in most_W.items() if watts <= _HEATS * highest_W]
    if never and rated.has_sound():
        heat = "heats" if len(never) == 1 else "heat"
        yield _wrong("wiring", f"{listed(never)} never {heat}", "Check the wiring and the switch.")


def _to_earth(appliance: Appliance, rated: Duty) -> Iterator[Finding]:
    limit = earth.LEAKAGE_A["I"]
    for part in appliance.parts:
        for number, rung in enumerate(part.rungs, 1):
            if "PE" in rung:
                most = rated.current(part.name, number)
                yield judged(part.name, "current to earth", most.value, limit.value, "A",
                             limit.cited, where=most.where,
                             do="That is a fault, and makes the case dangerous: do not plug it in."
                             )  # fmt: skip


def _contradictions(appliance: Appliance) -> Iterator[Finding]:
    """Values of the file that cannot all be true."""
    supply, vessel = appliance.supply, appliance.vessel
    found: list[tuple[str, str, str]] = []
    on_earth = "PE" in appliance.nodes
    if supply.reversible_plug and supply.plug_fuse_A is not None:
        found.append(("plug fuse", "reversible_plug = true together with plug_fuse_A",
                      "A plug with a fuse goes in one way only: correct one of them."))  # fmt: skip
    if supply.protection_class == "II" and (on_earth or supply.cord_cores == "three"):
        found.append(("earth", "class II together with an earth",
                      "Class II has no earth wire: read the plate again."))  # fmt: skip
    if on_earth and supply.cord_cores == "two":
        found.append(("earth", "parts on PE together with a two-core cord",
                      "Count the cores again: two cores have no earth."))  # fmt: skip
    for part in appliance.of_type(PressureSwitch):
        relief = None if vessel is None else vessel.relief_bar
        if relief is not None and relief <= part.opens_at_bar:
            bar = format_quantity(relief, "bar")
            found.append((part.name, f"opens at {part.opens_at_bar:g} bar, relief at {bar}",
                          "The valve lifts first and it never opens: check both."))  # fmt: skip
    for part_name, what, do in found:
        yield _wrong(part_name, what, do, "the file contradicts itself")
