"""What the browser gets of a family: for each member its drawing with marks, its rows, and what its
settings do. Pure functions, no widgets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.live import live_words
from lessonlib.families.changes import Change
from lessonlib.families.family import NO_CHANGE, Family
from lessonlib.families.matching import Match
from lessonlib.families.settings import Member, powers_words, settings_words
from lessonlib.panels.data import choices, most_rows, picture_data, rows
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.layout import layout
from lessonlib.schematics.places import Box
from lessonlib.schematics.schematic import live_svg
from lessonlib.schematics.svg import number
from lessonlib.schematics.text import xml

BADGE_PX = 9.0
TOP_PX = 14
_PLUGS = ["as marked: L is live", "reversed: N is live"]


def family_data(family: Family) -> dict[str, Any]:
    """Everything the browser gets, made of lists, dicts, texts and numbers only."""
    turns = any(member.appliance.supply.reversible_plug for member in family.members)
    does = family.settings.does
    return {
        "title": family.title,
        "purpose": "",
        "caution": ONE_LINE,
        "members": list(_members(family)),
        "plugs": _PLUGS[: 1 + turns],
        "rows": [
            {
                "heat": powers_words(row.powers),
                "heats": bool(row.powers),
                "alike": [
                    place,
                    *(n for n in range(len(does)) if n != place and row.as_much(does[n])),
                ],
                "cells": list(map(cell_of, family.members, row.by)),
            }
            for place, row in enumerate(does)
        ],
        "caption": family.settings.caption,
        "notes": family.notes,
        "one_at_a_time": family.one_at_a_time,
    }


def aligned(appliances: Sequence[Appliance], matches: Sequence[Match]) -> list[Appliance]:
    """The appliances with their parts in one order, so that what stayed is drawn in its place.

    A part stands where its partner in the member before stands; a new one behind the part that it
    follows in its own file."""
    found = [appliances[0]]
    for appliance, match in zip(appliances[1:], matches, strict=True):
        before = {part.name: place for place, part in enumerate(found[-1].parts)}
        stands = {second.part: before[first.part] for first, second in match.pairs}
        rank: dict[str, tuple[int, int]] = {}
        last = -1
        for place, part in enumerate(appliance.parts, 1):
            last = stands.get(part.name, last)
            rank[part.name] = (last, 0 if part.name in stands else place)
        parts = sorted(appliance.parts, key=lambda part: rank[part.name])
        found.append(replace(appliance, parts=tuple(parts)))
    return found


def _members(family: Family) -> Iterator[dict[str, Any]]:
    drawn = aligned([member.appliance for member in family.members], family.matches)
    changes = [*family.changes, ()]
    for place, (member, appliance) in enumerate(zip(family.members, drawn, strict=True)):
        family.progress("drawn", place + 1, len(drawn))
        offer = choices(appliance, [appliance.supply.voltage_V], False)
        kept, index = rows(offer, offer.positions(None), most_rows(appliance))
        svg = _svg(appliance, changes[place], changes[place + 1])
        positions = [offer.positions(solution.setting) for solution in member.solutions]
        yield {
            **picture_data(offer, svg, "", kept, index),
            "label": member.label,
            "start": list(offer.positions(None)),
            "ways": len(offer.plugs),
            "does": {
                ",".join(map(str, positions[number])): row
                for row, each in enumerate(family.settings.does)
                for number in each.by[place]
            },
            "changes": [{"words": each.words, "kind": each.kind} for each in changes[place]],
            "unchanged": NO_CHANGE if place and not changes[place] else "",
        }


def cell_of(member: Member, by: Sequence[int]) -> list[list[str]]:
    """What does it in one member: for each different current and live ends, the settings, the
    current, and the live ends."""
    alike: dict[tuple[str, str], list[int]] = {}
    for one in by:
        solution = member.solutions[one]
        live = live_words(member.appliance, solution.live)
        alike.setdefault((format_quantity(solution.current_A, "A"), live), []).append(one)
    return [
        [" or ".join(settings_words(member, numbers)), current, live]
        for (current, live), numbers in alike.items()
    ]


def _svg(appliance: Appliance, changes: Sequence[Change], later: Sequence[Change]) -> str:
    """The drawing with its marks, and room for their numbers at the top."""
    place = layout(appliance)
    width, height, taller = map(number, (place.width, place.height, place.height + TOP_PX))
    marks = list(_marks(appliance, changes, later))
    paper = f'<rect class="hc-paper" width="{width}" height="{height}"/>'
    frames, signs = ("".join(pieces) for pieces in zip(*marks, strict=True)) if marks else ("", "")
    own = f'height="{height}" viewBox="0 0 {width} {height}"'
    higher = f'height="{taller}" viewBox="0 -{TOP_PX} {width} {taller}"'
    drawing = live_svg(appliance).replace(own, higher, 1)
    return drawing.replace(paper, paper + frames, 1).replace("</svg>", f"{signs}</svg>")


def _marks(
    appliance: Appliance, changes: Sequence[Change], later: Sequence[Change]
) -> Iterator[tuple[str, str]]:
    """Around each changed part a frame with the number of the change; around each part that the
    next member no longer has, a dotted one. Each is in two: the frame lies below the drawing, so
    that it crosses no reading, and its number or word above."""
    badges: Counter[Box] = Counter()
    for count, change in enumerate(changes, 1):
        for box in boxes(appliance, change.parts):
            words = xml(f"change {count}: {change.words}")
            x, y = max(box.left, BADGE_PX + 1) + 2 * BADGE_PX * badges[box], box.top - 6
            badges[box] += 1
            at = f'cx="{number(x)}" cy="{number(y)}"'
            yield (
                f'<g class="hcf-frame" data-change="{count}">{_frame(box)}</g>',
                f'<g class="hcf-mark" data-change="{count}"><title>{words}</title>'
                f'<circle {at} r="{BADGE_PX:g}"/>'
                f'<text x="{number(x)}" y="{number(y + 4)}" text-anchor="middle">{count}</text>'
                "</g>",
            )
    for box in boxes(appliance, going(later)):
        yield (
            f'<g class="hcf-going">{_frame(box)}</g>',
            '<g class="hcf-goes"><title>gone in the next</title>'
            f'<text x="{number(box.right)}" y="{number(box.top - 3)}" text-anchor="end">'
            "goes</text></g>",
        )


def going(later: Sequence[Change]) -> list[str]:
    """Parts that the next member no longer has, by what has changed in it."""
    return [name for change in later if change.kind == "removed" for name in change.gone]


def boxes(appliance: Appliance, names: Sequence[str], readings: bool = True) -> list[Box]:
    """A box around each path of these parts; around all contacts of a switch that touch, one."""
    found: list[Box] = []
    for name in names:
        own: list[Box] = []
        for rung in layout(appliance, readings).rungs:
            if rung.part == name:
                left, top, right, bottom = rung.reach
                box = Box(left - 2, top - 2, right + 2, bottom + 2)
                touching = [other for other in own if other.meets(box)]
                own = [other for other in own if other not in touching]
                own.append(Box.around((box, *touching)))
        found += own
    return found


def _frame(box: Box) -> str:
    width, height = number(box.right - box.left), number(box.bottom - box.top)
    at = f'x="{number(box.left)}" y="{number(box.top)}"'
    return f'<rect {at} width="{width}" height="{height}" rx="6"/>'
