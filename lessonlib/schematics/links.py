"""Routes the dashed line that joins the contacts of one switch, over cells of the grid.

It may cross wires, but never a symbol or a text. Straight down where the contacts stand above each
other with nothing between; else through lanes that the layout keeps free: one above each row, and
one at the right of each gap between two columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

Cell = tuple[int, int]
"""Row and gap; gap g is between the columns g and g + 1."""


@dataclass(frozen=True)
class Corner:
    """A corner of a link. Across: in the middle of `gap`, or in its `strip` (numbered from 0).
    Down: on the rung in `row`, or in a `lane` above that row (numbered from 0, upwards)."""

    gap: int
    row: int
    strip: int | None = None
    lane: int | None = None


@dataclass(frozen=True)
class LinkRoute:
    """The lines that join the contacts of one switch, each as its corners."""

    part: str
    lines: tuple[tuple[Corner, ...], ...]


@dataclass(frozen=True)
class Links:
    """All links, how many lanes the layout must keep free above each row and in each gap, and the
    cells that a link passes in the middle."""

    links: tuple[LinkRoute, ...]
    lanes: Mapping[int, int]
    strips: Mapping[int, int]
    passed: tuple[Cell, ...]
    upward: frozenset[Cell]
    downward: frozenset[Cell]
    """Contacts from which a link leaves upward, and downward."""


def links_of(contacts: Mapping[str, Sequence[Cell]], symbols: Iterable[Cell]) -> Links:
    """Route a link for every part with several contacts."""
    router = _Router(set(symbols))
    found = [
        LinkRoute(part, tuple(router.join(sorted(cells))))
        for part, cells in contacts.items()
        if len(cells) > 1
    ]
    ends = [pair for link in found for line in link.lines for pair in (line[:2], line[:-3:-1])]
    return Links(
        tuple(found),
        router.count("across"),
        router.count("strip"),
        tuple(sorted(router.passed)),
        frozenset((end.row, end.gap) for end, near in ends if not _below(near, end)),
        frozenset((end.row, end.gap) for end, near in ends if _below(near, end)),
    )


def _below(near: Corner, end: Corner) -> bool:
    """Whether a corner is below a contact; lanes are above their row."""
    return near.row > end.row


class _Router:
    def __init__(self, taken: set[Cell]) -> None:
        self.taken = taken
        self.passed: set[Cell] = set()
        self.used: dict[tuple[str, int], list[list[tuple[int, int]]]] = {}

    def count(self, way: str) -> dict[int, int]:
        """Lanes in use, by row or gap."""
        return {at: len(lanes) for (kind, at), lanes in self.used.items() if kind == way}

    def join(self, cells: list[Cell]) -> list[tuple[Corner, ...]]:
        """Join the contact that costs least to reach, until none is left."""
        joined, left = [cells[0]], cells[1:]
        lines: list[tuple[Corner, ...]] = []
        while left:
            _, one, two = min(
                (self._cost(min(a, b), max(a, b)), a, b) for a in joined for b in left
            )
            lines.append(tuple(self._route(min(one, two), max(one, two))))
            joined.append(two)
            left.remove(two)
        return lines

    def _free(self, gap: int, rows: range) -> bool:
        return all((row, gap) not in self.taken for row in rows)

    def _cost(self, upper: Cell, lower: Cell) -> int:
        (row_1, gap_1), (row_2, gap_2) = upper, lower
        distance = row_2 - row_1 + abs(gap_2 - gap_1)
        if gap_1 == gap_2 and self._free(gap_1, range(row_1 + 1, row_2)):
            return distance
        if row_1 == row_2 or self._free(gap_1, range(row_1 + 1, row_2)):
            return 20 + distance
        return 60 + distance

    def _route(self, upper: Cell, lower: Cell) -> list[Corner]:
        (row_1, gap_1), (row_2, gap_2) = upper, lower
        first, last = Corner(gap_1, row_1), Corner(gap_2, row_2)
        between = range(row_1 + 1, row_2)
        if row_1 == row_2 or (gap_1 != gap_2 and self._free(gap_1, between)):
            # down to the lane above the lower row, and along it
            self._take(gap_1, between)
            lane = self._lane("across", row_2, gap_1, gap_2)
            return [first, Corner(gap_1, row_2, lane=lane), Corner(gap_2, row_2, lane=lane), last]
        if self._free(gap_1, between):
            self._take(gap_1, between)
            return [first, last]
        # out to a strip, down there, and back
        at = min(gap_1, gap_2)
        strip = self._lane("strip", at, row_1, row_2)
        above = self._lane("across", row_1, gap_1, at)
        below = self._lane("across", row_2, at, gap_2)
        return [
            first,
            Corner(gap_1, row_1, lane=above),
            Corner(at, row_1, strip, above),
            Corner(at, row_2, strip, below),
            Corner(gap_2, row_2, lane=below),
            last,
        ]

    def _take(self, gap: int, rows: range) -> None:
        cells = {(row, gap) for row in rows}
        self.taken |= cells
        self.passed |= cells

    def _lane(self, way: str, at: int, start: int, stop: int) -> int:
        """The first lane that is free all the way."""
        low, high = min(start, stop), max(start, stop)
        lanes = self.used.setdefault((way, at), [])
        for number, spans in enumerate(lanes):
            if all(high < other_low or other_high < low for other_low, other_high in spans):
                spans.append((low, high))
                return number
        lanes.append([(low, high)])
        return len(lanes) - 1
