"""Which tables and keys an appliance file may have; `parts` has the keys beside its fields."""

from __future__ import annotations

from lessonlib.appliance.keys import Key as Key
from lessonlib.appliance.keys import keys_of
from lessonlib.appliance.parts import PART_TYPES, Appliance, Contact, Supply, Switch, Vessel

PART_KEYS = {
    kind: {"name": Key("name", f'"{part.letter}1"', required=True), **keys_of(part)}
    for kind, part in PART_TYPES.items()
}
_SWITCH = PART_KEYS[Switch.kind]
_SWITCH["contacts"] = _SWITCH.pop("contacts")  # last in a file, as there may be many lines of them
SUPPLY_KEYS = keys_of(Supply)
VESSEL_KEYS = keys_of(Vessel)
TEXT_KEYS = keys_of(Appliance)
CONTACT_KEYS = keys_of(Contact)
