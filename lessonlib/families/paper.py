"""A family on paper, as PDF: drawings to one scale with their marks, what has changed, the table.

Drawings stand side by side where they fit, with the words below them, or beside one that has a row
to itself. Lengths are points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from lessonlib.circuit.live import live_words
from lessonlib.circuit.solution import Solution, solve
from lessonlib.families.changes import Change
from lessonlib.families.data import BADGE_PX, TOP_PX, aligned, boxes, cell_of, going
from lessonlib.families.family import NO_CHANGE, Family
from lessonlib.families.settings import Member, powers_words
from lessonlib.palette import CAUTION, LIGHT
from lessonlib.quantities import format_quantity
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.captions import finding, summary
from lessonlib.schematics.layout import layout
from lessonlib.schematics.painter import Drawing
from lessonlib.schematics.places import Box
from lessonlib.sheet.content import Content, tidy
from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.ink import TaggedPdf
from lessonlib.sheet.measure import lines_of
from lessonlib.sheet.pages import (
    LEAST_PT,
    LINE,
    MARGIN_PT,
    Pages,
    Paper,
    TablePiece,
    heading_height,
    row_height,
)
from lessonlib.sheet.pdf import Page

_TEXTS_PT = (8.0, 7.5, 7.0)
"""Sizes of the words, tried from the largest; the fewest pages win."""
_TITLE_PT, _LABEL_PT = 15.0, 10.0
_LABEL_PX = 12.0
_INSET, _GAP = 5.0, 6.0
_LEAST_BESIDE = 150.0
"""Least width of words that stand beside their drawing."""
_MOST_COLUMNS = 7
"""Members in one table; more get another one."""
_HEAT_EM = 6.5
_FOOT = 12.0

_Draw = Callable[[float], None]
"""Draws a piece with its upper edge so far down the page."""


def family_pdf(family: Family, paper: Paper) -> bytes:
    """The whole file; the same bytes every time."""
    cards = _cards(family)
    tried = [_FamilyPdf(family, cards, paper, text_pt) for text_pt in _TEXTS_PT]
    return min(tried, key=lambda one: len(one.pages)).made()


def _cards(family: Family) -> list[_Card]:
    drawn = aligned([member.appliance for member in family.members], family.matches)
    changes = [*family.changes, ()]
    return [
        _Card(
            place + 1,
            tidy(member.label),
            solve(appliance, _most_heat(member)),
            changes[place],
            going(changes[place + 1]),
        )
        for place, (member, appliance) in enumerate(zip(family.members, drawn, strict=True))
    ]


@dataclass(frozen=True)
class _Card:
    """A member: its number, the solution that is drawn, what has changed in it, and the parts that
    the next one no longer has."""

    number: int
    label: str
    now: Solution
    changes: tuple[Change, ...]
    goes: list[str]

    @property
    def told(self) -> list[str]:
        """What its drawing does, then what has changed, one paragraph each."""
        now, live = self.now, live_words(self.now.appliance, self.now.live)
        said = f"{format_quantity(now.power_W, 'W')}, {format_quantity(now.current_A, 'A')}"
        if now.short is not None:
            said = f"Short circuit: {now.short}"
        changes = [change.words for change in self.changes] or [NO_CHANGE] * (self.number > 1)
        return [tidy(each) for each in (f"{said}. Live ends: {live}.", *changes)]


class _FamilyPdf:
    def __init__(
        self, family: Family, cards: Sequence[_Card], paper: Paper, text_pt: float
    ) -> None:
        self.family, self.cards, self.em = family, cards, text_pt
        self.height = paper.height_pt
        self.inner = paper.width_pt - 2 * MARGIN_PT
        self.badge = 1.9 * text_pt
        content = Content(family.title, "", "", "", (), (), ())
        size = paper.width_pt, paper.height_pt
        self.pen = TaggedPdf(tidy(family.title), "Wirings side by side", *size)
        self.page = Page(self.pen, Pages(content, paper, text_pt, ()))
        self.small = Page(self.pen, Pages(content, paper, LEAST_PT, ()))
        widest = max(layout(card.now.appliance, False).width for card in cards)
        self.scale = min(LEAST_PT / _LABEL_PX, (self.inner - 2 * _INSET) / widest)
        self.pages = self._laid_out()

    def _laid_out(self) -> list[list[tuple[float, _Draw]]]:
        """By page, how far down each piece begins, and what draws it."""
        pages: list[list[tuple[float, _Draw]]] = [[]]
        y, bottom = MARGIN_PT, self.height - MARGIN_PT - _FOOT
        for height, draw in self._pieces():
            if y + height > bottom and pages[-1]:
                pages.append([])
                y = MARGIN_PT
            pages[-1].append((y, draw))
            y += height
        return pages

    def made(self) -> bytes:
        """The file."""
        with self.pen.element("Document"):
            for number, pieces in enumerate(self.pages, 1):
                if number > 1:
                    self.pen.next_page()
                for at, draw in pieces:
                    draw(at)
                with self.pen.artifact():
                    words = f"{tidy(self.family.title)}. Page {number} of {len(self.pages)}."
                    self.pen.text(MARGIN_PT, self.height - MARGIN_PT, words, LEAST_PT)
        return self.pen.finished()

    def _pieces(self) -> list[tuple[float, _Draw]]:
        found = [
            self._paragraph(tidy(self.family.title), _TITLE_PT, "H1"),
            self._paragraph(ONE_LINE, self.em),
            self._paragraph(
                "Each is drawn at its most heat. A frame has the number of its change; what is "
                "dotted is gone in the next one.",
                self.em,
            ),
            *(self._paragraph(tidy(words), self.em) for words in self.family.notes),
        ]
        found += [self._row(row) for row in self._rows()]
        for first in range(0, len(self.cards), _MOST_COLUMNS):
            found += self._table(first)
        return found

    def _paragraph(self, words: str, size: float, kind: str = "P") -> tuple[float, _Draw]:
        lines = len(lines_of(words, self.inner / size, "bold" if kind == "H1" else "plain"))

        def draw(y: float) -> None:
            self.page.y = y
            self.page.text(kind, words, "bold" if kind == "H1" else "plain", size / self.em)

        return lines * size * LINE + 3, draw

    # --- drawings --------------------------------------------------------------------------------
    def _rows(self) -> list[list[_Card]]:
        """As many drawings in a row as fit."""
        rows: list[list[_Card]] = [[]]
        for card in self.cards:
            room = self.inner - sum(self._least(each) + _GAP for each in rows[-1])
            if rows[-1] and room < self._least(card):
                rows.append([])
            rows[-1].append(card)
        return rows

    def _least(self, card: _Card) -> float:
        return layout(card.now.appliance, False).width * self.scale + 2 * _INSET

    def _drawn(self, card: _Card) -> float:
        """Height of the drawing, with room for the numbers of its marks."""
        foot = layout(card.now.appliance, False).foot(summary(card.now, False))[1]
        return (foot + TOP_PX) * self.scale

    def _row(self, row: Sequence[_Card]) -> tuple[float, _Draw]:
        over = self.inner - sum(map(self._least, row)) - _GAP * (len(row) - 1)
        widths = [self._least(card) + over / len(row) for card in row]
        heights = [self._card_height(card, width) for card, width in zip(row, widths, strict=True)]
        tallest = max(heights)

        def draw(y: float) -> None:
            x = MARGIN_PT
            for card, width in zip(row, widths, strict=True):
                self._card(card, x, y, width, tallest)
                x += width + _GAP

        return tallest + _GAP, draw

    def _beside(self, card: _Card, width: float) -> float:
        """Width of the words beside the drawing; 0 where they stand below it."""
        room = width - self._least(card) - _GAP
        return room if room >= _LEAST_BESIDE else 0.0

    def _card_height(self, card: _Card, width: float) -> float:
        beside = self._beside(card, width)
        words = self._words_height(card, beside or width - 2 * _INSET)
        drawn = self._drawn(card)
        body = max(drawn, words) if beside else drawn + words
        return _LABEL_PT * LINE + body + 2 * _INSET

    def _words_height(self, card: _Card, width: float) -> float:
        lines = [lines_of(each, (width - self.badge) / self.em) for each in card.told]
        return sum(map(len, lines)) * self.em * LINE + 2 * len(lines)

    def _card(self, card: _Card, x: float, y: float, width: float, height: float) -> None:
        pen, canvas = self.pen, self.pen.canvas
        with pen.artifact():
            canvas.setStrokeColor(LIGHT["line"])
            canvas.setLineWidth(0.5)
            canvas.roundRect(x, pen.height_pt - y - height, width, height, 3)
        x, y = x + _INSET, y + _INSET
        with pen.element("Sect"):
            with pen.tagged("H2"):
                base = y + _LABEL_PT
                pen.text(x, base, f"{card.number}   {card.label}", _LABEL_PT, "bold")
            y += _LABEL_PT * LINE
            with pen.tagged("Figure", alt=finding(card.now, False)):
                drawn = Drawing(card.now.appliance, card.now, readings=False)
                pen.drawing(drawn, x, y + TOP_PX * self.scale, self.scale)
                self._marks(card, x, y + TOP_PX * self.scale)
            beside = self._beside(card, width)
            if beside:
                self._words(card, x + self._least(card) - _INSET + _GAP, y, beside)
            else:
                self._words(card, x, y + self._drawn(card), width - 2 * _INSET)

    def _words(self, card: _Card, x: float, y: float, width: float) -> None:
        for number, words in enumerate(card.told):
            numbered = 0 < number <= len(card.changes)
            with self.pen.tagged("P"):
                if numbered:
                    at = x + 0.62 * self.em, y + 0.7 * self.em
                    self._badge(*at, number, card.changes[number - 1].kind)
                for line in lines_of(words, (width - self.badge) / self.em):
                    at_x = x + (self.badge if numbered else 0)
                    self.pen.text(at_x, y + self.em, line, self.em)
                    y += self.em * LINE
            y += 2

    def _badge(self, x: float, y: float, number: int, kind: str) -> None:
        """As on the page: round for a part, dotted for a setting, square for off and for what a
        stuck contact does; with its middle at (x, y)."""
        canvas, radius, up = self.pen.canvas, 0.62 * self.em, self.pen.height_pt - y
        hazard = kind in ("off", "stuck")
        colour = CAUTION if hazard else LIGHT["focus"]
        canvas.setStrokeColor(colour)
        canvas.setFillColor(LIGHT["paper"])
        canvas.setLineWidth(0.8)
        canvas.setDash([1, 1.5] if kind == "settings" else [])
        if hazard:
            canvas.rect(x - radius, up - radius, 2 * radius, 2 * radius, fill=1)
        else:
            canvas.circle(x, up, radius, fill=1)
        left = x - 0.32 * LEAST_PT * len(str(number))
        self.pen.text(left, y + 0.36 * LEAST_PT, str(number), LEAST_PT, colour=colour)

    def _marks(self, card: _Card, x: float, y: float) -> None:
        """The frames around what has changed, with their numbers, and around what goes."""
        for box in boxes(card.now.appliance, card.goes, False):
            self._frame(box, x, y, LIGHT["quiet"], [1, 2.5])
        for number, change in enumerate(card.changes, 1):
            for box in boxes(card.now.appliance, change.parts, False):
                self._frame(box, x, y, LIGHT["focus"], [4.5, 1.8])
                at, top = max(box.left, BADGE_PX + 1), box.top - 6
                self._badge(x + at * self.scale, y + top * self.scale, number, change.kind)

    def _frame(self, box: Box, x: float, y: float, colour: str, dashes: list[float]) -> None:
        canvas, size = self.pen.canvas, self.scale
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(1.1)
        canvas.setDash(dashes)
        left, bottom = x + box.left * size, self.pen.height_pt - y - box.bottom * size
        width, height = (box.right - box.left) * size, (box.bottom - box.top) * size
        canvas.roundRect(left, bottom, width, height, 3)

    # --- the table -------------------------------------------------------------------------------
    def _table(self, first: int) -> list[tuple[float, _Draw]]:
        """The settings of some members, in one piece or in as many as need a page each."""
        family, to = self.family, first + _MOST_COLUMNS
        members = family.members[first:to]
        header = ("heat", *(f"{card.number} {card.label}" for card in self.cards[first:to]))
        rows = [
            (
                tidy(powers_words(row.powers)),
                *(_cell(member, by) for member, by in zip(members, row.by[first:to], strict=True)),
            )
            for row in family.settings.does
        ]
        grid = SheetTable(family.settings.caption, header, tuple(rows))
        width = self.inner / LEAST_PT
        columns = (_HEAT_EM, *[(width - _HEAT_EM) / len(members)] * len(members))
        head = heading_height() + row_height(grid, header, columns, "bold")
        most = (self.height - 2 * MARGIN_PT - _FOOT) / LEAST_PT
        found: list[tuple[float, _Draw]] = []
        while rows:
            tall, count = head, 0
            while count < len(rows) and (not count or tall < most):
                tall += row_height(grid, rows[count], columns)
                count += 1
            if tall > most and count > 1:
                count -= 1
                tall -= row_height(grid, rows[count], columns)
            piece = replace(grid, rows=tuple(rows[:count]))
            found.append((tall * LEAST_PT, self._grid(piece, columns, bool(found))))
            rows = rows[count:]
        return found

    def _grid(self, grid: SheetTable, columns: tuple[float, ...], continued: bool) -> _Draw:
        def draw(y: float) -> None:
            self.small.y = y
            self.small.table(TablePiece(grid, columns, continued))

        return draw


def _cell(member: Member, by: Sequence[int]) -> str:
    told = [f"{how}: {current}; live: {live}" for how, current, live in cell_of(member, by)]
    return tidy("; or ".join(told)) or "not possible"


def _most_heat(member: Member) -> dict[str, str]:
    """The setting of its most heat, short circuits apart."""
    best = max(range(len(member.powers)), key=lambda number: sum(member.powers[number] or ()))
    return dict(member.solutions[best].setting)
