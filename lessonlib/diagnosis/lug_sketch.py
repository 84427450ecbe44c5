"""A sketch of the elements between the lugs of a block, above what the readings say."""

from __future__ import annotations

import math
from html import escape
from typing import TYPE_CHECKING

from lessonlib.meter.ohmmeter import ohms
from lessonlib.quantities import format_quantity
from lessonlib.tables import PAPER

if TYPE_CHECKING:
    from lessonlib.diagnosis.lug_block import LugElement
    from lessonlib.diagnosis.lugs import Lugs

_WIDTH, _HEIGHT = 520, 280
_RADIUS = 100
_LUG = 15
_BODY = (46, 16)
_HALF_LABEL = 54


def lug_page(found: Lugs, table: str) -> str:
    """HTML: the sketch, the table of the elements if there are any, and the lines below it."""
    lines = "".join(f"<li>{escape(line)}</li>" for line in found.lines)
    heading = "" if table else f"<p><strong>{escape(found.caption)}</strong></p>"
    return f"{_sketch(found) if found.elements else heading}{table}<ul>{lines}</ul>"


def _sketch(found: Lugs) -> str:
    points = [*dict.fromkeys([*found.lugs, *(e for each in found.elements for e in each.between)])]
    rim = [point for point in points if point in found.lugs]
    place = {point: _on_rim(number, len(rim)) for number, point in enumerate(rim)}
    place.update({point: (_WIDTH / 2, _HEIGHT / 2) for point in points if point not in place})
    said = "; ".join(f"{' to '.join(each.between)} {_label(each)}" for each in found.elements)
    elements = "".join(_element(each, place) for each in found.elements)
    straps = "".join(
        _line(place[strap[0]], place[lug], 3) for strap in found.straps for lug in strap[1:]
    )
    lugs = "".join(
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_LUG if point in found.lugs else 3}" '
        f'fill="{PAPER if point in found.lugs else "currentColor"}" stroke="currentColor"/>'
        + (_words((x, y), point) if point in found.lugs else "")
        for point, (x, y) in place.items()
    )
    return (
        f'<svg role="img" aria-label="{escape(f"Elements between lugs: {said}")}" '
        f'viewBox="0 0 {_WIDTH} {_HEIGHT}" style="max-width:{_WIDTH}px;width:100%" '
        f'fill="none" stroke-width="1.5">{straps}{elements}{lugs}</svg>'
    )


def _on_rim(number: int, count: int) -> tuple[float, float]:
    """Clockwise from the left; two lugs stand side by side."""
    turn = math.pi + 2 * math.pi * number / count
    return _WIDTH / 2 + 1.5 * _RADIUS * math.cos(turn), _HEIGHT / 2 + _RADIUS * math.sin(turn)


def _label(element: LugElement) -> str:
    return f"{ohms(element.resistance_ohm)}, {format_quantity(element.power_W, 'W')}"


def _element(element: LugElement, place: dict[str, tuple[float, float]]) -> str:
    one, other = (place[end] for end in element.between)
    # nearer to one end than to the other, so that the bodies of crossing elements stand apart
    x, y = (one[0] * 0.55 + other[0] * 0.45, one[1] * 0.55 + other[1] * 0.45)
    turn = math.degrees(math.atan2(other[1] - one[1], other[0] - one[0]))
    width, height = _BODY
    body = (
        f'<rect x="{-width / 2}" y="{-height / 2}" width="{width}" height="{height}" '
        f'fill="{PAPER}" stroke="currentColor" transform="translate({x:.1f} {y:.1f}) '
        f'rotate({turn:.1f})"/>'
    )
    # beside the body, on the side away from the middle of the sketch
    across, down = (one[1] - other[1]), (other[0] - one[0])
    length = math.hypot(across, down) * (
        1 if (x - _WIDTH / 2) * across + (y - _HEIGHT / 2) * down >= 0 else -1
    )
    aside = abs(across / length)
    gap = (height / 2 + 10) * (1 - aside) + (height / 2 + 8 + _HALF_LABEL) * aside
    beside = (x + gap * across / length, y + gap * down / length)
    label = _words(beside, _label(element), 14)
    return _line(one, other, 1.5) + body + label


def _line(one: tuple[float, float], other: tuple[float, float], width: float) -> str:
    return (
        f'<line x1="{one[0]:.1f}" y1="{one[1]:.1f}" x2="{other[0]:.1f}" y2="{other[1]:.1f}" '
        f'stroke="currentColor" stroke-width="{width}"/>'
    )


def _words(at: tuple[float, float], words: str, size: int = 14) -> str:
    return (
        f'<text x="{at[0]:.1f}" y="{at[1]:.1f}" font-size="{size}" text-anchor="middle" '
        f'dominant-baseline="central" fill="currentColor" stroke="{PAPER}" stroke-width="4" '
        f'paint-order="stroke">{escape(words)}</text>'
    )
