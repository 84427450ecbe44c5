"""The one text of cautions: lessons, panels and printed sheets all show this."""

from __future__ import annotations

from html import escape

MODEL = "This is a model. It shows what should happen; it cannot tell you that a real wire is dead."

CAUTIONS = (
    "Mains voltage kills. Pull the plug, keep it in sight, and wait for hot parts to cool.",
    "Prove dead before you touch: check the tester on a known live source, test every pair of "
    "conductors, check the tester again.",
    "Measure resistance only on an unplugged appliance.",
    "Never bypass a fuse, a thermal fuse, a pressure switch or an earth wire.",
    "Local codes and licensed practice come before anything written here. If in doubt, stop.",
)
"""Usual cautions; the order of proving dead is that of HSE HSG85 (as quoted by trade guides)."""

ONE_LINE = f"{MODEL} Unplug, wait, prove dead; local codes and licensed practice come first."


class Cautions:
    """Shows as a list in a notebook and as plain lines elsewhere."""

    def __str__(self) -> str:
        return "\n".join([MODEL, *(f"- {line}" for line in CAUTIONS)])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        items = "".join(f"<li>{escape(line)}</li>" for line in CAUTIONS)
        return (
            '<div role="note" style="border-left:4px solid #b35900;padding:.2em 1em">'
            f"<p><strong>{escape(MODEL)}</strong></p><ul>{items}</ul></div>"
        )


def cautions() -> Cautions:
    """The cautions, to end a notebook cell with."""
    return Cautions()
