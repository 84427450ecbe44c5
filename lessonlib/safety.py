"""The one text of cautions: lessons, panels and printed sheets all show this."""

from __future__ import annotations

from html import escape

from lessonlib.palette import CAUTION

MODEL = "This is a model: it cannot tell you that a real wire is dead."

UNPLUGGED = "Measure resistance only on an unplugged appliance."

CAUTIONS = (
    "Mains voltage kills. Pull the plug and keep it in sight: a thermostat or a self-resetting "
    "cut-out can switch on again while you look. Wait for hot parts to cool.",
    "Prove dead before you touch: check the tester on a known live source, test every pair of "
    "conductors, check the tester again.",
    "Neutral is a live conductor: if it breaks on the supply side, it can stand at line voltage. "
    "Colours prove nothing: with a reversed plug or a wrongly wired socket, a blue wire is live.",
    UNPLUGGED,
    "Never bypass a fuse, a thermal fuse, a pressure switch or an earth wire.",
    "After a repair, somebody competent tests earth continuity (class I) and insulation before "
    "use.",
    "Local codes and licensed practice come before anything written here. If in doubt, stop.",
)
"""Usual cautions. Their sources: the plug and not the switch isolates, HSE HSG107, from memory;
thermostats close again by themselves, IEC 60335-1 cl. 3.7 (GOST IEC 60335-1-2015); the order of
proving dead, HSE HSG85, as quoted by trade guides; neutral is a live part, IEC 60050-826, and blue,
IEC 60445, both from memory; earth continuity and insulation, VDE 0701-0702:2008 cl. 5.3 and 5.4, as
quoted in a tester's manual."""

ONE_LINE = (
    f"{MODEL} Neutral is a live conductor too. Unplug, wait, prove dead; local codes and licensed "
    "practice come first."
)


class Cautions:
    """Shows as a list in a notebook and as plain lines elsewhere."""

    def __str__(self) -> str:
        return "\n".join([MODEL, *(f"- {line}" for line in CAUTIONS)])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        items = "".join(f"<li>{escape(line)}</li>" for line in CAUTIONS)
        return (
            f'<div role="note" style="border-left:4px solid {CAUTION};padding:.2em 1em">'
            f"<p><strong>{escape(MODEL)}</strong></p><ul>{items}</ul></div>"
        )


def cautions() -> Cautions:
    """The cautions, to end a notebook cell with."""
    return Cautions()
