"""Lays content out on the fewest pages, in the largest text that allows, and cuts long tables.

Heights are computed once, in the sheet's own wide font; the PDF and the page that a browser prints
are both made of the pieces laid out here, so that they have the same pages.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from lessonlib.safety import CAUTIONS, MODEL
from lessonlib.schematics.look import Face
from lessonlib.sheet.content import Content, Drawn, tidied
from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.measure import column_widths, cut_to, lines_of, width_em

# Every length in font sizes of the body text ("em") unless its name says otherwise. The style
# sheet has the same numbers.
LINE = 1.25
TITLE, TITLE_LINE = 1.9, 2.2
HEADING, HEADING_ABOVE, HEADING_BELOW = 1.15, 0.9, 0.3
CELL_SIDE, CELL_ABOVE = 0.45, 0.25
OWN_ROW, OWN_WIDTH = 1.9, 7.5
"""Least height of a row, and width of a column, with room for writing by hand."""
NOTE = 0.88
"""Of notes, cautions, sources and footers, as long as that is not below `LEAST_PT`."""
BOX, BOX_SIDE, BULLET = 0.5, 1.0, 1.2
"""Padding of the box of cautions above and beside its text, and how far its items are set in."""
ENTRY = 2.4
"""Height of a line for writing by hand."""
GAP = 0.6

MARGIN_MM = 8
MARGIN_PT = MARGIN_MM / 25.4 * 72
SIZES_PT = (9.0, 8.75, 8.5, 8.25, 8.0, 7.75, 7.5, 7.25, 7.0)
"""Sizes of the body text, tried from the largest."""
LEAST_PT = 7.0
"""The smallest letters on a sheet, save in a drawing that is then wider than a page."""
_LABEL_PX = 12.0
_LEAST_RULED, _MOST_RULED = 2, 6
_WELL_FILLED = 0.8
_SLACK = 0.985
"""Browsers round; the last percent and a half of a page stays empty."""


# The sheet's own words, the same on paper, on screen and for a screen reader.
ENTRIES = ("Date", "Name", "Meter")
NOTES = "Notes"


@dataclass(frozen=True)
class Paper:
    name: str
    width_pt: float
    height_pt: float


PAPERS = {
    "A4": Paper("A4", 210 / 25.4 * 72, 297 / 25.4 * 72),
    "letter": Paper("letter", 612.0, 792.0),
}


@dataclass(frozen=True)
class DrawingPiece:
    """A schematic, `scale_pt` points for each of its pixels."""

    drawn: Drawn
    scale_pt: float

    @property
    def width_px(self) -> float:
        """Its width before that."""
        return self.drawn.schematic.drawing.place.width

    @property
    def height_pt(self) -> float:
        """Its height with the words in its foot."""
        return self.drawn.schematic.drawing.foot[1] * self.scale_pt


@dataclass(frozen=True)
class TablePiece:
    """Rows of a table, with the widths of its columns; `continued` where others are on the page
    before."""

    grid: SheetTable
    columns: tuple[float, ...]
    continued: bool = False

    @property
    def heading(self) -> str:
        return f"{self.grid.title} (continued)" if self.continued else self.grid.title


@dataclass(frozen=True)
class Ruled:
    """Empty lines for notes."""

    lines: int


PagePiece = Literal["head", "cautions", "sources"] | DrawingPiece | TablePiece | Ruled
"""The head is title, purpose, supply, and lines for date, name and meter."""


@dataclass(frozen=True)
class Pages:
    """A sheet laid out: its pieces page by page, and the size of the body text."""

    content: Content
    paper: Paper
    text_pt: float
    pages: tuple[tuple[PagePiece, ...], ...]

    @property
    def width_em(self) -> float:
        """Width between the margins."""
        return (self.paper.width_pt - 2 * MARGIN_PT) / self.text_pt

    @property
    def note(self) -> float:
        """Size of notes and other small print."""
        return max(NOTE, LEAST_PT / self.text_pt)

    @property
    def height_em(self) -> float:
        """Height between the margins."""
        return (self.paper.height_pt - 2 * MARGIN_PT) / self.text_pt

    def footer(self, number: int) -> str:
        """The line at the bottom of a page."""
        title = self.content.title
        safe = title.endswith("?")  # a sheet of another kind has its own title
        before, after = (
            "" if safe else "Bench sheet: ",
            f"{'' if safe else '.'} Page {number} of {len(self.pages)}.",
        )
        room = self.width_em / self.note - width_em(before + after)
        return before + cut_to(title, room) + after


def lay_out(content: Content, paper: Paper) -> Pages:
    """The fewest pages; if possible only the last has much empty space; then the largest text."""
    content = tidied(content)
    tried = [_flow(Pages(content, paper, size_pt, ())) for size_pt in SIZES_PT]
    return min(tried, key=lambda found: (len(found.pages), _gaps(found), -found.text_pt))


def _gaps(sheet: Pages) -> int:
    """How many pages before the last are filled badly."""
    filled = (sum(height_of(piece, sheet) for piece in page) for page in sheet.pages[:-1])
    return sum(height < _WELL_FILLED * sheet.height_em for height in filled)


def _flow(empty: Pages) -> Pages:
    room = empty.height_em * _SLACK - footer_height(empty)
    pages: list[list[PagePiece]] = [[]]
    left = room
    pieces = list(_pieces(empty))
    rest: PagePiece
    while pieces:
        piece = pieces.pop(0)
        height = height_of(piece, empty)
        if height > left:
            first, rest = None, piece
            if isinstance(piece, TablePiece) and height > room:
                first, rest = _cut(piece, left, empty)
            if first is not None or pages[-1]:
                pages[-1] += [first] if first is not None else []
                pages.append([])
                left = room
                pieces.insert(0, rest)
                continue
        pages[-1].append(piece)
        left -= height
    lines = min(_MOST_RULED, int((left - height_of(Ruled(0), empty)) / ENTRY))
    if lines >= _LEAST_RULED:
        pages[-1].insert(-1, Ruled(lines))
    return replace(empty, pages=tuple(map(tuple, pages)))


def _pieces(empty: Pages) -> Iterator[PagePiece]:
    content = empty.content
    yield "head"
    yield "cautions"
    widest_pt = empty.width_em * empty.text_pt
    highest_pt = (0.4 if len(content.drawings) == 1 else 0.2) * empty.height_em * empty.text_pt
    for drawn in content.drawings:
        place = drawn.schematic.drawing.place
        fits = min(empty.text_pt / _LABEL_PX, widest_pt / place.width, highest_pt / place.height)
        scale_pt = min(max(fits, LEAST_PT / _LABEL_PX), widest_pt / place.width)
        yield DrawingPiece(drawn, scale_pt)
    for grid in content.grids:
        yield TablePiece(grid, _columns(grid, empty.width_em))
    yield "sources"


def _columns(grid: SheetTable, width_em: float) -> tuple[float, ...]:
    cells = list(zip(grid.header, *grid.rows, strict=True))
    least = [OWN_WIDTH if index in grid.own else 0.0 for index in range(len(cells))]
    inner = column_widths(cells, least, width_em - 2 * CELL_SIDE * len(cells))
    return tuple(width + 2 * CELL_SIDE for width in inner)


def _cut(table: TablePiece, left: float, sheet: Pages) -> tuple[TablePiece | None, TablePiece]:
    """As many of the table's first rows as have room, or None; and the rest."""
    grid = table.grid
    for count in range(len(grid.rows) - 1, 0, -1):
        first = replace(table, grid=replace(grid, rows=grid.rows[:count], notes=()))
        if height_of(first, sheet) <= left:
            rest = replace(grid, rows=grid.rows[count:])
            return first, replace(table, grid=rest, continued=True)
    return None, table


def height_of(piece: PagePiece, sheet: Pages) -> float:
    """Height of a piece, space around it included, in font sizes."""
    width, content = sheet.width_em, sheet.content
    match piece:
        case "head":
            title = text_height(content.title, width, "bold", TITLE, TITLE_LINE / TITLE)
            said = sum(text_height(line, width) for line in content.below_title)
            return title + said + ENTRY + GAP
        case "cautions":
            inner = width - 2 * BOX_SIDE
            items = sum(text_height(line, inner - BULLET, size=sheet.note) for line in CAUTIONS)
            return text_height(MODEL, inner, "bold") + items + 2 * BOX
        case DrawingPiece(drawn):
            said = text_height(drawn.below, width, "bold")
            lines = text_height(drawn.heading, width, "bold", HEADING)
            heading = HEADING_ABOVE + lines + HEADING_BELOW
            return heading + piece.height_pt / sheet.text_pt + said
        case TablePiece(grid, columns):
            rows = row_height(grid, grid.header, columns, "bold")
            rows += sum(row_height(grid, row, columns) for row in grid.rows)
            notes = sum(text_height(note, width, size=sheet.note) + 0.2 for note in grid.notes)
            return heading_height() + rows + notes
        case Ruled(lines):
            return heading_height() + lines * ENTRY
        case "sources":
            return GAP + text_height(" ".join(content.sources), width, size=sheet.note)


def heading_height() -> float:
    """Of a heading in one line, with the space around it."""
    return HEADING_ABOVE + HEADING * LINE + HEADING_BELOW


def footer_height(sheet: Pages) -> float:
    """Of the line at the bottom of each page."""
    return GAP + sheet.note * LINE


def text_height(
    text: str, width: float, face: Face = "plain", size: float = 1.0, line: float = LINE
) -> float:
    """Of a text that is broken into lines `width` wide; `size` is that of its font."""
    return len(lines_of(text, width / size, face)) * size * line


def row_height(
    grid: SheetTable, row: tuple[str, ...], columns: tuple[float, ...], face: Face = "plain"
) -> float:
    """Of a row of a table; one to be written in is higher."""
    tallest = max(
        text_height(cell, width - 2 * CELL_SIDE, "bold" if grid.names_row(index) else face)
        for index, (cell, width) in enumerate(zip(row, columns, strict=True))
    )
    least = OWN_ROW if grid.own and face == "plain" else 0.0
    return max(tallest + 2 * CELL_ABOVE, least)
