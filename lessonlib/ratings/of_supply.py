"""Findings about the whole appliance: power, cord, plug, coupler, earth."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.parts import Appliance, Supply
from lessonlib.limits import cords, earth, input_power, plugs
from lessonlib.limits.mains import mains_range
from lessonlib.quantities import format_quantity
from lessonlib.ratings.duty import Duty, Worst
from lessonlib.ratings.finding import Finding, judged, untold
from lessonlib.safety import REPAIR

EARTH = "metalwork and earth"
FIT_EARTH = "Do not use it. Fit a three-core cord with its earth joined to the metalwork."
MAINS = "230 V and 120 V"
BRITISH_V = (220.0, 250.0)
"""Supplies whose plug, where it goes in one way only, is taken for the British one with a fuse."""


def of_supply(appliance: Appliance, rated: Duty) -> Iterator[Finding]:
    """`rated` is what the appliance meets at its own voltage."""
    supply, most = appliance.supply, rated.drawn_A()
    if mains_range(supply.voltage_V) is None:
        do = "Judged at this voltage alone. Look up how far it may be off, and try that."
        source = f"limits kept here are for mains of {MAINS}"
        yield untold("supply", "tolerance", do, source, found=supply.voltage_V, unit="V")
    yield from _power(supply, rated)
    yield from _cord(supply, most)
    yield from of_plug(supply, most)
    yield from _plug_fuse(supply, most, rated.drawn_W())
    yield from _coupler(appliance, most)
    yield _earth(supply)


def _power(supply: Supply, rated: Duty) -> Iterator[Finding]:
    drawn = rated.drawn_W()
    if supply.power_W is None:
        yield untold("appliance", "marked power", "Read the power on the rating plate.",
                     input_power.SOURCE, write="power_W under [supply]", found=drawn.value,
                     unit="W", where=drawn.where)  # fmt: skip
        return
    limits = input_power.input_power_limits(supply.power_W)
    low = drawn.value < limits.low_W
    allowed = limits.below if low else limits.above
    yield judged("appliance", "marked power", drawn.value, limits.low_W if low else limits.high_W,
                 "W", f"{allowed} of the marked {supply.power_W:g} W: {input_power.SOURCE}",
                 where=drawn.where, at_most=not low,
                 do="Elements and plate do not agree: check both.")  # fmt: skip


def _cord(supply: Supply, most: Worst) -> Iterator[Finding]:
    area, length = supply.cord_area_mm2, supply.cord_length_m
    if area is None or length is None:
        missing = "cord_area_mm2" if area is None else "cord_length_m"
        yield untold("cord", "cross-section, voltage lost and heat", "Read it off the cord.",
                     cords.LEAST_AREA[0][1].cited, write=f"{missing} under [supply]",
                     found=most.value, unit="A", where=most.where)  # fmt: skip
        return
    yield from cord_findings("cord", supply.voltage_V, area, length, 2, most)


def cord_findings(
    part: str, supply_V: float, area_mm2: float, length_m: float, cores: int, most: Worst
) -> Iterator[Finding]:
    """Cross-section, voltage lost and heat of a cord of one or two current-carrying cores."""
    where, over = most.where, "more than the tables have: ask the maker."
    least = cords.least_area(supply_V, most.value, length_m)
    eased = cords.eased_area(supply_V, most.value, length_m)
    if least is not None and eased is not None and area_mm2 < least.value:
        least = eased
    what, amps = "cross-section", format_quantity(most.value, "A")
    if least is None:
        yield Finding(part, what, "fail", area_mm2, None, "mm²", where,
                      cords.LEAST_AREA[0][1].cited, f"{amps} is {over}")  # fmt: skip
    else:
        do = f"Fit a cord of at least {least.value:g} mm²: this one is too thin for {amps}."
        yield judged(part, what, area_mm2, least.value, "mm²", least.cited, do=do,
                     where=f"{amps}, {where}", at_most=False)  # fmt: skip
    warm = cords.core_ohm_per_m(area_mm2) * cords.WARM_FACTOR.value
    lost = 100 * most.value * warm * cores * length_m / supply_V
    yield judged(part, "voltage lost", lost, cords.MOST_DROP.value * cores / 2, "%",
                 f"{cords.MOST_DROP.cited}; {cords.CLASS_5[0][1].cited}, at 70 °C",
                 where=f"{length_m:g} m, {where}",
                 do="Fit a shorter cord, or a thicker one.")  # fmt: skip
    allowed_A = max(cords.carries_A(supply_V, area_mm2), most.value if least is eased else 0.0)
    per_m = cores * warm
    table = (least or cords.LEAST_AREA[0][1]).cited
    yield judged(part, "heat of each metre", most.value**2 * per_m, allowed_A**2 * per_m, "W/m",
                 f"its heat at {allowed_A:.3g} A, which it may carry: worked out from {table}",
                 where=where, do="Do not use it: it cooks its own insulation, most of all when "
                 "coiled up or under a carpet.")  # fmt: skip


def has_plug_fuse(supply: Supply) -> bool:
    """Whether its plug is taken to have a fuse."""
    return not supply.reversible_plug and BRITISH_V[0] <= supply.voltage_V <= BRITISH_V[1]


def cord_fuse(area_mm2: float | None, length_m: float | None) -> tuple[float, str] | None:
    """The most plug fuse that a cord may have, A, and the source; None where it is not known."""
    if area_mm2 is None:
        return None
    if area_mm2 >= 0.75 and area_mm2 < 1 and (length_m or 99) <= plugs.SHORT_CORD_M:
        return plugs.SHORT_CORD_FUSE.value, plugs.SHORT_CORD_FUSE.cited
    rows = [row for listed, row in plugs.CORD_FUSE if listed <= area_mm2]
    return (rows[-1].value, rows[-1].cited) if rows else (0.0, plugs.CORD_FUSE[0][1].cited)


def of_plug(supply: Supply, most: Worst) -> Iterator[Finding]:
    """What the plug itself carries; of a plug with a fuse only that no fuse is enough."""
    limit = next(
        (
            row
            for low_V, high_V, reversible, row in plugs.MOST_A
            if low_V <= supply.voltage_V <= high_V
            if reversible in (supply.reversible_plug, None)
        ),
        None,
    )
    fused = has_plug_fuse(supply)
    if limit is not None and not (fused and (supply.plug_fuse_A or most.value <= limit.value)):
        yield judged("plug", "current", most.value, limit.value, "A", limit.cited,
                     where=most.where, do="More than an ordinary plug carries: it needs another "
                     "one, on a circuit of its own.")  # fmt: skip


def _plug_fuse(supply: Supply, most: Worst, drawn: Worst) -> Iterator[Finding]:
    fuse_A, source = supply.plug_fuse_A, plugs.FUSES[1].cited
    if fuse_A is None and not has_plug_fuse(supply):
        return
    if fuse_A is None:
        yield untold("plug fuse", "rating", "Open the plug, read the fuse.", source,
                     write="plug_fuse_A under [supply]", found=most.value, unit="A",
                     where=most.where)  # fmt: skip
        return
    if fuse_A > plugs.FUSES[1].value:
        yield judged("plug fuse", "largest there is", fuse_A, plugs.FUSES[1].value, "A", source,
                     do="No such fuse is made for this plug: take out what is in it.")  # fmt: skip
    yield judged("plug fuse", "carries the load", fuse_A, most.value / plugs.FUSE_LOAD.value, "A",
                 f"{source}; {plugs.FUSE_LOAD.cited}", at_most=False,
                 where=f"load: {format_quantity(most.value, 'A')}, {most.where}",
                 do="Fit one of a higher rating, if the cord allows it.")  # fmt: skip
    allowed = cord_fuse(supply.cord_area_mm2, supply.cord_length_m)
    if allowed is None:
        yield untold("plug fuse", "protects the cord", "Write cord_area_mm2 under [supply].",
                     plugs.CORD_FUSE[0][1].cited, found=fuse_A, unit="A")  # fmt: skip
        return
    small = drawn.value <= plugs.SMALL_LOAD_W.value and fuse_A > 3
    rule = f"A 3 A fuse would do (rule of thumb: up to {plugs.SMALL_LOAD_W.value:g} W)."
    yield judged("plug fuse", "protects the cord", fuse_A, allowed[0], "A", allowed[1],
                 do=f"Fit a fuse of at most {allowed[0]:g} A, or a thicker cord.",
                 passing=rule if small else "")  # fmt: skip


def _coupler(appliance: Appliance, most: Worst) -> Iterator[Finding]:
    supply = appliance.supply
    if supply.coupler is None:
        return  # the cord is fixed
    coupler = plugs.COUPLERS[supply.coupler]
    rated_A, source = coupler.rated.value, coupler.rated.cited
    if supply.voltage_V <= 150:
        rated_A = plugs.NORTH_AMERICAN_A.get(rated_A, rated_A)
    yield judged("coupler", f"{coupler.name} current", most.value, rated_A, "A", source,
                 where=most.where, do="Fit a coupler and inlet for this current.")  # fmt: skip
    if (supply.protection_class == "I" or supply.cord_cores == "three") and not coupler.class_1:
        do = f"{coupler.name} has no earth contact: an appliance of class I needs one that has."
        yield Finding("coupler", "earth contact", "fail", None, None, "", "", source, do)
    if coupler.pins_C <= 70:
        do = (
            f"Measure the inlet's pins after an hour at full heat: above {coupler.pins_C:g} °C it "
            "needs a hot-condition coupler, such as C15."
        )
        yield untold("coupler", "heat of its pins", do, source)


def _earth(supply: Supply) -> Finding:
    leak = earth.LEAKAGE_A["II" if supply.protection_class == "II" else "I"]
    limit = format_quantity(leak.value, "A")
    source = f"protection classes: IEC 61140, from memory; leakage: {leak.cited}"
    what = EARTH
    match supply.protection_class, supply.cord_cores:
        case "I", "two":
            where = "class I, two cores"
            return Finding("earth", what, "fail", None, None, "", where, source, FIT_EARTH)
        case "I", "three":
            per_kW = format_quantity(earth.STATIONARY_A_PER_KW.value, "A")
            do = (
                f"{REPAIR} The leakage when it is warm: at most {limit}, or {per_kW} for each kW "
                f"if it is stationary, up to {format_quantity(earth.STATIONARY_A.value, 'A')}."
            )
        case "II", _:
            do = f"Class II needs no earth. {REPAIR} The leakage when it is warm: at most {limit}."
        case _:
            missing = "protection_class" if supply.protection_class is None else "cord_cores"
            do = (
                f"Look for the double square of class II, and count the cores; write {missing} "
                "under [supply]. Until you know, treat the metalwork as live."
            )
            return untold("earth", what, do, source)
    return Finding("earth", what, "pass", None, None, "", "", source, do)
