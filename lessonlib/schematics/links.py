"""Routes the dashed line that joins the contacts of one switch, over cells of the grid.

It may cross wires, but never a symbol or a text. Straight down where the contacts stand above each
other with nothing between; else down to a lane that the layout keeps free above the row of the
lower one, and along it. A contact that neither way leads to is left without the line: it has the
name of its switch.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

Cell = tuple[int, int]
"""Row and gap; gap g is between the columns g and g + 1."""


@dataclass(frozen=True)
class Corner:
    """A corner of a link in the middle of `gap`: on the rung in `row`, or in a `lane` above that
    row (numbered from 0, upwards)."""

    gap: int
    row: int
    lane: int | None = None


Line = tuple[Corner, ...]


@dataclass(frozen=True)
class Links:
    """The lines by switch, how many lanes the layout must keep free above each row, and the cells
    that a link passes in the middle."""

    lines: Mapping[str, Sequence[Line]]
    lanes: Mapping[int, int]
    passed: frozenset[Cell]
    upward: frozenset[Cell]
    downward: frozenset[Cell]
    """Contacts from which a link leaves upward, and downward."""


def links_of(contacts: Mapping[str, Sequence[Cell]], symbols: Iterable[Cell]) -> Links:
    """Route a link for every part with several contacts."""
    symbols = frozenset(symbols)
    passed: set[Cell] = set()
    lanes: dict[int, list[list[tuple[int, int]]]] = {}
    found: dict[str, list[Line]] = {}
    for part, cells in contacts.items():
        first, *left = sorted(cells)
        joined = [first]
        while left:
            # the contact that costs least to reach
            pairs = [(min(one, two), max(one, two)) for one in joined for two in left]
            ways = [
                (_cost(upper, lower), upper, lower)
                for upper, lower in pairs
                if (symbols | passed).isdisjoint(_between(upper, lower))
            ]
            if not ways:
                joined = [left.pop(0)]
                continue
            _, upper, lower = min(ways)
            passed.update(_between(upper, lower))
            found.setdefault(part, []).append(_line(upper, lower, lanes))
            joined.append(upper if upper in left else lower)
            left.remove(joined[-1])
    lines = [line for each in found.values() for line in each]
    ends = [pair for line in lines for pair in (line[:2], line[:-3:-1])]
    return Links(
        found,
        {row: len(used) for row, used in lanes.items()},
        frozenset(passed),
        # lanes are above their row
        frozenset((end.row, end.gap) for end, near in ends if near.row <= end.row),
        frozenset((end.row, end.gap) for end, near in ends if near.row > end.row),
    )


def _between(upper: Cell, lower: Cell) -> set[Cell]:
    return {(row, upper[1]) for row in range(upper[0] + 1, lower[0])}


def _cost(upper: Cell, lower: Cell) -> int:
    across = abs(lower[1] - upper[1])
    return lower[0] - upper[0] + across + (20 if across else 0)


def _line(upper: Cell, lower: Cell, lanes: dict[int, list[list[tuple[int, int]]]]) -> Line:
    (row_1, gap_1), (row_2, gap_2) = upper, lower
    first, last = Corner(gap_1, row_1), Corner(gap_2, row_2)
    if gap_1 == gap_2:
        return first, last
    low, high = sorted((gap_1, gap_2))
    used = lanes.setdefault(row_2, [])
    lane = 0
    while lane < len(used) and any(low <= end and start <= high for start, end in used[lane]):
        lane += 1
    if lane == len(used):
        used.append([])
    used[lane].append((low, high))
    return first, Corner(gap_1, row_2, lane), Corner(gap_2, row_2, lane), last
