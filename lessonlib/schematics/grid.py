"""Bars, rungs and links on a grid of columns and rows, before anything is measured in pixels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from lessonlib.appliance.parts import Appliance
from lessonlib.schematics.links import Cell, Links, links_of
from lessonlib.schematics.order import order
from lessonlib.schematics.poles import Pole, poles_of
from lessonlib.schematics.rows import rows_of
from lessonlib.schematics.rungs import Rung, rungs_of
from lessonlib.schematics.sweep import sweep


@dataclass(frozen=True)
class Grid:
    """`left`, `right` and `row` are by rung index, `column` by node. `gap` is where a rung's symbol
    is: gap g lies between columns g and g + 1."""

    nodes: tuple[str, ...]
    rungs: tuple[Rung, ...]
    left: dict[int, str]
    right: dict[int, str]
    column: dict[str, int]
    row: dict[int, int]
    gap: dict[int, int]
    links: Links
    poles: tuple[Pole, ...]

    def pole(self, rung: int) -> Pole | None:
        """The blade that a contact shares with others."""
        return next((pole for pole in self.poles if rung in pole.rungs), None)

    @property
    def columns(self) -> int:
        return max(self.column.values()) + 1

    @property
    def rows(self) -> int:
        return max(last for _, last in self.span.values()) + 1

    @cached_property
    def span(self) -> dict[str, tuple[int, int]]:
        """First and last row of each bar; a bar without rungs is below all others."""
        below = max(self.row.values(), default=-1) + 1
        found = {}
        for node in self.nodes:
            rows = [self.row[rung.index] for rung in self.rungs if node in rung.between]
            found[node] = (min(rows, default=below), max(rows, default=below))
        return found


def grid_of(appliance: Appliance) -> Grid:
    """Place the bars, rungs and links of `appliance`."""
    nodes, rungs = appliance.nodes, rungs_of(appliance)
    ordered = order(nodes, rungs)
    swept = sweep(ordered, rungs)
    left, right = ordered.left, ordered.right
    row, column = rows_of(ordered, swept, rungs)
    spanned = {index: range(column[left[index]], column[right[index]]) for index in row}
    poles = tuple(poles_of(appliance, rungs, left, row, column))
    while True:
        gap = _gaps(rungs, spanned, row, poles)
        cells = {index: (row[index], gap[index]) for index in row}
        links = links_of(_linked(rungs, cells, poles), cells.values())
        kept = tuple(pole for pole in poles if not _is_passed(pole, row, links))
        if kept == poles:
            return Grid(nodes, rungs, left, right, column, row, gap, links, poles)
        poles = kept


def _gaps(
    rungs: Sequence[Rung],
    spanned: Mapping[int, range],
    row: Mapping[int, int],
    poles: Sequence[Pole],
) -> dict[int, int]:
    """Rungs that span several gaps have their symbol below others of the same switch, or of the
    same kind, or else in the middle; the contacts of one blade are at the bar that they share."""
    gap = {index: pole.gap for pole in poles for index in pole.rungs}
    free = [rung for rung in rungs if rung.index not in gap]
    for rung in sorted(free, key=lambda each: (len(spanned[each.index]), row[each.index])):
        choice, worth = spanned[rung.index], []
        for at in choice:
            there = [other for other in rungs if gap.get(other.index) == at]
            same_switch = any(other.part == rung.part for other in there)
            same_kind = any(other.kind == rung.kind for other in there)
            off = abs(at - (choice[0] + choice[-1]) / 2)
            worth.append((4 * same_switch + 2 * same_kind - off, at))
        gap[rung.index] = max(worth)[1]
    return gap


def _linked(
    rungs: Sequence[Rung], cells: Mapping[int, Cell], poles: Sequence[Pole]
) -> dict[str, list[Cell]]:
    """By switch, the cells that its dashed line joins: of a blade the one nearest to the others."""
    found: dict[str, list[Cell]] = {}
    for rung in rungs:
        if rung.kind == "switch":
            found.setdefault(rung.part, []).append(cells[rung.index])
    for pole in poles:
        own = [cells[index] for index in pole.rungs]
        others = [cell for cell in found[pole.part] if cell not in own]
        end = own[0] if any(row <= own[0][0] for row, _ in others) else own[-1]
        found[pole.part] = [*others, end]
    return found


def _is_passed(pole: Pole, row: Mapping[int, int], links: Links) -> bool:
    """Whether a dashed line would pass over the blade, in a lane above one of its lower rows."""
    top, *_, bottom = (row[index] for index in pole.rungs)
    return any(
        one.lane is not None
        and two.lane is not None
        and top < one.row == two.row <= bottom
        and min(one.gap, two.gap) <= pole.gap <= max(one.gap, two.gap)
        for lines in links.lines.values()
        for line in lines
        for one, two in pairwise(line)
    )
