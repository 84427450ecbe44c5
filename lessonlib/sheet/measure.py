"""How wide text is in the sheet's own font, and where lines break.

The font is DejaVu Sans, which comes with matplotlib. It is wider than the usual sans-serif fonts,
so what fits on a PDF page fits on the same page printed by a browser.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from lessonlib.schematics.look import Face
from lessonlib.schematics.text import in_lines

_FILES: dict[Face, str] = {
    "plain": "DejaVuSans.ttf",
    "bold": "DejaVuSans-Bold.ttf",
    "italic": "DejaVuSans-Oblique.ttf",
}


@lru_cache(maxsize=3)
def font_name(face: Face) -> str:
    """The name under which the PDF library knows the face, registered when first asked for."""
    import matplotlib
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = f"lessonlib-sheets-{face}"
    file = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / _FILES[face]
    pdfmetrics.registerFont(TTFont(name, str(file)))
    return name


@lru_cache(maxsize=8192)
def width_em(text: str, face: Face = "plain") -> float:
    """Width of one line of `text`, in font sizes."""
    from reportlab.pdfbase import pdfmetrics

    return float(pdfmetrics.stringWidth(text, font_name(face), 1.0))


@lru_cache(maxsize=8192)
def lines_of(text: str, most_em: float, face: Face = "plain") -> tuple[str, ...]:
    """`text` in lines no wider than `most_em` font sizes; a word that is wider is broken."""
    return tuple(in_lines(text, most_em, lambda line: width_em(line, face)))


def cut_to(text: str, most_em: float) -> str:
    """`text`, ending in an ellipsis where it would be wider than `most_em` font sizes."""
    if width_em(text) <= most_em:
        return text
    return lines_of(text.replace(" ", "\u00a0"), most_em - width_em("…"))[0].rstrip() + "…"


def column_widths(
    columns: Sequence[Sequence[str]], least_em: Sequence[float], all_em: float
) -> list[float]:
    """Widths in font sizes that add up to `all_em`, for columns given by their cells; none is
    narrower than its `least_em` while there is room."""
    cells = list(zip(columns, least_em, strict=True))
    wish = [max(low, *(width_em(cell, "bold") for cell in column)) for column, low in cells]
    over = all_em - sum(wish)
    if over >= 0:  # in equal shares: a column's text stays near its neighbours'
        return [width + over / len(wish) for width in wish]
    least = [max(low, *(_least(cell) for cell in column)) for column, low in cells]
    room = all_em - sum(least)
    if room <= 0:
        return [width * all_em / sum(least) for width in least]
    more = [most - low for most, low in zip(wish, least, strict=True)]
    return [low + room * part / sum(more) for low, part in zip(least, more, strict=True)]


_STAYS_WHOLE = 12
"""Characters up to which a cell, such as a value with its unit, is not broken."""


def _least(cell: str) -> float:
    if len(cell) <= _STAYS_WHOLE:
        return width_em(cell, "bold")
    return max((width_em(word, "bold") for word in cell.split(" ")), default=0.0)
