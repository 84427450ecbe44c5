"""The one text of cautions: lessons, panels, sheets and forms all show it, or its named lines."""

from __future__ import annotations

from html import escape

from lessonlib.palette import CAUTION

MODEL = "This is a model: it cannot tell you that a real wire is dead."

UNPLUG = (
    "Mains voltage kills. Pull the plug and keep it in sight: a thermostat or self-resetting "
    "cut-out can switch on again while you look."
)
ISOLATE = "Only the pulled plug isolates it: then prove dead."
WAIT = (
    "Wait: for hot parts to cool, for steam and pressure to go, for capacitors to lose their "
    "charge. Open no cap before that."
)
PROVE = (
    "Prove dead before you touch: check a two-pole voltage tester on a known live source, test "
    "every pair of conductors, check the tester again."
)
NEUTRAL = (
    "Neutral is a live conductor: if it breaks on the supply side, it can stand at line voltage. "
    "Colours prove nothing: with a reversed plug or a wrongly wired socket, a blue wire is live."
)
UNPLUGGED = "Measure resistance only on an unplugged appliance."
AT_PLUG = "Measure power and current on an energy meter at the plug, nowhere else."
NO_VOLTS = "Never measure volts inside an appliance."
BYPASS = (
    "Never bypass a fuse, a thermal fuse, a pressure switch or an earth wire, and never block a "
    "relief valve."
)
UNTIL_MENDED = "Leave it unplugged until the fault is found and mended."
REPAIR = (
    "After a repair, somebody competent tests earth continuity (class I) and insulation before use."
)
LAW = "Local codes and licensed practice come before anything written here. If in doubt, stop."

SOURCES = {
    UNPLUG: "The plug isolates, the switch does not: HSE HSG107, from memory. Thermostats close "
    "again by themselves: IEC 60335-1 clause 3.7 (GOST IEC 60335-1-2015).",
    ISOLATE: "HSE HSG107 and HSG85, from memory.",
    WAIT: "Capacitors: IEC 60335-1 clause 22.5, at most 34 V between the pins after a second, as "
    "quoted by a testers' forum. Heat and pressure: common practice, no source.",
    PROVE: "HSE HSG85, as quoted by trade guides and a textbook of installation work.",
    NEUTRAL: "A neutral is a live part: IEC 60050-826; blue: IEC 60445; both from memory.",
    UNPLUGGED: "Test dead wherever that can be done: HSE INDG354, from memory.",
    AT_PLUG: "The same: nothing is measured on live parts.",
    NO_VOLTS: "The same.",
    BYPASS: "Common practice, no source.",
    UNTIL_MENDED: "What is unsafe is taken out of use: HSE HSG107, from memory.",
    REPAIR: "VDE 0701-0702:2008 clauses 5.3 and 5.4, as quoted in a tester's manual; IET Code of "
    "Practice for in-service inspection and testing, from memory.",
    LAW: "Who may do such work differs from country to country; in the UK: Electricity at Work "
    "Regulations 1989, regulation 16, from memory.",
}
"""Where each line comes from."""

TESTS = f"{UNPLUGGED} {REPAIR}"

CAUTIONS = (UNPLUG, WAIT, PROVE, NEUTRAL, BYPASS, TESTS, LAW)
"""The whole text: what lessons and sheets show, after `MODEL`."""

AT_BENCH = f"{BYPASS} {TESTS} {UNTIL_MENDED}"
"""What stands above every test on an unplugged appliance."""

ONE_LINE = (
    f"{MODEL} Neutral is a live conductor too. Unplug, wait, prove dead; local codes and licensed "
    "practice come first."
)
"""The short form: what panels and forms show, and the README."""


class Cautions:
    """Shows as a list in a notebook and as plain lines elsewhere."""

    def __str__(self) -> str:
        return "\n".join([MODEL, *(f"- {line}" for line in CAUTIONS)])

    __repr__ = __str__

    @property
    def sources(self) -> tuple[str, ...]:
        """Where each line comes from, in their order."""
        return tuple(
            " ".join(told for part, told in SOURCES.items() if part in line) for line in CAUTIONS
        )

    def _repr_html_(self) -> str:
        items, told = (
            "".join(f"<li>{escape(line)}</li>" for line in lines)
            for lines in (CAUTIONS, self.sources)
        )
        return (
            f'<div role="note" style="border-left:4px solid {CAUTION};padding:.2em 1em">'
            f"<p><strong>{escape(MODEL)}</strong></p><ol>{items}</ol>"
            f"<details><summary>Where each line comes from</summary><ol>{told}</ol></details></div>"
        )


def cautions() -> Cautions:
    """The cautions, to end a notebook cell with."""
    return Cautions()
