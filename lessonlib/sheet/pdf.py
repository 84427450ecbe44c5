"""Pages as PDF: vector drawing, text that can be selected, tags, and the same bytes every time."""

from __future__ import annotations

from lessonlib.palette import CAUTION, LIGHT
from lessonlib.safety import CAUTIONS, MODEL
from lessonlib.schematics.look import Face
from lessonlib.schematics.text import ASCENT, DESCENT
from lessonlib.sheet import pages
from lessonlib.sheet.grid import SheetTable
from lessonlib.sheet.ink import TaggedPdf
from lessonlib.sheet.measure import lines_of

_SOFT, _LINE, _CAUTION_SOFT = (LIGHT[name] for name in ("soft", "line", "caution-soft"))


def pdf_bytes(sheet: pages.Pages) -> bytes:
    """The whole PDF file."""
    paper = sheet.paper
    subject = f"Bench sheet. {sheet.content.purpose}".strip()
    pen = TaggedPdf(sheet.content.title, subject, paper.width_pt, paper.height_pt)
    with pen.element("Document"):
        for number, pieces in enumerate(sheet.pages, 1):
            if number > 1:
                pen.next_page()
            Page(pen, sheet).draw(pieces, number)
    return pen.finished()


class Page:
    """One page; `y` is how far down it is filled, in points."""

    def __init__(self, pen: TaggedPdf, sheet: pages.Pages) -> None:
        self.pen = pen
        self.sheet = sheet
        self.em = sheet.text_pt
        self.left = pages.MARGIN_PT
        self.right = sheet.paper.width_pt - pages.MARGIN_PT
        self.y = pages.MARGIN_PT

    def draw(self, pieces: tuple[pages.PagePiece, ...], number: int) -> None:
        """All pieces from the top, the line with the page's number at the bottom."""
        foot = self.sheet.paper.height_pt - pages.MARGIN_PT
        for piece in pieces:
            end = self.y + pages.height_of(piece, self.sheet) * self.em
            if piece == "sources":  # sources stand at the bottom of the last page
                self.y += max(0.0, foot - pages.footer_height(self.sheet) * self.em - end)
            self._piece(piece)
            self.y = end
        self.pen.line(self.left, foot - 1.5 * self.em, self.right, foot - 1.5 * self.em)
        with self.pen.artifact():
            words = self.sheet.footer(number)
            at = foot - 0.3 * self.em
            self.pen.text(self.left, at, words, self.sheet.note * self.em)

    def _piece(self, piece: pages.PagePiece) -> None:
        match piece:
            case "head":
                self._head()
            case "cautions":
                self._cautions()
            case pages.DrawingPiece():
                self._picture(piece)
            case pages.TablePiece():
                self.table(piece)
            case pages.Ruled(lines):
                self.heading(pages.NOTES)
                for _ in range(lines):
                    self.y += pages.ENTRY * self.em
                    self.pen.line(self.left, self.y, self.right, self.y)
            case "sources":
                self.y += pages.GAP * self.em
                self.text("P", " ".join(self.sheet.content.sources), font=self.sheet.note)

    def _head(self) -> None:
        content = self.sheet.content
        self.text("H1", content.title, "bold", pages.TITLE, pages.TITLE_LINE / pages.TITLE)
        for line in content.below_title:
            self.text("P", line)
        self.y += pages.ENTRY * self.em
        step = (self.right - self.left) / len(pages.ENTRIES)
        for number, word in enumerate(pages.ENTRIES):
            x = self.left + number * step
            with self.pen.tagged("P"):
                self.pen.text(x, self.y - 0.25 * self.em, word, self.em)
            self.pen.line(x + 3.2 * self.em, self.y, x + step - self.em, self.y)

    def _cautions(self) -> None:
        height = pages.height_of("cautions", self.sheet)
        width = self.right - self.left
        self.pen.box(self.left, self.y, width, height * self.em, _CAUTION_SOFT)
        self.pen.box(self.left, self.y, 0.3 * self.em, height * self.em, CAUTION)
        self.y += pages.BOX * self.em
        inset = pages.BOX_SIDE * self.em
        self.text("P", MODEL, "bold", inset=inset)
        with self.pen.element("L"):
            for line in CAUTIONS:
                with self.pen.element("LI"):
                    at = self.y + ASCENT * self.sheet.note * self.em
                    with self.pen.tagged("Lbl"):
                        self.pen.text(self.left + inset, at, "•", self.sheet.note * self.em)
                    self.text(
                        "LBody",
                        line,
                        font=self.sheet.note,
                        inset=inset,
                        hanging=pages.BULLET * self.em,
                    )

    def _picture(self, piece: pages.DrawingPiece) -> None:
        drawn, drawing = piece.drawn, piece.drawn.schematic.drawing
        self.heading(drawn.heading)
        x = (self.left + self.right - piece.width_px * piece.scale_pt) / 2
        with self.pen.tagged("Figure", alt=drawing.told):
            self.pen.drawing(drawing, x, self.y, piece.scale_pt)
        self.y += piece.height_pt
        self.text("P", drawn.below, "bold")

    def table(self, piece: pages.TablePiece) -> None:
        """A table with its heading and notes."""
        self.heading(piece.heading)
        grid, columns = piece.grid, piece.columns
        top = self.y
        with self.pen.element("Table"):
            self._row(grid, grid.header, columns, head=True)
            for row in grid.rows:
                self._row(grid, row, columns, head=False)
        for index in grid.own:
            for edge in (sum(columns[:index]), sum(columns[: index + 1])):
                x = self.left + edge * self.em
                self.pen.line(x, top, x, self.y, 0.4, _LINE)
        for note in grid.notes:
            self.y += 0.2 * self.em
            self.text("P", note, font=self.sheet.note)

    def _row(
        self, grid: SheetTable, row: tuple[str, ...], columns: tuple[float, ...], *, head: bool
    ) -> None:
        face: Face = "bold" if head else "plain"
        height = pages.row_height(grid, row, columns, face) * self.em
        if head:
            self.pen.box(self.left, self.y, self.right - self.left, height, _SOFT)
        x = self.left
        with self.pen.element("TR"):
            for index, (cell, width) in enumerate(zip(row, columns, strict=True)):
                names = head or grid.names_row(index)
                scope = {"Scope": "Column" if head else "Row"} if names else None
                with self.pen.element("TH" if names else "TD", scope):
                    self._cell(cell, x, width, height, "bold" if names else "plain")
                x += width * self.em
        self.y += height
        self.pen.line(self.left, self.y, self.right, self.y, 0.8 if head else 0.4, _LINE)

    def _cell(self, cell: str, x: float, width: float, height: float, face: Face) -> None:
        if not cell:
            return
        lines = lines_of(cell, width - 2 * pages.CELL_SIDE, face)
        line_pt = pages.LINE * self.em
        y = self.y + (height - len(lines) * line_pt) / 2 + _base(pages.LINE) * self.em
        with self.pen.content():
            for number, line in enumerate(lines):
                at = x + pages.CELL_SIDE * self.em
                self.pen.text(at, y + number * line_pt, line, self.em, face)

    def heading(self, words: str) -> None:
        """A heading, with the space around it."""
        self.y += pages.HEADING_ABOVE * self.em
        self.text("H2", words, "bold", pages.HEADING)
        self.y += pages.HEADING_BELOW * self.em

    def text(
        self,
        kind: str,
        words: str,
        face: Face = "plain",
        font: float = 1.0,
        line: float = pages.LINE,
        *,
        inset: float = 0.0,
        hanging: float = 0.0,
    ) -> None:
        """A paragraph between the margins, `inset` points in on both sides; moves down by it."""
        width = (self.right - self.left - 2 * inset - hanging) / self.em
        with self.pen.tagged(kind):
            for words_of_line in lines_of(words, width / font, face):
                base = self.y + _base(line) * font * self.em
                x = self.left + inset + hanging
                self.pen.text(x, base, words_of_line, font * self.em, face)
                self.y += font * line * self.em


def _base(line: float) -> float:
    """From the top of a line down to its baseline, in font sizes."""
    return (line - ASCENT - DESCENT) / 2 + ASCENT
