"""Draws on PDF pages: text, lines and the schematic, and the tags for a screen reader.

reportlab draws but does not tag. The tags are made here as the PDF format has them (ISO 32000-1,
14.7 and 14.8): a tree of elements, each with the numbers of its marked pieces of a page, and for
each page a list from these numbers back to the elements.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from lessonlib.palette import INK
from lessonlib.schematics.ink_pen import InkPen
from lessonlib.schematics.look import Face, Stroke
from lessonlib.schematics.painter import Drawing, paint
from lessonlib.schematics.symbols import Point
from lessonlib.sheet.measure import font_name


@dataclass(frozen=True, eq=False)
class _Element:
    """An element of the document's structure: its kind, its PDF object, and what is in it."""

    kind: str
    node: Any
    kids: list[Any] = field(default_factory=list)


class TaggedPdf:
    """A PDF drawn page by page; y counts downwards from the top, lengths are points."""

    def __init__(self, title: str, subject: str, width_pt: float, height_pt: float) -> None:
        from reportlab.pdfbase import pdfdoc
        from reportlab.pdfgen.canvas import Canvas

        self._pdf = pdfdoc
        self._file = io.BytesIO()
        self.height_pt = height_pt
        # invariant: no time stamp, so that the same sheet gives the same bytes
        self.canvas: Any = Canvas(
            self._file,
            pagesize=(width_pt, height_pt),
            invariant=1,
            pageCompression=1,
            lang="en",
            initialFontName=font_name("plain"),
            pdfVersion=(1, 7),
        )
        self.canvas.setTitle(title)
        self.canvas.setSubject(subject)
        self.canvas.setAuthor("")
        self.canvas.setCreator("")
        self.canvas.setViewerPreference("DisplayDocTitle", "true")
        root = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("StructTreeRoot")})
        self._elements = [_Element("StructTreeRoot", root)]
        self._open = [self._elements[0]]
        self._marked: list[list[_Element]] = [[]]

    def text(
        self, x: float, y: float, words: str, size: float, face: Face = "plain", colour: str = INK
    ) -> None:
        """One line with its baseline at `y`."""
        self.canvas.setFillColor(colour)
        self.canvas.setFont(font_name(face), size)
        self.canvas.drawString(x, self.height_pt - y, words)

    def line(
        self,
        x: float,
        y: float,
        to_x: float,
        to_y: float,
        width: float = 0.5,
        colour: str = INK,
    ) -> None:
        """A line that means nothing to a screen reader."""
        with self.artifact():
            self.canvas.setStrokeColor(colour)
            self.canvas.setLineWidth(width)
            self.canvas.line(x, self.height_pt - y, to_x, self.height_pt - to_y)

    def box(self, x: float, y: float, width: float, height: float, colour: str) -> None:
        """A filled rectangle from its upper left corner."""
        with self.artifact():
            self.canvas.setFillColor(colour)
            self.canvas.rect(x, self.height_pt - y - height, width, height, stroke=0, fill=1)

    def drawing(self, drawing: Drawing, x: float, y: float, scale_pt: float) -> None:
        """A schematic with its upper left corner at (x, y), a pixel `scale_pt` points large."""
        self.canvas.saveState()
        self.canvas.translate(x, self.height_pt - y)
        self.canvas.scale(scale_pt, scale_pt)
        paint(_SchematicPen(self.canvas), drawing)
        self.canvas.restoreState()

    @contextmanager
    def artifact(self) -> Iterator[None]:
        """What is drawn here is decoration."""
        self.canvas.addLiteral("/Artifact BMC")
        yield
        self.canvas.addLiteral("EMC")

    @contextmanager
    def element(self, kind: str, attributes: Mapping[str, str] | None = None) -> Iterator[None]:
        """An element of the document's structure, such as Table or TR; elements within it are its
        children. `attributes` are those of a table cell."""
        made = self._element(kind)
        if attributes:
            names = {key: self._pdf.PDFName(value) for key, value in attributes.items()}
            made.node["A"] = self._pdf.PDFDictionary({"O": self._pdf.PDFName("Table"), **names})
        self._open.append(made)
        yield
        self._open.pop()

    @contextmanager
    def tagged(self, kind: str, alt: str = "") -> Iterator[None]:
        """An element with what is drawn here as its content; `alt` says it in words."""
        made = self._element(kind)
        if alt:
            made.node["Alt"] = self._pdf.PDFString(alt)
        self._open.append(made)
        with self.content():
            yield
        self._open.pop()

    @contextmanager
    def content(self) -> Iterator[None]:
        """What is drawn here belongs to the element that is open."""
        owner, marked = self._open[-1], self._marked[-1]
        number = len(marked)
        marked.append(owner)
        owner.node["Pg"] = self.canvas._doc.thisPageRef()
        owner.kids.append(number)
        self.canvas.addLiteral(f"/{owner.kind} <</MCID {number}>> BDC")
        yield
        self.canvas.addLiteral("EMC")

    def _element(self, kind: str) -> _Element:
        document, parent = self.canvas._doc, self._open[-1]
        node = self._pdf.PDFDictionary(
            {
                "Type": self._pdf.PDFName("StructElem"),
                "S": self._pdf.PDFName(kind),
                "P": document.Reference(parent.node),
            }
        )
        parent.kids.append(document.Reference(node))
        made = _Element(kind, node)
        self._elements.append(made)
        return made

    def next_page(self) -> None:
        self.canvas.showPage()
        self._marked.append([])

    def finished(self) -> bytes:
        """The whole file."""
        document, pdf = self.canvas._doc, self._pdf
        self.canvas.showPage()
        for element in self._elements:
            element.node["K"] = pdf.PDFArray(element.kids)
        lists: list[Any] = []
        for number, marked in enumerate(self._marked):
            page = document.idToObject[f"Page{number + 1}"]
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents = number
            page.Tabs = pdf.PDFName("S")
            owners = [document.Reference(element.node) for element in marked]
            lists += [number, pdf.PDFArray(owners)]
        root = self._elements[0].node
        root["ParentTree"] = document.Reference(pdf.PDFDictionary({"Nums": pdf.PDFArray(lists)}))
        root["ParentTreeNextKey"] = len(self._marked)
        document.Catalog.StructTreeRoot = root
        document.Catalog.MarkInfo = pdf.PDFDictionary({"Marked": "true"})
        self.canvas.save()
        return self._file.getvalue()


class _SchematicPen(InkPen):
    def __init__(self, canvas: Any) -> None:
        super().__init__()
        self._canvas = canvas

    def line(self, points: Sequence[Point], colour: str, stroke: Stroke) -> None:
        canvas = self._canvas
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(stroke.width)
        canvas.setLineCap(1 if stroke.round_ends else 0)
        canvas.setLineJoin(1)
        canvas.setDash(list(stroke.dashes))
        path = canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        canvas.drawPath(path, stroke=1, fill=0)

    def disc(self, centre: Point, radius: float, colour: str, width: float) -> None:
        canvas = self._canvas
        canvas.setDash([])
        canvas.setStrokeColor(colour)
        canvas.setFillColor(colour)
        canvas.setLineWidth(width)
        canvas.circle(*centre, radius, stroke=int(width > 0), fill=int(width == 0))

    def words(
        self, at: Point, text: str, colour: str, face: Face, size: float, middle: bool
    ) -> None:
        canvas = self._canvas
        canvas.setFillColor(colour)
        canvas.setFont(font_name(face), size)
        put = canvas.drawCentredString if middle else canvas.drawString
        put(*at, text)
