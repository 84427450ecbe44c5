"""A sketch of the elements between the lugs of a block, above what the readings say."""

from __future__ import annotations

import cmath
import math
from html import escape
from typing import TYPE_CHECKING

from lessonlib.meter.ohmmeter import ohms
from lessonlib.quantities import format_quantity
from lessonlib.tables import PAPER

if TYPE_CHECKING:
    from lessonlib.diagnosis.lug_block import LugElement
    from lessonlib.diagnosis.lugs import Lugs

# Places are complex numbers: across, and down.
_WIDTH, _HEIGHT = 520, 280
_MIDDLE = complex(_WIDTH / 2, _HEIGHT / 2)
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
    ends = [end for element in found.elements for end in element.between]
    inside = dict.fromkeys((end for end in ends if end not in found.lugs), _MIDDLE)
    place = {lug: _on_rim(at, len(found.lugs)) for at, lug in enumerate(found.lugs)} | inside
    straps = "".join(
        _line(place[strap[0]], place[lug], 3) for strap in found.straps for lug in strap[1:]
    )
    elements = "".join(
        _element(_label(each), *(place[end] for end in each.between)) for each in found.elements
    )
    points = "".join(
        f'<circle cx="{at.real:.1f}" cy="{at.imag:.1f}" r="{3 if point in inside else _LUG}" '
        f'fill="{"currentColor" if point in inside else PAPER}" stroke="currentColor"/>'
        + ("" if point in inside else _words(at, point))
        for point, at in place.items()
    )
    said = "; ".join(f"{' to '.join(each.between)} {_label(each)}" for each in found.elements)
    return (
        f'<svg role="img" aria-label="{escape(f"Elements between lugs: {said}")}" '
        f'viewBox="0 0 {_WIDTH} {_HEIGHT}" style="max-width:{_WIDTH}px;width:100%" '
        f'fill="none" stroke-width="1.5">{straps}{elements}{points}</svg>'
    )


def _on_rim(number: int, count: int) -> complex:
    """Clockwise from the left; two lugs stand side by side."""
    turn = math.pi + 2 * math.pi * number / count
    return _MIDDLE + complex(1.5 * _RADIUS * math.cos(turn), _RADIUS * math.sin(turn))


def _label(element: LugElement) -> str:
    return f"{ohms(element.resistance_ohm)}, {format_quantity(element.power_W, 'W')}"


def _element(label: str, one: complex, other: complex) -> str:
    # nearer to one end than to the other, so that the bodies of crossing elements stand apart
    at = 0.55 * one + 0.45 * other
    along = (other - one) / abs(other - one)
    width, height = _BODY
    body = (
        f'<rect x="{-width / 2}" y="{-height / 2}" width="{width}" height="{height}" '
        f'fill="{PAPER}" stroke="currentColor" transform="translate({at.real:.1f} {at.imag:.1f}) '
        f'rotate({math.degrees(cmath.phase(along)):.1f})"/>'
    )
    # beside the body, on the side away from the middle of the sketch
    across = 1j * along
    if (across.conjugate() * (at - _MIDDLE)).real < 0:
        across = -across
    gap = height / 2 + 10 + (_HALF_LABEL - 2) * abs(across.real)
    return _line(one, other, 1.5) + body + _words(at + gap * across, label)


def _line(one: complex, other: complex, width: float) -> str:
    return (
        f'<line x1="{one.real:.1f}" y1="{one.imag:.1f}" x2="{other.real:.1f}" '
        f'y2="{other.imag:.1f}" stroke="currentColor" stroke-width="{width}"/>'
    )


def _words(at: complex, words: str) -> str:
    return (
        f'<text x="{at.real:.1f}" y="{at.imag:.1f}" font-size="14" text-anchor="middle" '
        f'dominant-baseline="central" fill="currentColor" stroke="{PAPER}" stroke-width="4" '
        f'paint-order="stroke">{escape(words)}</text>'
    )
