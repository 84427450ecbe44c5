"""`replacement`: whether a part one has is good enough in its place, and what would be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from lessonlib.appliance.parts import Appliance, Diode, Element, Part, Switch, ThermalFuse
from lessonlib.errors import RatingError, shown
from lessonlib.limits import components, cords, plugs
from lessonlib.limits.input_power import input_power_limits
from lessonlib.limits.limit import Limit
from lessonlib.quantities import format_quantity, number
from lessonlib.ratings.duty import duty_at
from lessonlib.ratings.finding import (
    Finding,
    FindingTable,
    Worst,
    judged,
    judged_power,
    sized,
)
from lessonlib.ratings.findings import findings
from lessonlib.ratings.of_heat import HOLDS, OPENS, fuse_place
from lessonlib.ratings.of_parts import HALF_WAVES, PEAK
from lessonlib.ratings.of_supply import cord_findings, cord_fuse, has_plug_fuse

CORD, PLUG_FUSE, PLACE = "cord", "plug fuse", "place_C"
_OF_SUPPLY = {
    CORD: ("cord_area_mm2", "cord_length_m", "cord_cores"),
    PLUG_FUSE: ("plug_fuse_A",),
}
_OF_PARTS: dict[type, tuple[str, ...]] = {
    Diode: ("rated_A", "rated_V", "rise_K_per_W", "most_C", "forward_drop_V"),
    ThermalFuse: ("opens_at_C", "holds_C", "rated_A", PLACE),
    Switch: ("rated_A",),
    Element: ("power_W", "voltage_V"),
}
_STEPS: dict[tuple[type, str], tuple[Limit, ...]] = {
    (Diode, "mean current"): components.DIODES_A,
    (Diode, PEAK): components.DIODE_V,
    (Switch, "current"): components.SWITCHES_A,
    (ThermalFuse, "current"): components.FUSES_A,
    (ThermalFuse, OPENS): components.FUSES_C,
}
"""By kind of part and what is judged, the steps in which a rating is sold."""
NO_HOTTER = "mark, against the one fitted"


@dataclass(frozen=True, repr=False, eq=False)
class Replacement(FindingTable):
    """`good` is True, False, or None where a rating is missing. `rows` are the findings about the
    part with the new one in place; `least` says what would be enough, or is empty."""

    part: str
    rows: tuple[Finding, ...]
    least: str

    @property
    def good(self) -> bool | None:
        verdicts = {row.verdict for row in self.rows}
        if "fail" in verdicts:
            return False
        return None if not verdicts or "cannot tell" in verdicts else True

    @property
    def caption(self) -> str:
        said = str(self).splitlines()
        return " ".join(line for line in said if not line.startswith("- "))

    def __str__(self) -> str:
        word = {True: "yes, good enough", False: "no", None: "cannot tell"}[self.good]
        lines = [f"{self.part}: {word}.", *(f"- {row}" for row in self.rows)]
        return "\n".join([*lines, f"Good enough: {self.least}."] if self.least else lines)

    __repr__ = __str__


def replaceable(appliance: Appliance) -> tuple[str, ...]:
    """The names that `replacement` takes."""
    names = [part.name for part in appliance.parts if type(part) in _OF_PARTS]
    return (*names, CORD, *([PLUG_FUSE] if has_plug_fuse(appliance.supply) else []))


def keys_for(appliance: Appliance, part: str) -> tuple[str, ...]:
    """The keys that a replacement of that part has."""
    return _OF_SUPPLY.get(part) or _OF_PARTS.get(type(appliance.part(part)), ())


def replacement(
    appliance: Appliance, part: str, *, supply_voltage_V: float | None = None, **values: Any
) -> Replacement:
    """Whether a part with these ratings is good enough in the place of `part`.

    `part` is the name of a diode, thermal fuse, switch or element, or "cord" or "plug fuse". The
    values are keys of the appliance file, in its units, such as rated_A=3, rated_V=400; what is
    left out of a rating is not known, save for a thermal fuse's mark and place and an element's
    wiring, which stay. `place_C` is how hot a thermal fuse's place was measured at most.
    `supply_voltage_V` is another mains that the appliance is to be used on.

    Raises `RatingError` (a `ValueError`) for another part, an unknown key or an impossible value;
    `SettingError` for an unknown name.

    >>> from lessonlib import load_appliance
    >>> replacement(load_appliance("wax-melter"), "D1", rated_A=1, rated_V=200).good
    False
    """
    _check(appliance, part, values)
    place_C = values.pop(PLACE, None)
    volts = supply_voltage_V or appliance.supply.voltage_V
    moved = replace(appliance, supply=replace(appliance.supply, voltage_V=volts))
    fitted = _fitted(moved, part, values)
    before = {str(row) for row in findings(appliance).rows}
    about = {CORD: (CORD, PLUG_FUSE, "earth")}.get(part, (part,))
    rows = [
        replace(row, write="")  # the file is no matter for somebody with a spare in the hand
        for row in findings(fitted).rows
        if row.part in about or (row.verdict != "pass" and str(row) not in before)
        if row.what != HALF_WAVES
    ]
    old, new = (None if part in _OF_SUPPLY else each.part(part) for each in (appliance, fitted))
    if isinstance(new, ThermalFuse) and isinstance(old, ThermalFuse):
        if place_C is not None:
            rows = [row for row in rows if row.what not in (OPENS, HOLDS)]
            rows += fuse_place(new, Worst(place_C, "as measured"))
        rows.append(judged(part, NO_HOTTER, Worst(new.opens_at_C), old.opens_at_C, "°C",
                           "common practice: the maker's mark, or a cooler one",
                           do="A hotter one may open too late."))  # fmt: skip
    if isinstance(new, Element) and isinstance(old, Element):
        fitted_W = appliance.supply.voltage_V**2 / old.resistance_ohm
        power = Worst(volts**2 / new.resistance_ohm, f"on the whole {volts:g} V")
        do = "Fit one of the same power on this mains."
        what = "power, against the one fitted"
        rows = [judged_power(part, what, power, fitted_W, "", do), *rows] if values else []
        least = _least_element(fitted_W, volts)
    else:
        least = "; ".join(_least(fitted, part, new, rows))
    return Replacement(part, tuple(rows), least)


def _check(appliance: Appliance, part: str, values: dict[str, Any]) -> None:
    keys = keys_for(appliance, part)
    if not keys:
        raise RatingError(
            f"found {part}, which is no part to replace here; accepted: a diode, thermal fuse, "
            'switch or element, "cord" or "plug fuse". Name one of these.'
        )
    for key, value in values.items():
        cores = key == "cord_cores" and value in ("two", "three")
        if key not in keys or not (number(value) > 0 or cores):
            raise RatingError(
                f"found {key} = {shown(value)} for {part}; accepted: {', '.join(keys)}, each a "
                "number above 0 in the unit of its name. Read it off the part."
            )
    if keys == _OF_PARTS[Element] and len(values) == 1:
        raise RatingError(
            f"found {next(iter(values))} alone for {part}; accepted: power_W together with "
            "voltage_V. Read both off the element."
        )


def _fitted(appliance: Appliance, part: str, values: dict[str, Any]) -> Appliance:
    """The appliance with the new part; what is not known of it is blank."""
    if part in _OF_SUPPLY:
        kept = {key: None for key in _OF_SUPPLY[part] if key != "cord_cores"}
        return replace(appliance, supply=replace(appliance.supply, **{**kept, **values}))
    old = appliance.part(part)
    if isinstance(old, Element):
        ohm = old.marked_ohm(values["power_W"], values["voltage_V"]) if values else None
        new: Part = replace(old, **values, resistance_ohm=ohm or old.resistance_ohm)
    else:
        keys = _OF_PARTS[type(old)]
        rated = [key.name for key in fields(old) if key.name in keys and key.default is None]
        new = replace(old, **{**dict.fromkeys(rated), **values})
    parts = tuple(new if each.name == part else each for each in appliance.parts)
    return replace(appliance, parts=parts)


def _least_element(watts: float, volts: float) -> str:
    limits = input_power_limits(watts)
    low, high = (format_quantity(each, "W") for each in (limits.low_W, limits.high_W))
    ohm = format_quantity(volts**2 / watts, "Ω")
    same = f"one marked {format_quantity(watts, 'W')} at {volts:g} V ({ohm})"
    return f"{same}, or from {low} to {high} there"


def _least(fitted: Appliance, part: str, new: Part | None, rows: list[Finding]) -> Iterator[str]:
    """The least that would do, in the steps that parts are sold in."""
    if new is None:
        yield from _least_of_supply(fitted, part)
    for row in rows:
        if row.part != part or row.found is None:
            continue
        if row.what == HOLDS:
            yield f"holds at least {sized(row.found, '°C')}"
        colder = components.TOLERANCE.value if row.what == OPENS else 0.0
        steps = _STEPS.get((type(new), row.what), ())
        step = next((one for one in steps if one.value >= row.found + colder), None)
        if step is not None:
            what = "mark of" if row.what == OPENS else row.what
            yield f"{what} at least {sized(step.value, step.unit)} [{step.cited}]"
        surges = components.SURGES.value * row.found if row.what == PEAK else 0.0
        better = next((one for one in steps if one.value >= surges > 0), None)
        if better is not None:
            size = sized(better.value, better.unit)
            yield f"better {size}, for surges [{components.SURGES.cited}]"


def _least_of_supply(fitted: Appliance, part: str) -> Iterator[str]:
    """The thinnest cord of its length that passes, or the smallest fuse that the cord allows."""
    supply = fitted.supply
    most = duty_at(fitted, supply.voltage_V).drawn_A()
    if part == CORD:
        length_m = supply.cord_length_m or cords.SHORT_M
        for mm2, row in cords.cords_sold(supply.voltage_V):
            tried = cord_findings(CORD, supply.voltage_V, mm2, length_m, 2, most)
            if all(each.verdict == "pass" for each in tried):
                yield f"at least {mm2:g} mm² for {length_m:g} m [{row.cited}]"
                return
        return
    allowed = cord_fuse(supply.cord_area_mm2, supply.cord_length_m)
    for row in plugs.FUSES_A:
        carries = row.value >= most.value / plugs.FUSE_LOAD.value
        if carries and (allowed is None or row.value <= allowed[0]):
            yield f"at least {row.value:g} A [{row.cited}]"
            return
