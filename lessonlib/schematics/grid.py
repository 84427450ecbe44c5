"""Bars, rungs and links on a grid of columns and rows, before anything is measured in pixels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from lessonlib.appliance.parts import Appliance
from lessonlib.schematics.links import Cell, Links, links_of
from lessonlib.schematics.order import BarOrder, order
from lessonlib.schematics.poles import Pole, poles_of
from lessonlib.schematics.rows import Rows, rows_of
from lessonlib.schematics.rungs import Rung, rungs_of
from lessonlib.schematics.sweep import Sweep, sweep


@dataclass(frozen=True)
class Grid:
    """`gap` is where a rung's symbol is, by rung index: gap g lies between columns g and g + 1."""

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
        rows: dict[str, list[int]] = {node: [] for node in self.nodes}
        for rung in self.rungs:
            for node in rung.between:
                rows[node].append(self.row[rung.index])
        below = max(self.row.values(), default=-1) + 1
        return {
            node: (min(found, default=below), max(found, default=below))
            for node, found in rows.items()
        }


def grid_of(appliance: Appliance) -> Grid:
    """Place the bars, rungs and links of `appliance`."""
    rungs = rungs_of(appliance)
    ordered, swept = _best_order(appliance.nodes, rungs)
    rows = rows_of(ordered, swept, rungs)
    kept = tuple(poles_of(appliance, rungs, ordered, rows))
    poles: tuple[Pole, ...] | None = None
    while poles != kept:
        poles = kept
        gap = _gaps(ordered, rows, rungs, poles)
        cells = {rung.index: (rows.row[rung.index], gap[rung.index]) for rung in rungs}
        links = links_of(_linked(rungs, cells, poles), cells.values())
        kept = tuple(pole for pole in poles if not _is_passed(pole, rows, links))
    return Grid(
        appliance.nodes,
        rungs,
        ordered.left,
        ordered.right,
        rows.column,
        rows.row,
        gap,
        links,
        kept,
    )


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


def _is_passed(pole: Pole, rows: Rows, links: Links) -> bool:
    """Whether a dashed line would pass over the blade, in a lane above one of its lower rows."""
    top, bottom = (rows.row[pole.rungs[place]] for place in (0, -1))
    for line in (line for link in links.links for line in link.lines):
        for one, two in pairwise(line):
            low, high = sorted((one.gap, two.gap))
            across = None not in (one.lane, two.lane) and one.row == two.row
            if across and top < one.row <= bottom and low <= pole.gap <= high:
                return True
    return False


def _best_order(nodes: Sequence[str], rungs: Sequence[Rung]) -> tuple[BarOrder, Sweep]:
    """PE goes right of N, unless another place for it saves crossings."""
    tried = []
    for sink in ("PE", "N") if "PE" in nodes else ("N",):
        ordered = order(nodes, rungs, sink)
        swept = sweep(ordered, rungs)
        if not swept.crossings:
            return ordered, swept
        tried.append((ordered, swept))
    return min(tried, key=lambda pair: pair[1].crossings)


def _gaps(
    ordered: BarOrder, rows: Rows, rungs: Sequence[Rung], poles: Sequence[Pole]
) -> dict[int, int]:
    """Rungs that span several gaps have their symbol below others of the same switch, or of the
    same kind, or else in the middle; the contacts of one blade are at the bar that they share."""
    gap: dict[int, int] = {index: pole.gap for pole in poles for index in pole.rungs}

    def spanned(rung: Rung) -> range:
        left, right = ordered.left[rung.index], ordered.right[rung.index]
        return range(rows.column[left], rows.column[right])

    free = [rung for rung in rungs if rung.index not in gap]
    for rung in sorted(free, key=lambda rung: (len(spanned(rung)), rows.row[rung.index])):
        choice = spanned(rung)
        middle = (choice[0] + choice[-1]) / 2

        def worth(at: int, rung: Rung = rung, middle: float = middle) -> float:
            there = [other for other in rungs if gap.get(other.index) == at]
            same_switch = rung.kind == "switch" and any(o.part == rung.part for o in there)
            same_kind = any(other.kind == rung.kind for other in there)
            return 4 * same_switch + 2 * same_kind - abs(at - middle)

        gap[rung.index] = max(choice, key=lambda at: (worth(at), at))
    return gap
