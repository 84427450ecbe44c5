"""The one table, for notebook, plain text and screen reader."""

from __future__ import annotations

from html import escape
from typing import ClassVar

MOST_ON_A_LINE = 16
"""Characters of a cell that are kept together; a longer cell may be parted, so that it fits."""


def scrolls(paper: str, shade: str) -> str:
    """What makes an element a box that scrolls sideways. A shadow at an edge shows that there is
    more; at the end two layers in the colour of the paper cover it."""
    sides = ("left", "right"), ("right", "left")
    covers = [
        f"linear-gradient(to {to}, {paper} 40%, transparent) {side} / 40px 100% local"
        for side, to in sides
    ]
    shadows = [
        f"linear-gradient(to {to}, {shade}, transparent) {side} / 12px 100% scroll"
        for side, to in sides
    ]
    layers = ", ".join((*covers, *shadows))
    return f"overflow-x: auto; background: {layers}; background-repeat: no-repeat"


_SHADE = "color-mix(in srgb, currentColor {}%, transparent)"
PAPER = "var(--jp-layout-color0, var(--hc-paper, Canvas))"
"""What a notebook, or a page of our own, shows behind its text."""

_BOX = scrolls(PAPER, _SHADE.format(35))
# rows let the shadow of the box through, which those of a notebook would cover
_ROWS = ("background: none", f"background: {_SHADE.format(5)}")

# On a phone a column of words leaves the grid: in each row it has a line to itself, below the
# others; with its heading before it where there are several.
_NARROW = """@media (max-width: 40rem) {
table.hc-words { display: grid; grid-auto-flow: dense; margin: 0; }
table.hc-words :is(thead, tbody, tr) { display: contents; }
table.hc-words :is(caption, .hc-long) { grid-column: 1 / -1; }
table.hc-words th[data-heading] { display: none; }
table.hc-words td[data-heading]::before { content: attr(data-heading) ": "; }
table.hc-words td.hc-long { padding-top: 0; }
table.hc-words tr > :last-child { border-bottom: 1px solid currentColor; }
}"""

# in sight where the table scrolls sideways, and no wider than a narrow page
_STAYS = "position:sticky;left:0;display:inline-block;max-width:calc(100vw - 6em)"


class Table:
    """A table that shows in a notebook and as plain text, with `above` in a line before it."""

    above: ClassVar[str] = ""

    @property
    def caption(self) -> str:
        raise NotImplementedError

    @property
    def header(self) -> tuple[str, ...]:
        raise NotImplementedError

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        """Rows as text, with friendly units; as many columns as `header`."""
        raise NotImplementedError

    @property
    def _row_headers(self) -> int:
        """How many leading columns name the row, for a screen reader."""
        return 1

    def __str__(self) -> str:
        rows = [self.header, *self.shown_rows]
        widths = [max(len(row[column]) for row in rows) for column in range(len(self.header))]
        lines = [
            "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in rows
        ]
        above = [self.above] if self.above else []
        return "\n".join([*above, self.caption, lines[0], "-" * len(lines[0]), *lines[1:]])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        header, rows, names = self.header, self.shown_rows, self._row_headers
        columns = list(zip(header, *rows, strict=True))
        long = [
            at >= names and any(len(cell) > MOST_ON_A_LINE for cell in column)
            for at, column in enumerate(columns)
        ]

        def cell(at: int, words: str, tag: str, role: str) -> str:
            style = "white-space:nowrap" if len(words) <= MOST_ON_A_LINE else "min-width:6em"
            scope = {"columnheader": ' scope="col"', "rowheader": ' scope="row"'}.get(role, "")
            apart = ' class="hc-long"' if long[at] else ""
            if long[at] and sum(long) > 1:
                apart += f' data-heading="{escape(header[at])}"'
            return (
                f'<{tag}{scope}{apart} role="{role}" style="text-align:left;{style}">'
                f"{escape(words)}</{tag}>"
            )

        head = "".join(cell(at, words, "th", "columnheader") for at, words in enumerate(header))
        body = []
        for place, row in enumerate(rows):
            cells = "".join(
                cell(at, words, *(("th", "rowheader") if at < names else ("td", "cell")))
                for at, words in enumerate(row)
            )
            body.append(f'<tr role="row" style="{_ROWS[place % 2]}">{cells}</tr>')
        above = f"<p>{escape(self.above)}</p>" if self.above else ""
        return (
            f'{above}<div style="{_BOX}"><style>{_NARROW}</style>'
            f'<table role="table" class="{"hc-words" if any(long) else ""}" '
            f'style="grid-template-columns:repeat({long.count(False)},auto)">'
            f'<caption style="text-align:left"><span style="{_STAYS}">{escape(self.caption)}</span>'
            "</caption>"
            f'<thead><tr role="row">{head}</tr></thead><tbody>{"".join(body)}</tbody></table></div>'
        )
