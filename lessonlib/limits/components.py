"""Thermal fuses, diodes, and what an appliance must survive without water."""

from __future__ import annotations

from lessonlib.limits.limit import UNSEEN, Limit

_LINK = "IEC 60691"
TOLERANCE = Limit("opens below its mark by at most", 10, "K", _LINK, UNSEEN, "clause 3", "S")
HOLDING = Limit("stays closed at its holding temperature", 168, "h", _LINK, UNSEEN, "", "S")
RATED_CURRENT = {
    kind: Limit(f"current of a {words}, over its rating", 1, "", source, UNSEEN, "rating", "memory")
    for kind, words, source in (
        ("switch", "switch", "IEC 61058-1"),
        ("thermal_fuse", "thermal fuse", _LINK),
        ("thermostat", "thermostat", "IEC 60730-1"),
        ("pressure_switch", "pressure switch", "IEC 60730-1"),
    )
}
"""By kind of part: a contact carries its rated current and no more."""

ABNORMAL = Limit(
    "fires, melting and bursting, dry or with a control that fails", 0, "", "IEC 60335-1", UNSEEN,
    "clause 19", "memory",
)  # fmt: skip
RELIEF = Limit(
    "relief valves that a sealed boiler needs at least", 1, "", "IEC 60335-1", UNSEEN,
    "clause 22.7", "memory",
)  # fmt: skip

_SHEETS = "sheets of the 1 A axial rectifier series"
DIODE_V = tuple(
    Limit("repetitive reverse peak", volts, "V", _SHEETS, UNSEEN, "V_RRM", "S")
    for volts in (50, 100, 200, 400, 600, 800, 1000)
)
DIODE_A = Limit("mean current, over the rated one", 1, "", _SHEETS, UNSEEN, "I_F(AV)", "S")
"""The rating is for half waves into a resistor."""
FORWARD_V = Limit("forward drop of silicon", 1.1, "V", _SHEETS, UNSEEN, "V_F at 1 A", "S")
AIR_C = Limit("air in a heating appliance", 70, "°C", "this workbook", UNSEEN, "", "own")

SURGES = Limit(
    "reverse rating over the peak, as surges come on top",
    2,
    "",
    "the trade",
    UNSEEN,
    "",
    "practice",
)

RCD_A = Limit("residual current that opens an RCD", 0.03, "A", "IEC 61008", UNSEEN, "", "memory")
RCD_MEAN = Limit(
    "direct share of a current that only an RCD of type A sees", 0.3, "", "this workbook", UNSEEN,
    "", "own",
)  # fmt: skip
"""Half waves have 0.64. One of type AC is made for alternating current: IEC 60755, from memory."""
