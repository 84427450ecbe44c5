"""Numbers of the questions about faults and what a meter shows of them."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations
from typing import Any

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import solve
from lessonlib.diagnosis.lugs import lugs
from lessonlib.meter.ohmmeter import resistance
from lessonlib.questions.draw import Draw

Names = dict[str, Any]


def leak_along_the_element(circuit: Appliance, share: float, leak_kohm: float) -> Names:
    """What comes in by the line and does not go on along E1, in milliamperes."""
    leak = Fault("E1", "leaking", share=share / 100, ohm=1000 * leak_kohm)
    before, behind = (each.current_A for each in solve(circuit, fault=leak).part["E1"].contacts)
    assert before is not None
    assert behind is not None
    return {"leak_mA": 1000 * (before - behind)}


_PAIRS = (("A", "B"), ("A", "C"), ("B", "C"))


def lugs_of_a_block(draw: Draw, low_W: float, high_W: float, want: str) -> Names:
    """Three lugs with two elements between them, read on a meter and found again by `lugs`."""
    low_ohm, high_ohm = (230**2 / power_W for power_W in (low_W, high_W))
    low, high, both = draw.one_of(list(permutations(_PAIRS)))
    readings = {low: low_ohm, high: high_ohm, both: low_ohm + high_ohm}
    weaker, stronger = sorted(lugs(readings).elements, key=lambda element: element.power_W)
    one, other = (weaker, stronger) if want == "weaker" else (stronger, weaker)
    said = [" and ".join(pair) for pair in (one.between, other.between, both)]
    return {
        **{f"{first}_{second}": readings[first, second] for first, second in _PAIRS},
        "low_ohm": low_ohm,
        "high_ohm": high_ohm,
        "sum_ohm": low_ohm + high_ohm,
        "found": said[0],
        "ends": said[2],
        "both_in_a_row": said[2],
        "the_other_of_the_two": said[1],
    }


_OPEN = {
    "the plug fuse has blown": "plug fuse blown",
    "S1 makes no contact": "S1 not making",
    "F1 has opened": "F1 not making",
    "E1 has burnt through": "E1 open",
    "D1 has burnt open": "D1 open",
    "D1 sits the wrong way round": "D1 reversed",
    "S2 makes no contact": "S2 not making",
}
"""What may be open in the wax melter, and the fault."""


def open_at_the_plug(draw: Draw, circuit: Appliance, at: str) -> Names:
    """The one suspect with which the meter still finds a way from L to N, and three with which it
    does not."""
    setting = {"S1": "on", "S2": at}
    open_ = {
        suspect: resistance(circuit, setting, red="L", black="N", fault=fault).ohm is None
        for suspect, fault in _OPEN.items()
    }
    return odd_one_out(draw, open_, 3)


def odd_one_out(draw: Draw, suspects: Mapping[str, bool], others: int) -> Names:
    """One of the suspects that do not fit what is seen, and so many of those that do: the options,
    in any order."""
    fits = [suspect for suspect, fit in suspects.items() if fit]
    excluded = draw.one_of([suspect for suspect, fit in suspects.items() if not fit])
    offered = draw.some_of(fits, others) if others < len(fits) else fits
    slips = {suspect.lower().replace(" ", "_"): suspect for suspect in offered}
    options = tuple(draw.shuffled([*offered, excluded]))
    return {**slips, "excluded": excluded, "options": options, "fits": "; ".join(fits)}
