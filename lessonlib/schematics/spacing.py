"""Sets columns and rows so far apart that nothing overlaps."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lessonlib.schematics.grid import Grid
from lessonlib.schematics.links import Corner
from lessonlib.schematics.places import Box, RungPlace
from lessonlib.schematics.symbols import EARTH_PX

_LEAD_PX = 9.0
_CLEAR_PX = 5.0
_LANE_PX = 9.0
_ROW_CLEAR_PX = 10.0
_LABEL_UP_PX = 48.0
_EMPTY_GAP_HALF_PX = 20.0
_LINK_HALF_PX = 4.0
MARGIN_PX = 6.0


@dataclass(frozen=True)
class Spacing:
    """`x` by column, `middle` by gap (where symbols are), `y` by row; `lane` is the lowest lane
    above each row."""

    x: tuple[float, ...]
    middle: tuple[float, ...]
    y: tuple[float, ...]
    lane: tuple[float, ...]
    bottom: float

    def corner(self, corner: Corner) -> tuple[float, float]:
        """A corner of a link in pixels."""
        x, y = self.middle[corner.gap], self.y[corner.row]
        if corner.lane is not None:
            y = self.lane[corner.row] - _LANE_PX * corner.lane
        return x, y


def spacing_of(grid: Grid, rungs: Mapping[int, RungPlace], labels: Mapping[str, float]) -> Spacing:
    """The least spacing that keeps everything clear. `rungs` are drawn around (0, 0); `labels`
    gives the width of each node's text."""
    label = {(grid.span[node][0], grid.column[node]): width for node, width in labels.items()}
    contents = _contents(grid, rungs)
    earth = grid.span.get("PE", (0, -1))[1]
    widths = dict(label)
    if earth >= 0:  # a symbol hangs on the end of that bar
        hung = (earth, grid.column["PE"])
        widths[hung] = max(widths.get(hung, 0.0), EARTH_PX)
    first = max((width for (_, column), width in label.items() if column == 0), default=0.0)
    x, middle = [MARGIN_PX + first / 2], []
    for gap in range(grid.columns - 1):
        left = right = _EMPTY_GAP_HALF_PX
        for row in range(grid.rows):
            before = widths.get((row, gap), 0.0) / 2
            after = widths.get((row, gap + 1), 0.0) / 2
            left, right = max(left, before + _CLEAR_PX), max(right, after + _CLEAR_PX)
            for box, at_label in contents.get((row, gap), ()):
                beside_label = at_label or row == earth
                left = max(left, (before if beside_label else 0.0) + _CLEAR_PX - box.left)
                right = max(right, (after if beside_label else 0.0) + _CLEAR_PX + box.right)
        middle.append(x[-1] + left)
        x.append(middle[-1] + right)
    y: list[float] = []
    lane: list[float] = []
    edge = MARGIN_PX
    for row in range(grid.rows):
        edge += _LANE_PX * grid.links.lanes.get(row, 0)
        boxes = [box for gap in range(grid.columns) for box, _ in contents.get((row, gap), ())]
        up = max([_LABEL_UP_PX * any(r == row for r, _ in label), *(-box.top for box in boxes)])
        lane.append(edge - _LANE_PX / 2)
        y.append(edge + up)
        hangs = 12.0 + EARTH_PX * (row == earth)
        edge = y[-1] + max([hangs, *(box.bottom for box in boxes)]) + _ROW_CLEAR_PX
    return Spacing(tuple(x), tuple(middle), tuple(y), tuple(lane), edge - _ROW_CLEAR_PX)


def _contents(
    grid: Grid, rungs: Mapping[int, RungPlace]
) -> dict[tuple[int, int], list[tuple[Box, bool]]]:
    """By row and gap: boxes around (0, 0), and whether they stand at the height of node labels."""
    found: dict[tuple[int, int], list[tuple[Box, bool]]] = {}
    for index, place in rungs.items():
        found[grid.row[index], grid.gap[index]] = list(_boxes(place))
    for cell in grid.links.passed:
        found.setdefault(cell, []).append((Box(-_LINK_HALF_PX, 0, _LINK_HALF_PX, 0), True))
    return found


def _boxes(place: RungPlace) -> Iterator[tuple[Box, bool]]:
    body, *above = place.symbol
    yield Box(body.left - _LEAD_PX, body.top, body.right + _LEAD_PX, body.bottom), False
    for box in above:
        yield box, True
    yield place.name.box, True
    yield place.detail.box, True
    if place.kind == "switch":
        yield place.reach, True
    for line in place.readings:
        yield line.box, False
