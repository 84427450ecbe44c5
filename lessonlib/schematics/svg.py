"""Layout and readings as SVG: every part and every node a named group with a title.

The drawing tells its state by attributes (`data-condition` of a node, `data-state` of a contact,
`data-short` of the whole), and the style sheet turns these into line styles and colours; the live
panel changes the attributes and the texts, and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

from lessonlib.appliance.parts import Appliance, Part
from lessonlib.circuit.solution import Solution
from lessonlib.palette import with_fallbacks, without_variables
from lessonlib.quantities import format_quantity
from lessonlib.schematics.captions import (
    description,
    finding,
    is_closed,
    reading_words,
    summary,
)
from lessonlib.schematics.layout import layout
from lessonlib.schematics.places import HOP_PX, BarPlace, Box, Layout, Lead, RungPlace, Spot
from lessonlib.schematics.symbols import BLADE_PX, MARK, Style, svg_symbol
from lessonlib.schematics.text import shortened, xml


@lru_cache(maxsize=1)
def style_sheet() -> str:
    """The drawing's CSS, with variables for the colours; the values after the comma are for a
    page that sets none."""
    return with_fallbacks(_css())


@lru_cache(maxsize=1)
def plain_style_sheet() -> str:
    """The same without variables, for programs that know none."""
    return without_variables(_css())


def _css() -> str:
    return (Path(__file__).parent / "schematic.css").read_text("utf-8").strip()


def number(value: float) -> str:
    """A coordinate, to a tenth of a pixel."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


@dataclass(frozen=True)
class _Node:
    """A node group, cut where the state goes in."""

    name: str
    shown: str
    wires: str
    condition: str


@dataclass(frozen=True)
class _Rung:
    """A part group, cut where the state goes in."""

    place: RungPlace
    part: Part
    attributes: str
    words: str
    body: str
    reading: str
    power: str
    position: str


@dataclass(frozen=True)
class Skeleton:
    """All of a drawing that no state changes."""

    appliance: Appliance
    readings: bool
    style: Style

    @cached_property
    def _layout(self) -> Layout:
        return layout(self.appliance, self.readings)

    @cached_property
    def _nodes(self) -> list[_Node]:
        return [_node(bar) for bar in self._layout.bars]

    @cached_property
    def _rungs(self) -> list[_Rung]:
        places = self._layout.rungs
        return [_rung(place, self.appliance.part(place.part), self.style) for place in places]

    @cached_property
    def _links(self) -> str:
        return "".join(
            f'<g class="hc-link" data-part="{xml(link.part)}">'
            f"<title>{xml(link.part)}, its contacts move together</title>"
            + "".join(f'<path d="{_line(line)}"/>' for line in link.lines)
            + "</g>"
            for link in self._layout.links
        )

    def still(self, now: Solution, *, plain: bool = False, conditions: bool = True) -> str:
        """The drawing in one state. `plain` spells the colours out instead of naming variables;
        without `conditions` it does not tell what is live."""
        place = self._layout
        short = now.short is not None
        lines, height = place.foot(summary(now, self.readings))
        x = number(place.caption.x)
        foot = "".join(f'<tspan x="{x}" y="{number(y)}">{xml(words)}</tspan>' for y, words in lines)
        return "".join(
            (
                _open(place.width, height, "img", finding(now, self.readings, conditions), short),
                f"<style>{plain_style_sheet() if plain else style_sheet()}</style>",
                f'<rect class="hc-paper" width="{number(place.width)}" height="{number(height)}"/>',
                *(self._node_group(node, now if conditions else None) for node in self._nodes),
                self._links,
                *(self._still_rung(rung, now) for rung in self._rungs),
                f'<text class="{"hc-short" if short else "hc-summary"}">{foot}</text>',
                "</svg>",
            )
        )

    def _node_group(self, node: _Node, now: Solution | None) -> str:
        """The node with its condition; without one where no solution is given."""
        condition = "" if now is None else now.node[node.name].condition
        title = ", ".join(filter(None, (f"node {xml(node.name)}", condition)))
        return (
            f'<g class="hc-node" data-node="{xml(node.name)}" data-condition="{condition}">'
            f"<title>{title}</title>{node.wires}{node.condition}{condition}</text></g>"
        )

    def _still_rung(self, rung: _Rung, now: Solution) -> str:
        reading = now.part[rung.part.name].contacts[rung.place.contact - 1]
        words = [rung.words]
        state = ""
        if rung.part.contacts:
            closed = "closed" if is_closed(now, rung.part, rung.place.contact) else "open"
            words.append(closed)
            state = f' data-state="{closed}"'
        if self.readings:
            words.append(reading_words(reading))
        body = rung.body
        if rung.position:
            position = shortened(now.setting[rung.part.name], rung.place.detail.width)
            body += f"{rung.position}{xml(position)}</text>"
        if rung.reading and now.short is None:
            volts = format_quantity(reading.voltage_V, "V")
            amps = format_quantity(reading.current_A, "A")
            watts = f"{rung.power}{format_quantity(reading.power_W, 'W')}</tspan>"
            body += (
                f'{rung.reading}<tspan data-quantity="voltage">{volts}</tspan>'
                f'<tspan dx="8" data-quantity="current">{amps}</tspan>'
                f"{watts if rung.power else ''}</text>"
            )
        title = ", ".join(word for word in words if word)
        return f"<g {rung.attributes}{state}><title>{xml(title)}</title>{body}</g>"

    def live(self) -> str:
        """The drawing without any state, for the panel to fill in."""
        place = self._layout
        width, height = number(place.width), number(place.height)
        label = f"{self.appliance.title}, wiring"
        return "".join(
            (
                _open(place.width, place.height, "group", label, False),
                f"<style>{style_sheet()}</style>",
                f'<rect class="hc-paper" width="{width}" height="{height}"/>',
                *(self._node_group(node, None) for node in self._nodes),
                self._links,
                *(self._live_rung(rung) for rung in self._rungs),
                f'<text class="hc-short"{_at(place.caption)}></text>',
                "</svg>",
            )
        )

    def _live_rung(self, rung: _Rung) -> str:
        state = ' data-state=""' if rung.part.contacts else ""
        body = rung.body + (f"{rung.position}</text>" if rung.position else "")
        if rung.reading:
            body += (
                f'{rung.reading}<tspan data-quantity="voltage"></tspan>'
                '<tspan dx="8" data-quantity="current"></tspan>'
                f"{rung.power + '</tspan>' if rung.power else ''}</text>"
            )
        return f"<g {rung.attributes}{state}><title>{xml(rung.words)}</title>{body}</g>"


@lru_cache(maxsize=128)
def skeleton(appliance: Appliance, readings: bool, style: Style) -> Skeleton:
    """The unchanging part of a drawing, made once for each appliance."""
    return Skeleton(appliance, readings, style)


def _open(width: float, height: float, role: str, label: str, short: bool) -> str:
    shorted = ' data-short="true"' if short else ""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" class="hc-schematic" '
        f'width="{number(width)}" height="{number(height)}" '
        f'viewBox="0 0 {number(width)} {number(height)}" '
        f'role="{role}" aria-label="{xml(label)}"{shorted}>'
    )


def _at(spot: Spot) -> str:
    anchor = ' text-anchor="middle"' if spot.anchor == "middle" else ""
    return f' x="{number(spot.x)}" y="{number(spot.y)}"{anchor}'


def _rect(kind: str, box: Box) -> str:
    return (
        f'<rect class="{kind}" x="{number(box.left)}" y="{number(box.top)}" '
        f'width="{number(box.right - box.left)}" height="{number(box.bottom - box.top)}" rx="4"/>'
    )


def _line(corners: tuple[tuple[float, float], ...]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in corners)


def _lead(lead: Lead) -> Iterator[str]:
    yield f"M{number(lead.x)} {number(lead.y)}"
    for hop in lead.hops:
        yield f"H{number(hop - HOP_PX)}a{HOP_PX:g} {HOP_PX:g} 0 0 1 {2 * HOP_PX:g} 0"
    yield f"H{number(lead.to)}"


def _node(bar: BarPlace) -> _Node:
    leads = "".join(piece for lead in bar.leads for piece in _lead(lead))
    line = (
        f"M{number(bar.x)} {number(bar.top)}V{number(bar.bottom)}" if bar.top < bar.bottom else ""
    )
    wires = leads if bar.rail else line + leads
    rail = f'<path class="hc-rail" d="{line}"/>' if bar.rail else ""
    over = (line if bar.rail else "") + wires
    dots = "".join(
        f'<circle class="hc-dot" cx="{number(bar.x)}" cy="{number(y)}" r="3.4"/>' for y in bar.dots
    )
    return _Node(
        bar.node,
        bar.name.text,
        (f'<path class="hc-wire" d="{wires}"/>' if wires else "")
        + rail
        + f'<path class="hc-wire-over" d="{over}"/>{dots}'
        + f'<text class="hc-node-name"{_at(bar.name)}>{xml(bar.name.text)}</text>',
        f'<text class="hc-node-condition"{_at(bar.condition)}>',
    )


def _rung(place: RungPlace, part: Part, style: Style) -> _Rung:
    name = xml(part.name)
    contact = ""
    if part.contacts:
        contact = f' data-contact="{place.contact}"'
    attributes = (
        f'class="hc-part{" hc-contact" if contact else ""}" data-part="{name}" '
        f'data-kind="{part.kind}"{contact}'
    )
    at = f'transform="translate({number(place.x)} {number(place.y)})"'
    if contact:
        # a link ends at one state's blade; in the other state a piece is added to reach it
        reach = f'<path class="hc-dashed" d="M0 0V{-BLADE_PX:g}"/>'
        symbol = "".join(
            f'<g class="hc-when-{state}">{svg_symbol(part.kind, style, state, place.flip)}'
            f"{reach if linked else ''}</g>"
            for state, linked in (("open", place.linked_down), ("closed", place.linked_up))
        )
    else:
        symbol = svg_symbol(part.kind, style, "", place.flip)
    if part.kind in MARK:
        letter, x, y = MARK[part.kind]
        symbol += (
            f'<text class="hc-mark" x="{number(x)}" y="{number(y)}" text-anchor="middle">'
            f"{letter}</text>"
        )
    body = (
        f'<g class="hc-symbol" {at}>{symbol}</g>'
        f'<text class="hc-part-name"{_at(place.name)}>{xml(place.name.text)}</text>'
    )
    position = ""
    if part.kind == "switch" and place.contact == 1:
        position = f'<text class="hc-position" data-part="{name}"{_at(place.detail)}>'
    elif place.detail.text:
        kind = "hc-contact-number" if part.kind == "switch" else "hc-rating"
        body += f'<text class="{kind}"{_at(place.detail)}>{xml(place.detail.text)}</text>'
    reading = power = ""
    if place.readings:
        reading = (
            f'<text class="hc-reading" data-part="{name}" data-contact="{place.contact}"'
            f"{_at(place.readings[0])}>"
        )
        if len(place.readings) > 1:
            second = place.readings[1]
            power = f'<tspan x="{number(second.x)}" y="{number(second.y)}" data-quantity="power">'
    words = description(part)
    if contact:
        hit = _rect("hc-touch", place.whole) + _rect("hc-hit", place.reach)
        body += hit
        if len(part.contacts) > 1:
            words += f", contact {place.contact}"
    return _Rung(place, part, attributes, words, body, reading, power, position)
