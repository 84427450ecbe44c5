"""How lines and words look, by their kind and by the condition of their node.

The style sheet and the pens that know no style sheet both take their look from here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from lessonlib.palette import LIGHT

Face = Literal["plain", "bold", "italic"]


@dataclass(frozen=True)
class Stroke:
    """A line: the name of its colour, its width and its dashes in pixels."""

    colour: str
    width: float
    dashes: tuple[float, ...] = ()
    round_ends: bool = False


# the wires of a node, whose colour its dots and words have too; and the width of a rail
_CONDITIONS = {
    "": (Stroke("floating", 2), 2),  # no condition shown
    "live": (Stroke("live", 3.2), 5),
    "neutral": (Stroke("neutral", 1.9), 3.4),
    "earthed": (Stroke("earth", 3.2), 5),
    "between": (Stroke("between", 2.4, (9, 3, 2, 3)), 4),
    "floating": (Stroke("floating", 2, (2, 3.5)), 3.4),
}
_STRIPE = Stroke("earth-stripe", 3.2, (7, 7))
"""Lies over the wires of a node that is earthed."""
_LINES = {
    "link-line": Stroke("ink", 1.3, (5, 4)),
    "outline": Stroke("ink", 1.8, round_ends=True),
    "ring": Stroke("ink", 1.6),
    "dashed": Stroke("ink", 1.3, (2.5, 3), round_ends=True),
}
_FACES: dict[str, Face] = {
    "part-name": "bold",
    "node-name": "bold",
    "summary": "bold",
    "short": "bold",
    "position": "italic",
    "mark": "italic",
}


def stroke(kind: str, condition: str = "") -> Stroke:
    """The look of a line; one that does not show in this condition has no width."""
    if kind == "wire-over":
        return _STRIPE if condition == "earthed" else Stroke("ink", 0)
    if kind in _LINES:
        return _LINES[kind]
    wire, rail = _CONDITIONS[condition]
    return replace(wire, width=rail, round_ends=True) if kind == "rail" else wire


def colour(kind: str, condition: str = "") -> str:
    """The light colour of a dot or of words, as they are on paper."""
    if kind == "short":
        return LIGHT["alarm"]
    return LIGHT[_CONDITIONS[condition][0].colour if kind in ("dot", "node-condition") else "ink"]


def face(kind: str) -> Face:
    """The face of words."""
    return _FACES.get(kind, "plain")


def style_sheet() -> str:
    """The CSS of a drawing: what schematic.css says, and the looks by condition."""
    text = (Path(__file__).parent / "schematic.css").read_text("utf-8").strip()
    return "\n".join((text, *map(_rules, _CONDITIONS)))


def _rules(condition: str) -> str:
    node = ".hc-node" + (f'[data-condition="{condition}"]' if condition else "")
    rules = []
    for kind in ("wire", "rail", "wire-over"):
        line = stroke(kind, condition)
        if line.width:
            dashes = f" stroke-dasharray: {' '.join(map(str, line.dashes))};" if line.dashes else ""
            look = f"stroke: var(--hc-{line.colour}); stroke-width: {line.width:g};{dashes}"
            rules.append(f"{node} .hc-{kind} {{ {look} }}")
    fill = f"fill: var(--hc-{_CONDITIONS[condition][0].colour});"
    rules.append(f"{node} .hc-dot, {node} .hc-node-condition {{ {fill} }}")
    return "\n".join(rules)
