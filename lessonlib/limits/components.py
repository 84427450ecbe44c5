"""Thermal fuses, diodes, contacts, and what an appliance must survive without water."""

from __future__ import annotations

from lessonlib.limits.limit import Limit, sold

_LINK, _SAFETY, _OURS = "IEC 60691", "IEC 60335-1", "this workbook"
TOLERANCE = Limit("opens below its mark by at most", 10, "K", _LINK, "S", "clause 3")
HOLDING = Limit("stays closed at its holding temperature", 168, "h", _LINK, "S")
RATED_CURRENT = {
    kind: Limit(f"current of a {words}, over its rating", 1, "", source, "memory", "rating")
    for kind, words, source in (
        ("switch", "switch", "IEC 61058-1"),
        ("thermal_fuse", "thermal fuse", _LINK),
        ("thermostat", "thermostat", "IEC 60730-1"),
        ("pressure_switch", "pressure switch", "IEC 60730-1"),
    )
}
"""By kind of part: a contact carries its rated current and no more."""

_HARM = "fires, melting and bursting, dry or with a control that fails"
ABNORMAL = Limit(_HARM, 0, "", _SAFETY, "memory", "clause 19")
_VALVES = "relief valves that a sealed boiler needs at least"
RELIEF = Limit(_VALVES, 1, "", _SAFETY, "memory", "clause 22.7")

_SHEETS = "sheets of the 1 A axial rectifier series"
DIODE_V = tuple(
    Limit("repetitive reverse peak", volts, "V", _SHEETS, "S", "V_RRM")
    for volts in (50, 100, 200, 400, 600, 800, 1000)
)
DIODE_MEAN = Limit("mean current, over the rated one", 1, "", _SHEETS, "S", "I_F(AV)")
"""The rating is for half waves into a resistor."""
FORWARD_V = Limit("forward drop of silicon", 1.1, "V", _SHEETS, "S", "V_F at 1 A")
AIR_C = Limit("air in a heating appliance", 70, "°C", _OURS, "own")
_OVER_PEAK = "reverse rating over the peak, as surges come on top"
SURGES = Limit(_OVER_PEAK, 2, "", "the trade", "practice")

RCD_A = Limit("residual current that opens an RCD", 0.03, "A", "IEC 61008", "memory")
_DIRECT = "direct share of a current that only an RCD of type A sees"
RCD_MEAN = Limit(_DIRECT, 0.3, "", _OURS, "own")
"""Half waves have 0.64. One of type AC is made for alternating current: IEC 60755, from memory."""

SWITCHES_A = sold("switch", "A", 3, 6, 10, 16, 20, 25)
DIODES_A = sold("diode, mean current", "A", 1, 2, 3, 6, 10, 25)
FUSES_A = sold("thermal fuse, current", "A", 1, 2, 5, 10, 16, 25)
_COOL_MARKS, _HOT_MARKS = (72, 84, 91, 98, 104, 110, 117, 121), (128, 141, 152, 167, 184)
FUSES_C = sold("thermal fuse, opens at", "°C", *_COOL_MARKS, *_HOT_MARKS, 192, 216, 229, 240)
