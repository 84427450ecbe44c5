"""What a repaired appliance must reach in its tests of earth, insulation and leakage."""

from __future__ import annotations

from lessonlib.limits.limit import Limit

SOURCE = "VDE 0701-0702:2008 clauses 5.3 and 5.4, as quoted in a tester's manual"

SHORT_CORD_OHM = 0.3
"""Most resistance from the earth pin to the metalwork with a cord of up to 5 m, ohm: clause 5.3."""
INSULATION_OHM = 1e6
"""Least insulation resistance of an appliance of class I, ohm: clause 5.4."""
HEATER_INSULATION_OHM = 0.3e6
"""The same for one with heating elements, ohm."""
CLASS_2_INSULATION_OHM = 2e6
"""The same for an appliance of class II, ohm."""

TESTED = tuple(
    Limit(what, ohm, "Ω", "VDE 0701-0702", "S", clause, "2008")
    for what, ohm, clause in (
        ("earth path, cord up to 5 m", SHORT_CORD_OHM, "clause 5.3"),
        ("insulation, class I", INSULATION_OHM, "clause 5.4"),
        ("insulation, class I with elements", HEATER_INSULATION_OHM, "clause 5.4"),
        ("insulation, class II", CLASS_2_INSULATION_OHM, "clause 5.4"),
    )
)

INSULATION_TEST_V = 500
"""Voltage of the insulation test, V d.c.: foreword of BS EN 50699:2020, read in its own text."""


def least_insulation_ohm(protection_class: str | None, heats: bool) -> float:
    """Least insulation resistance, ohm, of an appliance of "I" or "II"; None is taken as "I"."""
    if protection_class == "II":
        return CLASS_2_INSULATION_OHM
    return HEATER_INSULATION_OHM if heats else INSULATION_OHM


def _leakage(what: str, amps: float, unit: str = "A") -> Limit:
    """Of editions before those that give peak values of a measuring network."""
    return Limit(f"leakage, warm: {what}", amps, unit, "IEC 60335-1", "S", "clause 13.2")


LEAKAGE_A = {"I": _leakage("class I, portable", 0.75e-3), "II": _leakage("class II", 0.25e-3)}
"""By class. It holds at working temperature, which the damp of a cold element is not."""
STATIONARY_A_PER_KW = _leakage("class I, stationary and heating, each kW", 0.75e-3, "A/kW")
STATIONARY_A = _leakage("class I, stationary and heating, at most", 5e-3)
