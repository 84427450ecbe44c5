"""How much the resistance of heating wire rises from cold to hot, by alloy."""

from __future__ import annotations

HOT_FACTORS = {
    "NiCr 80/20": 1.018,
    "NiCr 60/15": 1.069,
    "NiCr 70/30": 1.036,
    "NiCr 35/20": 1.157,
    "FeCrAl 25/5": 1.030,
    "FeCrAl 21/6": 1.037,
    "FeCrAl 13/4": 1.090,
}
"""R(600 °C) / R(20 °C), from one alloy producer's table of the layout of GB/T 1234 (read in a page
that gives the table; the standard itself was not seen). That the wire in a sheathed element is at
600 °C at work is common practice, no source: with the commonest alloys a wrong guess by 300 K
costs about 2 % by the same table."""

_MAKERS_DIFFER = {"NiCr 80/20": 1.07}
"""The largest R(hot) / R(20 °C) of the same alloy from other makers. NiCr 80/20 rises by 2 to 7 %,
depending on its maker and treatment: from memory."""


def hot_factor(alloy: str | None) -> float:
    """R(hot) / R(cold) of the alloy; 1 where the file names none."""
    return 1.0 if alloy is None else HOT_FACTORS[alloy]


def most_hot_factor(alloy: str | None) -> float:
    """The largest R(hot) / R(cold) of the alloy, whoever made it; of all where the file names
    none."""
    if alloy is None:
        return max(HOT_FACTORS.values())
    return max(HOT_FACTORS[alloy], _MAKERS_DIFFER.get(alloy, 1.0))
