"""`replacement`: whether a part one has is good enough in its place, and what would be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from lessonlib.appliance.parts import Appliance, Diode, Element, Part, Supply, Switch, ThermalFuse
from lessonlib.errors import RatingError, shown
from lessonlib.limits import components, cords, plugs
from lessonlib.limits.components import DIODE_V, SURGES, TOLERANCE
from lessonlib.limits.input_power import input_power_limits
from lessonlib.limits.limit import Limit
from lessonlib.quantities import format_quantity
from lessonlib.ratings.duty import Worst, duty_at
from lessonlib.ratings.finding import Finding, FindingTable, judged, sized
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
    (Diode, PEAK): DIODE_V,
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
    before = {_number(row) for row in findings(appliance).rows}
    about = {CORD: (CORD, PLUG_FUSE, "earth")}.get(part, (part,))
    rows = [
        replace(row, write="")  # the file is no matter for somebody with a spare in the hand
        for row in findings(fitted).rows
        if row.part in about or (row.verdict != "pass" and _number(row) not in before)
        if row.what != HALF_WAVES
    ]
    new = None if part in _OF_SUPPLY else fitted.part(part)
    if isinstance(new, ThermalFuse):
        old = appliance.part(part)
        assert isinstance(old, ThermalFuse)
        if place_C is not None:
            rows = [row for row in rows if row.what not in (OPENS, HOLDS)]
            rows += fuse_place(new, Worst(place_C, "as measured"))
        rows.append(judged(part, NO_HOTTER, new.opens_at_C, old.opens_at_C, "°C",
                           "common practice: the maker's mark, or a cooler one",
                           do="A hotter one may open too late."))  # fmt: skip
    if isinstance(new, Element):
        rows = [*_power(appliance, fitted, new), *rows] if values else []
    least = _least_element(appliance, part, volts) if isinstance(new, Element) else (
        "; ".join(_least(fitted, part, new, rows)))  # fmt: skip
    return Replacement(part, tuple(rows), least)


def _check(appliance: Appliance, part: str, values: dict[str, Any]) -> None:
    keys = keys_for(appliance, part)
    if not keys:
        raise RatingError(
            f"found {part}, which is no part to replace here; accepted: a diode, thermal fuse, "
            'switch or element, "cord" or "plug fuse". Name one of these.'
        )
    for key, value in values.items():
        number = isinstance(value, int | float) and not isinstance(value, bool) and value > 0
        if key not in keys or not (number or (key == "cord_cores" and value in ("two", "three"))):
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
    blank: dict[str, Any] = {
        field.name: None
        for field in fields(old)
        if field.name in _OF_PARTS[type(old)] and field.default is None
    }
    if isinstance(old, Element):
        blank = {"resistance_ohm": old.marked_ohm(*values.values())} if values else {}
        if list(values) == ["voltage_V", "power_W"]:
            blank = {"resistance_ohm": old.marked_ohm(values["power_W"], values["voltage_V"])}
    new = replace(old, **{**blank, **values})
    parts = tuple(new if each.name == part else each for each in appliance.parts)
    return replace(appliance, parts=parts)


def _number(row: Finding) -> tuple[str, ...]:
    """What a finding is about, with its number: a new part alters some of them."""
    return row.part, row.what, row.verdict, row.told


def _full_W(appliance: Appliance, name: str) -> float:
    """The power of an element on the whole mains."""
    element = appliance.part(name)
    assert isinstance(element, Element)
    return appliance.supply.voltage_V**2 / element.resistance_ohm


def _power(appliance: Appliance, fitted: Appliance, new: Element) -> Iterator[Finding]:
    """The new element's power on its mains, against the old one's on its own."""
    found = _full_W(fitted, new.name)
    limits = input_power_limits(_full_W(appliance, new.name))
    low = found < limits.low_W
    yield judged(new.name, "power, against the one fitted", found,
                 limits.low_W if low else limits.high_W, "W", limits.source, at_most=not low,
                 where=f"on the whole {fitted.supply.voltage_V:g} V",
                 do="Fit one of the same power on this mains.")  # fmt: skip


def _least_element(appliance: Appliance, name: str, volts: float) -> str:
    watts = _full_W(appliance, name)
    limits = input_power_limits(watts)
    low, high = (format_quantity(each, "W") for each in (limits.low_W, limits.high_W))
    ohm = format_quantity(volts**2 / watts, "Ω")
    same = f"one marked {format_quantity(watts, 'W')} at {volts:g} V ({ohm})"
    return f"{same}, or from {low} to {high} there"


def _least(
    appliance: Appliance, part: str, kind: Part | None, rows: list[Finding]
) -> Iterator[str]:
    """The least that would do, in the steps that parts are sold in."""
    if kind is None:
        yield from _least_of_supply(appliance.supply, part, duty_at(
            appliance, appliance.supply.voltage_V).drawn_A())  # fmt: skip
    for row in rows:
        if row.part != part or row.found is None:
            continue
        if row.what == HOLDS:
            yield f"holds at least {sized(row.found, '°C')}"
        colder = TOLERANCE.value if row.what == OPENS else 0.0
        steps = _STEPS.get((type(kind), row.what), ())
        step = next((one for one in steps if one.value >= row.found + colder), None)
        if step is not None:
            what = "mark of" if row.what == OPENS else row.what
            yield f"{what} at least {sized(step.value, step.unit)} [{step.cited}]"
        surges = SURGES.value * row.found if row.what == PEAK else 0.0
        better = next((one for one in steps if one.value >= surges > 0), None)
        if better is not None:
            yield f"better {sized(better.value, better.unit)}, for surges [{SURGES.cited}]"


def _least_of_supply(supply: Supply, part: str, most: Worst) -> Iterator[str]:
    """The thinnest cord of its length that passes, or the smallest fuse that the cord allows."""
    area, length = supply.cord_area_mm2, supply.cord_length_m or cords.SHORT_M
    if part == CORD:
        for mm2, row in cords.cords_sold(supply.voltage_V):
            tried = cord_findings(CORD, supply.voltage_V, mm2, length, 2, most)
            if all(each.verdict == "pass" for each in tried):
                yield f"at least {mm2:g} mm² for {length:g} m [{row.cited}]"
                return
    allowed = cord_fuse(area, length)
    for row in plugs.FUSES_A if part == PLUG_FUSE else ():
        carries = row.value >= most.value / plugs.FUSE_LOAD.value
        if carries and (allowed is None or row.value <= allowed[0]):
            yield f"at least {row.value:g} A [{row.cited}]"
            return
