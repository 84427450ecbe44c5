"""The drawing as SVG: every part and every node a named group with a title.

The drawing tells its state by attributes (`data-condition` of a node, `data-state` of a contact,
`data-short` of the whole), and the style sheet turns these into line styles and colours; the live
panel changes the attributes and the texts, and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache

from lessonlib.palette import with_fallbacks, without_variables
from lessonlib.schematics.look import style_sheet
from lessonlib.schematics.painter import NO_DATA, Data, Drawing, Line, Words, paint
from lessonlib.schematics.places import HOP_PX, Box, Lead, Spot
from lessonlib.schematics.symbols import Point
from lessonlib.schematics.text import xml


@lru_cache(maxsize=2)
def _style_sheet(plain: bool) -> str:
    css = style_sheet()
    return without_variables(css) if plain else with_fallbacks(css, ".hc-schematic")


def svg_of(drawing: Drawing, *, plain: bool = False) -> str:
    """The drawing as SVG text; `plain` is for programs that know no CSS variables."""
    now = drawing.now
    if now is None:
        role, label = "group", f"{drawing.appliance.title}, wiring"
    else:
        role = "img"
        label = drawing.told
    width, height = number(drawing.place.width), number(drawing.foot[1])
    shorted = ' data-short="true"' if drawing.shorted else ""
    pen = _SvgPen()
    paint(pen, drawing)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" class="hc-schematic" '
        f'width="{width}" height="{height}" viewBox="0 0 {width} {height}" '
        f'role="{role}" aria-label="{xml(label)}"{shorted}><style>{_style_sheet(plain)}</style>'
        f'<rect class="hc-paper" width="{width}" height="{height}"/>{"".join(pen.pieces)}</svg>'
    )


@lru_cache(maxsize=4096)
def number(value: float) -> str:
    """A coordinate, to a tenth of a pixel."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


class _SvgPen:
    """Writes one element after the other into `pieces`."""

    every_state = True

    def __init__(self) -> None:
        self.pieces: list[str] = []

    @contextmanager
    def group(
        self, kinds: str, title: str = "", *, at: Point | None = None, data: Data = NO_DATA
    ) -> Iterator[None]:
        classes = " ".join(f"hc-{kind}" for kind in kinds.split())
        moved = f' transform="translate({number(at[0])} {number(at[1])})"' if at else ""
        titled = f"<title>{xml(title)}</title>" if title else ""
        self.pieces.append(f'<g class="{classes}"{_data(data)}{moved}>{titled}')
        yield
        self.pieces.append("</g>")

    def lines(self, kind: str, lines: Sequence[Line], condition: str = "") -> None:
        self.pieces.append(f'<path{_class(kind)} d="{"".join(map(_path, lines))}"/>')

    def circle(self, kind: str, x: float, y: float, radius: float, condition: str = "") -> None:
        at = f'cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"'
        self.pieces.append(f"<circle{_class(kind)} {at}/>")

    def text(
        self, kind: str, words: Sequence[Words], condition: str = "", data: Data = NO_DATA
    ) -> None:
        first, *others = words
        anchor = ' text-anchor="middle"' if first.spot and first.spot.anchor == "middle" else ""
        inner = xml(first.text)
        if others or first.quantity:
            follow = (_span(each, _at(each.spot) or ' dx="8"') for each in others)
            inner = "".join((_span(first, ""), *follow))
        start = f'<text class="hc-{kind}"{_data(data)}{_at(first.spot)}{anchor}>'
        self.pieces.append(f"{start}{inner}</text>")

    def area(self, kind: str, box: Box) -> None:
        width, height = number(box.right - box.left), number(box.bottom - box.top)
        at = f'x="{number(box.left)}" y="{number(box.top)}"'
        self.pieces.append(
            f'<rect class="hc-{kind}" {at} width="{width}" height="{height}" rx="4"/>'
        )


def _class(kind: str) -> str:
    """The kind as a class, where the style of the group is not enough."""
    return "" if kind in ("outline", "ring", "link-line") else f' class="hc-{kind}"'


def _data(data: Data) -> str:
    return "".join(f' data-{name}="{xml(value)}"' for name, value in data.items())


def _at(spot: Spot | None) -> str:
    return f' x="{number(spot.x)}" y="{number(spot.y)}"' if spot else ""


def _span(words: Words, place: str) -> str:
    told = f' data-quantity="{words.quantity}"' if words.quantity else ""
    return f"<tspan{place}{told}>{xml(words.text)}</tspan>"


@lru_cache(maxsize=4096)
def _path(line: Line) -> str:
    if not isinstance(line, Lead):
        return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in line)
    hops = "".join(
        f"H{number(hop - HOP_PX)}a{HOP_PX:g} {HOP_PX:g} 0 0 1 {2 * HOP_PX:g} 0" for hop in line.hops
    )
    return f"M{number(line.x)} {number(line.y)}{hops}H{number(line.to)}"
