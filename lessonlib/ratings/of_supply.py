"""Findings about the whole appliance: power, cord, plug, coupler, earth."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.parts import Supply
from lessonlib.limits import cords, earth, input_power, plugs
from lessonlib.limits.mains import mains_range
from lessonlib.quantities import format_quantity
from lessonlib.ratings.duty import Duty
from lessonlib.ratings.finding import Finding, Worst, judged, judged_power
from lessonlib.safety import REPAIR

EARTH = "metalwork and earth"
FIT_EARTH = "Do not use it. Fit a three-core cord with its earth joined to the metalwork."
MAINS = "230 V and 120 V"
BRITISH_V = (220.0, 250.0)
"""Supplies whose plug, where it goes in one way only, is taken for the British one with a fuse."""


def of_supply(supply: Supply, rated: Duty) -> Iterator[Finding]:
    """`rated` is what the appliance meets at its own voltage."""
    most, drawn = rated.drawn_A(), rated.drawn_W()
    if mains_range(supply.voltage_V) is None:
        do = "Judged at this voltage alone. Look up how far it may be off, and try that."
        source = f"limits kept here are for mains of {MAINS}"
        yield Finding("supply", "tolerance", "cannot tell", do, source, supply.voltage_V, unit="V")
    yield _power(supply.power_W, drawn)
    yield from _cord(supply, most)
    yield from of_plug(supply, most)
    yield from _plug_fuse(supply, most, drawn)
    yield from _coupler(supply, most)
    yield _earth(supply)


def _power(marked_W: float | None, drawn: Worst) -> Finding:
    part, what = "appliance", "marked power"
    if marked_W is None:
        read = "Read the power on the rating plate."
        return judged(part, what, drawn, None, "W", input_power.SOURCE, do="", unknown=read,
                      write="power_W under [supply]")  # fmt: skip
    do = "Elements and plate do not agree: check both."
    return judged_power(part, what, drawn, marked_W, f"the marked {marked_W:g} W", do)


def _cord(supply: Supply, most: Worst) -> Iterator[Finding]:
    area, length = supply.cord_area_mm2, supply.cord_length_m
    if area is not None and length is not None:
        yield from cord_findings("cord", supply.voltage_V, area, length, 2, most)
        return
    missing = "cord_area_mm2" if area is None else "cord_length_m"
    yield judged("cord", "cross-section, voltage lost and heat", most, None, "A",
                 cords.LEAST_AREA[0][1].cited, do="", unknown="Read it off the cord.",
                 write=f"{missing} under [supply]")  # fmt: skip


def cord_findings(
    part: str, supply_V: float, area_mm2: float, length_m: float, cores: int, most: Worst
) -> Iterator[Finding]:
    """Cross-section, voltage lost and heat of a cord of one or two current-carrying cores."""
    what, amps = "cross-section", format_quantity(most.value, "A")
    table = cords.LEAST_AREA[0][1].cited
    least = cords.least_area(supply_V, most.value, length_m)
    eased = cords.eased_area(supply_V, most.value, length_m)
    if least is not None and eased is not None and area_mm2 < least.value:
        least = eased
    if least is None:
        do = f"{amps} is more than the tables have: ask the maker."
        yield Finding(part, what, "fail", do, table, area_mm2, unit="mm²", where=most.where)
    else:
        table = least.cited
        do = f"Fit a cord of at least {least.value:g} mm²: this one is too thin for {amps}."
        has = Worst(area_mm2, f"{amps}, {most.where}")
        yield judged(part, what, has, least.value, "mm²", table, do=do, at_most=False)
    warm = cords.core_ohm_per_m(area_mm2) * cords.WARM_FACTOR.value
    percent = 100 * most.value * warm * cores * length_m / supply_V
    lost = Worst(percent, f"{length_m:g} m, {most.where}")
    yield judged(part, "voltage lost", lost, cords.MOST_DROP.value * cores / 2, "%",
                 f"{cords.MOST_DROP.cited}; {cords.CLASS_5[0][1].cited}, at 70 °C",
                 do="Fit a shorter cord, or a thicker one.")  # fmt: skip
    allowed_A = max(cords.carries_A(supply_V, area_mm2), most.value if least is eased else 0.0)
    ohm_per_m = cores * warm
    heat = Worst(most.value**2 * ohm_per_m, most.where)
    yield judged(part, "heat of each metre", heat, allowed_A**2 * ohm_per_m, "W/m",
                 f"its heat at {allowed_A:.3g} A, which it may carry: worked out from {table}",
                 do="Do not use it: it cooks its own insulation, most of all when coiled up or "
                 "under a carpet.")  # fmt: skip


def has_plug_fuse(supply: Supply) -> bool:
    """Whether its plug is taken to have a fuse."""
    return not supply.reversible_plug and BRITISH_V[0] <= supply.voltage_V <= BRITISH_V[1]


def cord_fuse(area_mm2: float | None, length_m: float | None) -> tuple[float, str] | None:
    """The most plug fuse that a cord may have, A, and the source; None where it is not known."""
    if area_mm2 is None:
        return None
    if 0.75 <= area_mm2 < 1 and (length_m or 99) <= plugs.SHORT_CORD_M:
        return plugs.SHORT_CORD_FUSE.value, plugs.SHORT_CORD_FUSE.cited
    rows = [row for listed, row in plugs.CORD_FUSE if listed <= area_mm2]
    return (rows[-1].value, rows[-1].cited) if rows else (0.0, plugs.CORD_FUSE[0][1].cited)


def of_plug(supply: Supply, most: Worst) -> Iterator[Finding]:
    """What the plug itself carries; of a plug with a fuse only that no fuse is enough."""
    fused = has_plug_fuse(supply)
    for low_V, high_V, reversible, limit in plugs.MOST_A:
        if not low_V <= supply.voltage_V <= high_V or reversible is (not supply.reversible_plug):
            continue
        if fused and (supply.plug_fuse_A or most.value <= limit.value):
            continue
        yield judged("plug", "current", most, limit.value, "A", limit.cited,
                     do="More than an ordinary plug carries: it needs another one, on a circuit "
                     "of its own.")  # fmt: skip


def _plug_fuse(supply: Supply, most: Worst, drawn: Worst) -> Iterator[Finding]:
    part, largest = "plug fuse", plugs.FUSES[1]
    if supply.plug_fuse_A is None:
        if has_plug_fuse(supply):
            yield judged(part, "rating", most, None, "A", largest.cited, do="",
                         unknown="Open the plug, read the fuse.",
                         write="plug_fuse_A under [supply]")  # fmt: skip
        return
    fitted = Worst(supply.plug_fuse_A)
    if fitted.value > largest.value:
        yield judged(part, "largest there is", fitted, largest.value, "A", largest.cited,
                     do="No such fuse is made for this plug: take out what is in it.")  # fmt: skip
    load = f"load: {format_quantity(most.value, 'A')}, {most.where}"
    yield judged(part, "carries the load", Worst(fitted.value, load),
                 most.value / plugs.FUSE_LOAD.value, "A",
                 f"{largest.cited}; {plugs.FUSE_LOAD.cited}", at_most=False,
                 do="Fit one of a higher rating, if the cord allows it.")  # fmt: skip
    what = "protects the cord"
    allowed = cord_fuse(supply.cord_area_mm2, supply.cord_length_m)
    if allowed is None:
        yield judged(part, what, fitted, None, "A", plugs.CORD_FUSE[0][1].cited, do="",
                     unknown="Write cord_area_mm2 under [supply].")  # fmt: skip
        return
    small = drawn.value <= plugs.SMALL_LOAD_W.value and fitted.value > 3
    rule = f"A 3 A fuse would do (rule of thumb: up to {plugs.SMALL_LOAD_W.value:g} W)."
    yield judged(part, what, fitted, allowed[0], "A", allowed[1], passing=rule if small else "",
                 do=f"Fit a fuse of at most {allowed[0]:g} A, or a thicker cord.")  # fmt: skip


def _coupler(supply: Supply, most: Worst) -> Iterator[Finding]:
    if supply.coupler is None:
        return  # the cord is fixed
    coupler = plugs.COUPLERS[supply.coupler]
    rated_A, source = coupler.rated.value, coupler.rated.cited
    if supply.voltage_V <= cords.AMERICAN_V:
        rated_A = plugs.NORTH_AMERICAN_A.get(rated_A, rated_A)
    yield judged("coupler", f"{coupler.name} current", most, rated_A, "A", source,
                 do="Fit a coupler and inlet for this current.")  # fmt: skip
    if (supply.protection_class == "I" or supply.cord_cores == "three") and not coupler.class_1:
        do = f"{coupler.name} has no earth contact: an appliance of class I needs one that has."
        yield Finding("coupler", "earth contact", "fail", do, source)
    if coupler.pins_C <= 70:
        do = (
            f"Measure the inlet's pins after an hour at full heat: above {coupler.pins_C:g} °C it "
            "needs a hot-condition coupler, such as C15."
        )
        yield Finding("coupler", "heat of its pins", "cannot tell", do, source)


def _earth(supply: Supply) -> Finding:
    leak = earth.LEAKAGE_A["II" if supply.protection_class == "II" else "I"]
    source = f"protection classes: IEC 61140, from memory; leakage: {leak.cited}"
    test = f"{REPAIR} The leakage when it is warm: at most {format_quantity(leak.value, 'A')}"
    match supply.protection_class, supply.cord_cores:
        case "I", "two":
            where = "class I, two cores"
            return Finding("earth", EARTH, "fail", FIT_EARTH, source, where=where)
        case "I", "three":
            per_kW, most = (
                format_quantity(limit.value, "A")
                for limit in (earth.STATIONARY_A_PER_KW, earth.STATIONARY_A)
            )
            do = f"{test}, or {per_kW} for each kW if it is stationary, up to {most}."
        case "II", _:
            do = f"Class II needs no earth. {test}."
        case cls, _:
            missing = "protection_class" if cls is None else "cord_cores"
            do = (
                f"Look for the double square of class II, and count the cores; write {missing} "
                "under [supply]. Until you know, treat the metalwork as live."
            )
            return Finding("earth", EARTH, "cannot tell", do, source)
    return Finding("earth", EARTH, "pass", do, source)
