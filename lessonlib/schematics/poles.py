"""Change-over switches: contacts of one switch that are drawn as one blade.

Contacts belong together where they share a point and no position closes two of them. They get one
blade where they lie on neighbouring rungs, on the same side of that point's bar. Otherwise each
stays a contact of its own, named alike (S1.1, S1.2) and joined by the dashed line. That is so where
the shared point lies between live and neutral, as "b" in "L to b, or b to N"; where another rung
comes between them; where the dashed line to more contacts of the switch would pass over the blade;
and for more than `MOST_THROWS`, as the blade would be too long.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lessonlib.appliance.parts import Appliance, Switch
from lessonlib.schematics.rungs import Rung

MOST_THROWS = 3


@dataclass(frozen=True)
class Pole:
    """One blade: from the bar `common`, at its left or right, to one of `rungs` (by index, from
    top to bottom), whose symbols are in `gap`."""

    part: str
    common: str
    at_left: bool
    rungs: tuple[int, ...]
    gap: int


def poles_of(
    appliance: Appliance,
    rungs: Sequence[Rung],
    left: Mapping[int, str],
    row: Mapping[int, int],
    column: Mapping[str, int],
) -> Iterator[Pole]:
    """The contacts that can share a blade in this order and these rows."""
    for part in appliance.switches:
        for common, group in _exclusive(part, [rung for rung in rungs if rung.part == part.name]):
            found = tuple(sorted((rung.index for rung in group), key=row.__getitem__))
            at = [row[index] for index in found]
            sides = {left[index] == common for index in found}
            neighbours = at == list(range(at[0], at[0] + len(at)))
            # a bar begins with a rung of its own, as its name stands above that
            begins = common in ("L", "N", "PE") or any(
                common in rung.between and rung.index not in found and row[rung.index] <= at[0]
                for rung in rungs
            )
            if len(sides) == 1 and neighbours and begins:
                at_left, at_bar = sides.pop(), column[common]
                yield Pole(part.name, common, at_left, found, at_bar if at_left else at_bar - 1)


def _exclusive(part: Switch, rungs: Sequence[Rung]) -> Iterator[tuple[str, list[Rung]]]:
    """Contacts of which never two are closed, by the point that they share."""
    ends = [node for rung in rungs for node in rung.between]
    left = list(rungs)
    for node in sorted(dict.fromkeys(ends), key=ends.count, reverse=True):
        group: list[Rung] = []
        used = {node}
        closed: set[str] = set()
        for rung in left:
            ways = part.contacts[rung.contact - 1].closed_in
            if node in rung.between and not used >= {*rung.between} and closed.isdisjoint(ways):
                group.append(rung)
                used.update(rung.between)
                closed.update(ways)
        if 1 < len(group) <= MOST_THROWS:
            left = [rung for rung in left if rung not in group]
            yield node, group
