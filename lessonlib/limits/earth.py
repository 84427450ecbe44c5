"""What a repaired appliance must reach in its tests of earth continuity and insulation."""

from __future__ import annotations

SOURCE = "VDE 0701-0702:2008 clauses 5.3 and 5.4, as quoted in a tester's manual"

SHORT_CORD_OHM = 0.3
"""Most resistance from the earth pin to the metalwork with a cord of up to 5 m, ohm: VDE
0701-0702:2008 cl. 5.3, as quoted in a tester's manual."""

INSULATION_OHM = 1e6
"""Least insulation resistance of an appliance of class I, ohm: VDE 0701-0702:2008 cl. 5.4, as
quoted in a tester's manual."""

HEATER_INSULATION_OHM = 0.3e6
"""The same for an appliance with heating elements, ohm: the same clause, from memory."""

INSULATION_TEST_V = 500
"""Voltage of the insulation test, V d.c.: the same clause, from memory."""
