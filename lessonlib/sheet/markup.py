"""Pages as HTML: a standalone page that a browser prints as laid out, and a view for a notebook."""

from __future__ import annotations

from functools import lru_cache
from html import escape
from pathlib import Path
from string import Template

from lessonlib.page.document import document, scrolling
from lessonlib.palette import LIGHT, declarations
from lessonlib.safety import CAUTIONS, MODEL
from lessonlib.schematics.text import xml
from lessonlib.sheet import pages
from lessonlib.words import counted

_VIEW = Template(
    """\
<div class="hc-sheet-view"><style>
$style
</style>
<p>Bench sheet, $pages, as it will be printed$how.</p>
<div class="hc-sheet-frame" tabindex="0" role="region" aria-label="$title">
$sheet
</div></div>"""
)

_HOW = ': save it with <code>.save("sheet.pdf")</code> or <code>.save("sheet.html")</code>'


@lru_cache(maxsize=1)
def style_sheet() -> str:
    """The sheet's CSS with its colours: those of paper, in a dark notebook too."""
    colours = f":is(.hc-sheet-alone, .hc-sheet-frame) {{ {declarations(LIGHT)} }}\n"
    wide = ":is(.hc-sheet-picture, .hc-sheet-wide)"
    boxes = scrolling(wide, "var(--hc-paper)", "var(--hc-shade)")
    colours += f"@media screen {{ {boxes} }}\n"
    return colours + (Path(__file__).parent / "sheet.css").read_text("utf-8").strip()


def page_html(sheet: pages.Pages) -> str:
    """The whole standalone page; it loads nothing from elsewhere."""
    title = xml(f"{sheet.content.title}: bench sheet")
    paper = f"@page {{ size: {sheet.paper.name}; margin: {pages.MARGIN_MM}mm; }}\n"
    body = f"<main>\n{_sheet(sheet)}\n</main>"
    return document(title, paper + style_sheet(), "hc-sheet-alone", body)


def view_html(sheet: pages.Pages, how: str = _HOW) -> str:
    """The sheet in a box that scrolls, for the output of a notebook's cell. `how` says as HTML how
    to save it."""
    return _VIEW.substitute(
        title=xml(f"Bench sheet: {sheet.content.title}"),
        pages=pages_words(sheet),
        how=how,
        style=style_sheet(),
        sheet=_sheet(sheet),
    )


def pages_words(sheet: pages.Pages) -> str:
    """Paper and number of pages in words."""
    return f"{sheet.paper.name}, {counted(len(sheet.pages), 'page')}"


def _sheet(sheet: pages.Pages) -> str:
    height_em = sheet.height_em - 0.1  # a browser's rounding must not start another page
    style = f"--text:{sheet.text_pt:g}pt;--height:{height_em:.2f}em"
    sections = []
    for number, pieces in enumerate(sheet.pages, 1):
        body = "\n".join(_piece(piece, sheet) for piece in pieces)
        foot = f"<footer>{xml(sheet.footer(number))}</footer>"
        sections.append(f'<section class="hc-sheet-page">\n{body}\n{foot}\n</section>')
    return f'<article class="hc-sheet" style="{style}">\n' + "\n".join(sections) + "\n</article>"


def _piece(piece: pages.PagePiece, sheet: pages.Pages) -> str:
    content = sheet.content
    match piece:
        case "head":
            entries = "".join(f"<span>{word}<i></i></span>" for word in pages.ENTRIES)
            said = "".join(f"<p>{xml(line)}</p>" for line in content.below_title)
            return (
                f"<header><h1>{xml(content.title)}</h1>{said}"
                f'<div class="hc-sheet-entries">{entries}</div></header>'
            )
        case "cautions":
            items = "".join(f"<li>{escape(line)}</li>" for line in CAUTIONS)
            return (
                f'<div class="hc-sheet-cautions" role="note"><p><b>{escape(MODEL)}</b></p>'
                f"<ul>{items}</ul></div>"
            )
        case pages.DrawingPiece(drawn, scale_pt):
            width_em = piece.width_px * scale_pt / sheet.text_pt
            return (
                f"<h2>{xml(drawn.heading)}</h2>"
                '<div class="hc-sheet-picture" '
                f'style="--width:{width_em:.2f}em;--drawn:{piece.width_px:.0f}px">'
                f'{drawn.schematic.svg}</div><p class="hc-sheet-start">{xml(drawn.below)}</p>'
            )
        case pages.TablePiece():
            return _table(piece)
        case pages.Ruled(lines):
            return f'<h2>{pages.NOTES}</h2><div class="hc-sheet-ruled">{"<i></i>" * lines}</div>'
        case "sources":
            return f'<p class="hc-sheet-small">{xml(" ".join(content.sources))}</p>'


def _table(piece: pages.TablePiece) -> str:
    grid, title = piece.grid, piece.heading
    share = 100 / sum(piece.columns)
    widths = "".join(f'<col style="--share:{width * share:.2f}%">' for width in piece.columns)
    head = "".join(f'<th scope="col">{xml(cell)}</th>' for cell in grid.header)
    rows = []
    for row in grid.rows:
        cells = []
        for index, cell in enumerate(row):
            if grid.names_row(index):
                cells.append(f'<th scope="row">{xml(cell)}</th>')
            else:
                own = ' class="hc-sheet-own"' if index in grid.own else ""
                cells.append(f"<td{own}>{xml(cell)}</td>")
        rows.append(f"<tr>{''.join(cells)}</tr>")
    notes = "".join(f'<p class="hc-sheet-note">{xml(note)}</p>' for note in grid.notes)
    kind = ' class="hc-sheet-write"' if grid.own else ""
    return (
        f"<h2>{xml(title)}</h2>"
        f'<div class="hc-sheet-wide"><table{kind} aria-label="{xml(title)}">'
        f"<colgroup>{widths}</colgroup>"
        f"<thead><tr>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table></div>{notes}"
    )
