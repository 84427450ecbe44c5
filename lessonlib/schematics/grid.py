"""Bars, rungs and links on a grid of columns and rows, before anything is measured in pixels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from lessonlib.appliance.parts import Appliance
from lessonlib.schematics.links import Cell, Links, links_of
from lessonlib.schematics.order import BarOrder, order
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

    @property
    def columns(self) -> int:
        """Number of columns."""
        return max(self.column.values()) + 1

    @property
    def rows(self) -> int:
        """Number of rows."""
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
    gap = _gaps(ordered, rows, rungs)
    contacts: dict[str, list[Cell]] = {}
    for rung in rungs:
        if rung.kind == "switch":
            contacts.setdefault(rung.part, []).append((rows.row[rung.index], gap[rung.index]))
    cells = [(rows.row[rung.index], gap[rung.index]) for rung in rungs]
    return Grid(
        appliance.nodes,
        rungs,
        ordered.left,
        ordered.right,
        rows.column,
        rows.row,
        gap,
        links_of(contacts, cells),
    )


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


def _gaps(ordered: BarOrder, rows: Rows, rungs: Sequence[Rung]) -> dict[int, int]:
    """Rungs that span several gaps have their symbol below others of the same switch, or of the
    same kind, or else in the middle."""
    gap: dict[int, int] = {}

    def spanned(rung: Rung) -> range:
        left, right = ordered.left[rung.index], ordered.right[rung.index]
        return range(rows.column[left], rows.column[right])

    for rung in sorted(rungs, key=lambda rung: (len(spanned(rung)), rows.row[rung.index])):
        choice = spanned(rung)
        middle = (choice[0] + choice[-1]) / 2

        def worth(at: int, rung: Rung = rung, middle: float = middle) -> float:
            there = [other for other in rungs if gap.get(other.index) == at]
            same_switch = rung.kind == "switch" and any(o.part == rung.part for o in there)
            same_kind = any(other.kind == rung.kind for other in there)
            return 4 * same_switch + 2 * same_kind - abs(at - middle)

        gap[rung.index] = max(choice, key=lambda at: (worth(at), at))
    return gap
