"""`replacement`: whether a part one has is good enough in its place, and what would be."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

from lessonlib.appliance.parts import Appliance, Diode, Element, Supply, Switch, ThermalFuse
from lessonlib.errors import RatingError, shown
from lessonlib.limits.components import DIODE_V
from lessonlib.ratings.finding import Finding, FindingTable
from lessonlib.ratings.findings import findings
from lessonlib.ratings.of_parts import HALF_WAVES

CORD, PLUG_FUSE = "cord", "plug fuse"
E_AMPS = (1.0, 2.0, 3.0, 6.0, 10.0, 16.0, 25.0)
"""Currents that switches, thermal fuses and diodes are sold for, A: common practice, no source."""
_OF_SUPPLY = {
    CORD: ("cord_area_mm2", "cord_length_m", "cord_cores"),
    PLUG_FUSE: ("plug_fuse_A",),
}
_OF_PARTS: dict[type, tuple[str, ...]] = {
    Diode: ("rated_A", "rated_V", "rise_K_per_W", "most_C", "forward_drop_V"),
    ThermalFuse: ("opens_at_C", "holds_C", "rated_A"),
    Switch: ("rated_A",),
    Element: ("power_W", "voltage_V"),
}


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
        return None if "cannot tell" in verdicts else True

    @property
    def caption(self) -> str:
        said = str(self).splitlines()
        return " ".join(line for line in said if not line.startswith("- "))

    def __str__(self) -> str:
        word = {True: "yes", False: "no", None: "cannot tell"}[self.good]
        lines = [f"{self.part}: {word}.", *(f"- {row}" for row in self.rows)]
        if self.good is not True and self.least:
            lines.append(f"Good enough: {self.least}.")
        return "\n".join(lines)

    __repr__ = __str__


def replacement(appliance: Appliance, part: str, **values: Any) -> Replacement:
    """Whether a part with these ratings is good enough in the place of `part`.

    `part` is the name of a diode, thermal fuse, switch or element, or "cord" or "plug fuse". The
    values are keys of the appliance file, in its units, such as rated_A=3, rated_V=400; what is
    left out of a rating is not known, save for a thermal fuse's place and an element's wiring,
    which stay.

    Raises `RatingError` (a `ValueError`) for another part, an unknown key or an impossible value;
    `SettingError` for an unknown name.

    >>> from lessonlib import load_appliance
    >>> replacement(load_appliance("wax-melter"), "D1", rated_A=1, rated_V=200).good
    False
    """
    fitted, about = _fitted(appliance, part, values)
    rows = findings(fitted).rows
    if isinstance(_kind(appliance, part), Element):
        before = {_number(row) for row in findings(appliance).rows}
        rows = tuple(row for row in rows if _number(row) not in before)
    else:
        rows = tuple(row for row in rows if row.part in about)
    rows = tuple(row for row in rows if row.what != HALF_WAVES)
    return Replacement(part, rows, _least(part, rows))


def _kind(appliance: Appliance, part: str) -> object:
    return appliance.supply if part in _OF_SUPPLY else appliance.part(part)


def _fitted(
    appliance: Appliance, part: str, values: dict[str, Any]
) -> tuple[Appliance, tuple[str, ...]]:
    """The appliance with the new part, and the findings that are about it."""
    kind = _kind(appliance, part)
    keys = _OF_SUPPLY.get(part) or _OF_PARTS.get(type(kind), ())
    if not keys:
        raise RatingError(
            f"found {part}, which is no part to replace here; accepted: a diode, thermal fuse, "
            'switch or element, "cord" or "plug fuse". Name one of these.'
        )
    for key, value in values.items():
        number = isinstance(value, int | float) and not isinstance(value, bool) and value > 0
        if key not in keys or not (number or key == "cord_cores"):
            raise RatingError(
                f"found {key} = {shown(value)} for {part}; accepted: {', '.join(keys)}, each a "
                "number above 0 in the unit of its name. Read it off the part."
            )
    if isinstance(kind, Supply):
        kept = {key: None for key in keys if key != "cord_cores"}
        about = (part, PLUG_FUSE, "earth") if part == CORD else (part,)
        return replace(appliance, supply=replace(kind, **{**kept, **values})), about
    assert isinstance(kind, Diode | ThermalFuse | Switch | Element)
    optional = {field.name for field in fields(kind) if field.default is None}
    blank = {key: None for key in keys if key in optional}
    if isinstance(kind, Element):
        blank = _element(kind, values)
    new = replace(kind, **{**blank, **values})
    parts = tuple(new if each.name == part else each for each in appliance.parts)
    return replace(appliance, parts=parts), (part,)


def _element(kind: Element, values: dict[str, Any]) -> dict[str, Any]:
    """The resistance that follows from the new marking."""
    if set(values) != {"power_W", "voltage_V"}:
        raise RatingError(
            f"found {', '.join(values) or 'nothing'} for {kind.name}; accepted: power_W together "
            "with voltage_V. Read both off the element."
        )
    return {"resistance_ohm": kind.marked_ohm(values["power_W"], values["voltage_V"])}


def _number(row: Finding) -> tuple[str, ...]:
    """What a finding is about, with its number: a new element alters some of them."""
    return row.part, row.what, row.verdict, row.told


def _least(part: str, rows: tuple[Finding, ...]) -> str:
    """The least that would do, in the steps that parts are sold in."""
    steps = {"A": E_AMPS, "V": tuple(row.value for row in DIODE_V)}
    words = []
    for row in rows:
        if row.part != part or row.what not in ("current", "mean current", "reverse peak"):
            continue
        enough = [step for step in steps[row.unit] if row.found is not None and step >= row.found]
        if enough:
            words.append(f"at least {enough[0]:g} {row.unit}")
    return ", ".join(words)
