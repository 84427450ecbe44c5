"""A family on paper, as PDF: each member's drawing to one scale with its marks, what has changed in
it beside the drawing, and the table of all settings. Lengths are points, down from the top.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.live import live_words
from lessonlib.circuit.solution import Solution, solve
from lessonlib.families.changes import Change
from lessonlib.families.data import BADGE_PX, TOP_PX, aligned, boxes, cell_of, going
from lessonlib.families.family import NO_CHANGE, Family
from lessonlib.families.settings import Member, powers_words
from lessonlib.palette import CAUTION, LIGHT
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.layout import layout
from lessonlib.schematics.look import Face
from lessonlib.schematics.painter import Drawing
from lessonlib.schematics.places import Box
from lessonlib.sheet.content import Content, tidy
from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.ink import TaggedPdf
from lessonlib.sheet.pages import (
    LEAST_PT,
    LINE,
    MARGIN_PT,
    Pages,
    Paper,
    TablePiece,
    height_of,
    text_height,
)
from lessonlib.sheet.pdf import Page

_TEXT_PT, _TITLE, _LABEL = 7.5, 2.0, 1.3
"""Size of the words, and how much larger title and labels are."""
_LABEL_PX = 12.0
_GAP, _BADGE_PT = 9.0, 18.0
_LEAST_BESIDE = 150.0
"""Least width of words that stand beside their drawing; else they stand below it."""
_MOST_COLUMNS = 7
"""Members in one table; more get another one."""
_HEAT_EM = 6.5
_FOOT = 12.0

Piece = tuple[float, Callable[[float], None]]
"""How high something is, or how far down it stands, and what draws it from there down."""


def family_pdf(family: Family, paper: Paper) -> bytes:
    """The whole file; the same bytes every time."""
    return _FamilyPdf(family, paper).made()


class _FamilyPdf:
    def __init__(self, family: Family, paper: Paper) -> None:
        self.family, self.title = family, tidy(family.title)
        self.pen = TaggedPdf(self.title, "Wirings side by side", paper.width_pt, paper.height_pt)
        self.sheet = Pages(Content(self.title, "", "", "", (), (), ()), paper, _TEXT_PT, ())
        self.width = paper.width_pt - 2 * MARGIN_PT
        self.bottom = paper.height_pt - MARGIN_PT - _FOOT
        self.drawn = aligned([member.appliance for member in family.members], family.matches)
        widest = max(layout(appliance, False).width for appliance in self.drawn)
        self.scale = min(LEAST_PT / _LABEL_PX, self.width / widest)

    def made(self) -> bytes:
        """The file: each piece on the page where it has room, or on a new one."""
        pages: list[list[Piece]] = [[]]
        y = MARGIN_PT
        for height, draw in self._pieces():
            if y + height > self.bottom and pages[-1]:
                pages.append([])
                y = MARGIN_PT
            pages[-1].append((y, draw))
            y += height
        with self.pen.element("Document"):
            for number, pieces in enumerate(pages, 1):
                if number > 1:
                    self.pen.next_page()
                for at, draw in pieces:
                    draw(at)
                with self.pen.artifact():
                    words = f"{self.title}. Page {number} of {len(pages)}."
                    self.pen.text(MARGIN_PT, self.bottom + _FOOT, words, LEAST_PT)
        return self.pen.finished()

    def _pieces(self) -> Iterator[Piece]:
        yield self._paragraph("H1", self.title, _TITLE)
        said = (
            ONE_LINE,
            "Each is drawn at its most heat. A frame has the number of its change; what is dotted "
            "is gone in the next one.",
            *self.family.notes,
        )
        yield from (self._paragraph("P", tidy(words)) for words in said)
        for place, appliance in enumerate(self.drawn):
            yield self._member(place, appliance)
        for first in range(0, len(self.drawn), _MOST_COLUMNS):
            yield from self._table(first)

    def _page(self, y: float, left: float = MARGIN_PT) -> Page:
        """The page from `y` downwards, with another left margin."""
        page = Page(self.pen, self.sheet)
        page.y, page.left = y, left
        return page

    def _height(self, words: str, width: float, size: float = 1.0) -> float:
        return text_height(words, width / _TEXT_PT, _face(size), size) * _TEXT_PT

    def _paragraph(self, kind: str, words: str, size: float = 1.0) -> Piece:
        def draw(y: float) -> None:
            self._page(y).text(kind, words, _face(size), size)

        return self._height(words, self.width, size) + 2, draw

    # --- members ---------------------------------------------------------------------------------
    def _member(self, place: int, appliance: Appliance) -> Piece:
        """A drawing with its marks, and the words beside it or below."""
        member, changes = self.family.members[place], self.family.changes[place]
        label = f"{place + 1}   {tidy(member.label)}"
        now = solve(appliance, _most_heat(member))
        drawing = Drawing(appliance, now, readings=False)
        told = [tidy(words) for words in _told(now, changes, place > 0)]
        drawn = (drawing.foot[1] + TOP_PX) * self.scale
        beside = drawing.place.width * self.scale + _GAP
        if self.width - beside < _LEAST_BESIDE:
            beside = 0.0
        left = beside + _BADGE_PT
        head = self._height(label, self.width - beside, _LABEL) + 2
        heights = [self._height(words, self.width - left) + 2 for words in told]
        said = head + sum(heights)
        above, below = (0.0, 0.0) if beside else (head, drawn)

        def draw(y: float) -> None:
            top = y + above + TOP_PX * self.scale
            self.pen.line(MARGIN_PT, y, MARGIN_PT + self.width, y, 0.5, LIGHT["line"])
            with self.pen.element("Sect"):
                self._page(y + 2, MARGIN_PT + beside).text("H2", label, "bold", _LABEL)
                with self.pen.tagged("Figure", alt=drawing.told):
                    self.pen.drawing(drawing, MARGIN_PT, top, self.scale)
                    self._marks(appliance, place, top)
                y += head + below
                for number, (words, height) in enumerate(zip(told, heights, strict=True)):
                    if 0 < number <= len(changes):
                        middle = y + LINE / 2 * _TEXT_PT
                        with self.pen.tagged("Lbl"):
                            x = MARGIN_PT + beside + _BADGE_PT / 2
                            self._badge(x, middle, number, changes[number - 1].kind)
                    self._page(y, MARGIN_PT + left).text("P", words)
                    y += height

        return (max(drawn, said) if beside else drawn + said) + _GAP / 2, draw

    def _badge(self, x: float, y: float, number: int, kind: str) -> None:
        """As on the page: round for a part, dotted for a setting, square for off and for what a
        stuck contact does; with its middle at (x, y)."""
        canvas, digits = self.pen.canvas, str(number)
        high, wide = 0.62 * _TEXT_PT, (0.3 + 0.32 * len(digits)) * _TEXT_PT
        hazard = kind in ("off", "stuck")
        colour = CAUTION if hazard else LIGHT["focus"]
        canvas.setStrokeColor(colour)
        canvas.setFillColor(LIGHT["paper"])
        canvas.setLineWidth(0.8)
        canvas.setDash([1, 1.5] if kind == "settings" else [])
        corner = (x - wide, self.pen.height_pt - y - high)
        canvas.roundRect(*corner, 2 * wide, 2 * high, 0 if hazard else high, fill=1)
        canvas.setDash([])
        left = x - 0.32 * LEAST_PT * len(digits)
        self.pen.text(left, y + 0.36 * LEAST_PT, digits, LEAST_PT, colour=colour)

    def _marks(self, appliance: Appliance, place: int, y: float) -> None:
        """The frames around what has changed, with their numbers, and around what goes."""
        changes = [*self.family.changes, ()]
        for box in boxes(appliance, going(changes[place + 1]), False):
            self._frame(box, y, LIGHT["quiet"], [1, 2.5])
        for number, change in enumerate(changes[place], 1):
            for box in boxes(appliance, change.parts, False):
                self._frame(box, y, LIGHT["focus"], [4.5, 1.8])
                left, top = max(box.left, BADGE_PX + 1), box.top - 6
                x = MARGIN_PT + left * self.scale
                self._badge(x, y + top * self.scale, number, change.kind)

    def _frame(self, box: Box, y: float, colour: str, dashes: list[float]) -> None:
        canvas, size = self.pen.canvas, self.scale
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(1.1)
        canvas.setDash(dashes)
        left, bottom = MARGIN_PT + box.left * size, self.pen.height_pt - y - box.bottom * size
        width, height = (box.right - box.left) * size, (box.bottom - box.top) * size
        canvas.roundRect(left, bottom, width, height, 3)

    # --- the table -------------------------------------------------------------------------------
    def _table(self, first: int) -> Iterator[Piece]:
        """The settings of some members, in one piece or in as many as need a page each."""
        chosen = slice(first, first + _MOST_COLUMNS)
        members, does = self.family.members[chosen], self.family.settings.does
        header = [f"{n} {tidy(member.label)}" for n, member in enumerate(members, first + 1)]
        rows = [
            (tidy(powers_words(row.powers)), *map(_cell, members, row.by[chosen])) for row in does
        ]
        width = (self.width / _TEXT_PT - _HEAT_EM) / len(members)
        columns = (_HEAT_EM, *[width] * len(members))

        def piece(count: int, continued: bool) -> TablePiece:
            title, some = self.family.settings.caption, tuple(rows[:count])
            return TablePiece(SheetTable(title, ("heat", *header), some), columns, continued)

        def height(count: int) -> float:
            return height_of(piece(count, False), self.sheet) * _TEXT_PT

        while rows:
            room = self.bottom - MARGIN_PT
            count = next((n for n in range(len(rows), 1, -1) if height(n) <= room), 1)
            yield height(count), partial(self._grid, piece(count, len(rows) < len(does)))
            rows = rows[count:]

    def _grid(self, shown: TablePiece, y: float) -> None:
        self._page(y).table(shown)


def _face(size: float) -> Face:
    return "plain" if size == 1 else "bold"


def _told(now: Solution, changes: Sequence[Change], later: bool) -> list[str]:
    """What a drawing does, then what has changed in a `later` member, one paragraph each."""
    does = f"{format_quantity(now.power_W, 'W')}, {format_quantity(now.current_A, 'A')}"
    if now.short is not None:
        does = f"Short circuit: {now.short}"
    live = f"Live ends: {live_words(now.appliance, now.live)}."
    return [f"{does}. {live}", *([change.words for change in changes] or [NO_CHANGE] * later)]


def _cell(member: Member, by: Sequence[int]) -> str:
    told = [f"{how}: {current}; live: {live}" for how, current, live in cell_of(member, by)]
    return tidy("; or ".join(told)) or "not possible"


def _most_heat(member: Member) -> dict[str, str]:
    """The setting of its most heat, short circuits apart."""
    best = max(range(len(member.powers)), key=lambda number: sum(member.powers[number] or ()))
    return dict(member.solutions[best].setting)
