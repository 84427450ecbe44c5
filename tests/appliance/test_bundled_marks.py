"""The marks of the bundled appliances, written down a second time: texts, exercises and lessons
take them from the files, so a mark changed there by accident would be taught everywhere."""

from __future__ import annotations

from lessonlib.appliance.bundled import appliance_files
from lessonlib.appliance.parts import PressureSwitch, SelfActing, Thermostat
from lessonlib.appliance.reader import read_appliance_file

MARKS = {
    "curtain-steamer": {"F1": "192 °C, 10 A", "P1": "0.6 to 0.45 bar, 10 A"},
    "food-warmer": {"T1": "85 to 78 °C, 15 A"},
    "garment-steamer": {"F1": "192 °C, 10 A", "P1": "0.6 to 0.45 bar, 10 A"},
    "hot-trolley": {"F1": "128 °C, 16 A", "T1": "90 to 82 °C, 16 A", "T2": "75 to 68 °C, 16 A"},
    "pie-cabinet": {"F1": "152 °C, 10 A"},
    "punch-warmer": {"F1": "172 °C, 10 A"},
    "wallpaper-steamer": {"F1": "184 °C, 16 A", "P1": "0.9 to 0.7 bar, 16 A"},
    "wax-melter": {"F1": "128 °C, 10 A"},
}
"""Where each contact opens, where it closes again, and what it may carry. The ratings are those of
our own scenario; fuses have marks with which they are made (common practice, no source)."""


def test_every_self_acting_contact_has_the_marks_written_down_here() -> None:
    found: dict[str, dict[str, str]] = {}
    for name, path in appliance_files().items():
        for part in read_appliance_file(path).parts:
            if isinstance(part, SelfActing):
                found.setdefault(name, {})[part.name] = f"{_marks(part)}, {part.rated_A:g} A"
    assert found == MARKS


def _marks(part: SelfActing) -> str:
    match part:
        case PressureSwitch():
            return f"{part.opens_at_bar:g} to {part.closes_at_bar:g} bar"
        case Thermostat():
            return f"{part.opens_at_C:g} to {part.closes_at_C:g} °C"
    return f"{part.opens_at_C:g} °C"
