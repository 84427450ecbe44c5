"""Numbers of the questions on choosing parts, from the appliance and the published limits."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.solution import Solution, solve
from lessonlib.heat.protection import TOLERANCE_K
from lessonlib.limits import components, cords
from lessonlib.limits.mains import mains_range
from lessonlib.questions.content_circuit import rewired
from lessonlib.questions.draw import Draw
from lessonlib.ratings.of_supply import cord_fuse

Names = dict[str, Any]

_AMPS = (1.0, 2.0, 3.0, 6.0, 10.0, 16.0, 25.0)
"""Currents that parts of these exercises are rated for, A: our own choice, no source."""

_VOLTS = tuple(row.value for row in components.DIODE_V)
_PLUG_FUSES_A = (3.0, 5.0, 13.0)
"""Plug fuses of the British kind that are sold; 5 A: common practice, no source."""


def _known(*values: float | None) -> list[float]:
    """Values of circuits that have no short, without their signs."""
    return [abs(value) for value in values if value is not None]


def _high_V(circuit: Appliance) -> float:
    found = mains_range(circuit.supply.voltage_V)
    assert found is not None
    return found.high_V


def _step(steps: Sequence[float], least: float, more: int = 0) -> float:
    """The lowest step that is not below `least`, or one of the next."""
    return [step for step in steps if step >= least][more]


def _below(steps: Sequence[float], value: float) -> float | None:
    """The highest step below `value`; None where there is none."""
    return max((step for step in steps if step < value), default=None)


def _options(right: tuple[str, str], **slips: str) -> Names:
    """The names of the right option and of its slips, without those that come to the same."""
    found = dict([right])
    for name, words in slips.items():
        if words not in found.values():
            found[name] = words
    return found


def _carries() -> str:
    """The table of cords by current, as far as sockets go."""
    rows = [(upto_A, row.value) for upto_A, row in cords.LEAST_AREA if upto_A <= 25]
    return ", ".join(f"up to {amps:g} A {area:g} mm²" for amps, area in rows)


def least_diode(circuit: Appliance) -> Names:
    """The diode with the lowest steps of mean current and reverse voltage that will do."""
    high_V = _high_V(circuit)
    usual, worst = (
        solve(circuit, {"S1": "low"}, supply_voltage_V=volts).part["D1"]
        for volts in (circuit.supply.voltage_V, high_V)
    )
    full = solve(circuit, {"S1": "high"}, supply_voltage_V=high_V)
    full_A, usual_A = _known(full.current_A, usual.current_mean_A)
    mean_A, rms_A, peak_V = _known(worst.current_mean_A, worst.current_A, worst.voltage_peak_V)

    def words(amps: float, volts: float, more: int = 0) -> str:
        return f"{_step(_AMPS, amps, more):.1f} A, {_step(_VOLTS, volts, more):g} V"

    return {
        "high_V": high_V,
        "full_A": full_A,
        "mean_A": mean_A,
        "peak_V": peak_V,
        **_options(
            ("least", words(mean_A, peak_V)),
            shares_the_voltage=words(mean_A, peak_V / 2),
            usual_mains=words(usual_A, peak_V),
            rms_current=words(rms_A, peak_V),
            current_of_the_element=words(full_A, peak_V),
            a_step_to_be_safe=words(mean_A, peak_V, 1),
        ),
    }


def junction_of_the_diode(circuit: Appliance) -> Names:
    """What the diode of the wax melter meets at half, on the usual and on the highest mains."""
    high_V = _high_V(circuit)
    return {
        "high_V": high_V,
        "worst": solve(circuit, {"S1": "on"}, supply_voltage_V=high_V).part["D1"],
        "drop_V": components.FORWARD_V.value,
        "air_C": components.AIR_C.value,
    }


_HOLDS_BELOW_K = 22
"""How far below its mark a fuse of these exercises holds, K: our own choice, as in the melter."""


def fuse_that_holds(draw: Draw, place_C: float, worst_A: float) -> Names:
    """Four thermal fuses: one that will do, and three that fail by one rule each."""
    hot_C = ceil(place_C)
    rated_A = _step(_AMPS, worst_A)
    weak_A = _below(_AMPS, worst_A)

    def words(mark_C: float, amps: float) -> str:
        return f"mark {mark_C:g} °C, holds {mark_C - _HOLDS_BELOW_K:g} °C, {amps:.1f} A"

    good_C = hot_C + _HOLDS_BELOW_K + draw.one_of([3, 5, 8])
    return {
        "hot_C": hot_C,
        "tolerance_K": TOLERANCE_K,
        "fits": words(good_C, rated_A),
        "holding_forgotten": words(hot_C + TOLERANCE_K + draw.one_of([3, 5]), rated_A),
        "tolerance_forgotten": words(hot_C + draw.one_of([4, 6]), rated_A),
        "current_forgotten": words(good_C, weak_A or 0.5),
    }


def heat_in_the_cord(area_mm2: float) -> Names:
    """Milliohms of a metre of warm core."""
    warm_ohm = cords.core_ohm_per_m(area_mm2) * cords.WARM_FACTOR.value
    return {"core_mohm": round(1000 * warm_ohm, 1)}


def cord_for_the_stall(supply_V: float, load_A: float, length_m: float) -> Names:
    """The least cross-section by current and by voltage lost, out of those of the tables."""
    areas = [area for area, _ in cords.CLASS_5]
    by_current = cords.least_area(supply_V, load_A, length_m)
    assert by_current is not None

    def lost_V(area_mm2: float, cores: int = 2) -> float:
        warm_ohm = cords.core_ohm_per_m(area_mm2) * cords.WARM_FACTOR.value
        return load_A * cores * warm_ohm * length_m

    most_V = supply_V * cords.MOST_DROP.value / 100

    def least(cores: int) -> float:
        return next(
            area for area in areas if area >= by_current.value and lost_V(area, cores) <= most_V
        )

    right = least(2)
    place = areas.index(right)
    ohms = [f"{2000 * cords.core_ohm_per_m(a) * cords.WARM_FACTOR.value:.3g}" for a in areas]
    return {
        "carries": _carries(),
        "by_current": f"{by_current.value:.2f} mm²",
        "ohms": ", ".join(f"{area:g} mm² {mohm}" for area, mohm in zip(areas, ohms, strict=True)),
        "drop_percent": cords.MOST_DROP.value,
        "most_V": most_V,
        "two_mohm": float(ohms[place]),
        "lost_V": load_A * float(ohms[place]) / 1000 * length_m,
        **_options(
            ("least", f"{right:.2f} mm²"),
            current_alone=f"{by_current.value:.2f} mm²",
            one_core=f"{least(1):.2f} mm²",
            a_step_to_save=f"{areas[place - 1]:.2f} mm²",
            a_step_to_be_safe=f"{areas[place + 1]:.2f} mm²",
        ),
    }


def plug_fuse_for_the_load(area_mm2: float, length_m: float, load_A: float) -> Names:
    """The lowest plug fuse that carries the load and protects the cord, if there is one."""
    allowed = cord_fuse(area_mm2, length_m)
    assert allowed is not None
    cord_A = allowed[0]
    small = [amps for amps in _PLUG_FUSES_A if amps < load_A]
    large = [amps for amps in _PLUG_FUSES_A if amps > cord_A]
    fits = [amps for amps in _PLUG_FUSES_A if amps not in (*small, *large)]
    none = "none of them"
    names: Names = {"cord_A": cord_A, "fits": f"{fits[0]:.1f} A" if fits else none}
    if fits:
        names["none_will_do"] = none
    if small:
        names["below_the_load"] = f"{small[-1]:.1f} A"
    if large:
        names["above_the_cord"] = f"{large[-1]:.1f} A"
    if len(fits) > 1:
        names["larger_than_needed"] = f"{fits[-1]:.1f} A"
    return names


_AREAS = (0.5, 0.75, 1.0, 1.5)
_CHECKED = ("S1", "D1, its current", "D1, its voltage", "the cord", "the plug fuse")


def finding_that_is_missing(draw: Draw, circuit: Appliance, now: Solution, cord_m: float) -> Names:
    """Ratings of which one is too low, and what each of them meets."""
    high_V = _high_V(circuit)
    full, half = (solve(circuit, {"S1": at}, supply_voltage_V=high_V) for at in ("high", "low"))
    diode = half.part["D1"]
    full_A, now_A = _known(full.current_A, now.current_A)
    mean_A, peak_V = _known(diode.current_mean_A, diode.voltage_peak_V)
    least = cords.least_area(circuit.supply.voltage_V, now_A, cord_m)
    assert least is not None
    meets = dict(zip(_CHECKED, (full_A, mean_A, peak_V, least.value, now_A), strict=True))
    steps = dict(zip(_CHECKED, (_AMPS, _AMPS, _VOLTS, _AREAS, _PLUG_FUSES_A), strict=True))
    weak = [what for what in _CHECKED if _below(steps[what], meets[what])]
    culprit = draw.one_of(weak)
    rated = {what: _step(steps[what], meets[what]) for what in _CHECKED}
    too_low = _below(steps[culprit], meets[culprit])
    assert too_low is not None
    rated[culprit] = too_low
    names: Names = {"culprit": culprit, "high_V": high_V, "carries": _carries()}
    names["short_m"] = cords.SHORT_M
    for what, key in zip(_CHECKED, ("s1", "amps", "volts", "cord", "fuse"), strict=True):
        names |= {f"{key}_meets": meets[what], f"{key}_rated": rated[what]}
    return names


_WIRINGS = {
    "both": (
        "E1 a to r, E2 b to r; S1 joins L to a and r to N at low and high, L to b at high",
        {"E1": "a-r", "E2": "b-r", "S1": "(L-a at low/high, L-b at high, r-N at low/high)"},
    ),
    "line_alone": (
        "E1 a to N, E2 b to N; S1 joins L to a at low and high, L to b at high",
        {"E1": "a-N", "E2": "b-N", "S1": "(L-a at low/high, L-b at high)"},
    ),
    "neutral_alone": (
        "E1 L to a, E2 L to b; S1 joins a to N at low and high, b to N at high",
        {"E1": "L-a", "E2": "L-b", "S1": "(a-N at low/high, b-N at high)"},
    ),
    "one_of_two": (
        "E1 a to N, E2 L to b; S1 joins L to a at low and high, b to N at high",
        {"E1": "a-N", "E2": "L-b", "S1": "(L-a at low/high, b-N at high)"},
    ),
}
"""Ways to switch two elements, in words and as wires."""


def which_off_is_safe(draw: Draw, circuit: Appliance) -> Names:
    """Four wirings under letters, and the one of which "off" leaves nothing inside live."""
    lettered = dict(zip(draw.shuffled(list(_WIRINGS)), "ABCD", strict=True))
    safe = []
    for name, (_, wires) in _WIRINGS.items():
        wired = rewired(circuit, wires)
        off = (solve(wired, {"S1": "off"}, reversed_plug=turned) for turned in (False, True))
        points = {"a", "b", "r"} & set(wired.nodes)
        if not any(now.node[each].condition == "live" for now in off for each in points):
            safe.append(name)
    (right,) = safe
    names: Names = {name: f"wiring {lettered[name]}" for name in _WIRINGS if name != right}
    told = sorted((lettered[name], words) for name, (words, _) in _WIRINGS.items())
    return names | {
        "safe": f"wiring {lettered[right]}",
        "told": ". ".join(f"{letter}: {words}" for letter, words in told),
    }
