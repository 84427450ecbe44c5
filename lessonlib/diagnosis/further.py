"""What would tell what no test of the plan can: the meter is too weak, or the part too cold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import (
    Appliance,
    Diode,
    Lamp,
    Link,
    PressureSwitch,
    SelfActing,
    ThermalFuse,
)


def further_tests(appliance: Appliance, faults: Sequence[Fault]) -> tuple[str, ...]:
    """What would tell these faults from each other, and from a sound appliance: one line each."""
    return tuple(dict.fromkeys(line for fault in faults for line in _lines(appliance, fault)))


def _lines(appliance: Appliance, fault: Fault) -> Iterator[str]:
    if fault.kind in ("plug fuse blown", "line core broken", "neutral core broken"):
        yield "cord and plug: measure each core from the pin to its end inside, and bend the cord"
        return
    if fault.kind == "earth wire off":
        yield "earth wire: measure from the earth pin to bare metal of the case"
        return
    if fault.kind in ("wire off", "bad joint"):
        yield "wires: look at each end and pull it gently; a bad joint is often brown from heat"
        return
    part = appliance.part(fault.part)
    if isinstance(part, SelfActing) and fault.kind in ("welded", "drifted"):
        yield from _acting(part)
    elif isinstance(part, Lamp):
        yield (
            f"{part.name}: a meter reads a neon lamp as open, broken or not, and a filament "
            "anywhere. Put in a new one"
        )
    elif isinstance(part, Diode):
        yield f"{part.name}: take it out and try both ways round on a diode range"
    elif fault.kind == "leaking":
        yield (
            f"{part.name}: an insulation tester at 500 V from both its ends to the case finds a "
            "leak that a meter does not see"
        )
    elif fault.kind in ("part shorted", "open", "shorted") and not isinstance(part, Link):
        yield f"{part.name}: compare it with a new one of the same marking"
    else:
        yield f"{part.name}: take it out and measure it by itself, in each of its positions"


def _acting(part: SelfActing) -> Iterator[str]:
    """Welded or drifted, it is closed when cold, as a sound one is."""
    if isinstance(part, ThermalFuse) and not part.resettable:
        yield (
            f"{part.name}: cold, it reads as a sound one. One that opens for good cannot be tried: "
            "in doubt, fit a new one of the same marking"
        )
        return
    acts = " and ".join(part.thresholds)
    yield f"{part.name}: cold, it reads as a sound one, which {acts}"
    how = "in warm water with a thermometer"
    if isinstance(part, PressureSwitch):
        how = "with a pump and a gauge"
    yield (
        f"{part.words}: try it out of the appliance, {how}. If that does not reach its marking, "
        "fit a new one, or leave a heat-up test to a competent person"
    )
