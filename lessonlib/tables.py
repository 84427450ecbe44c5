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
_BOX = scrolls("var(--jp-layout-color0, var(--hc-paper, Canvas))", _SHADE.format(35))
# rows let the shadow of the box through, which those of a notebook would cover
_ROWS = ("background: none", f"background: {_SHADE.format(5)}")

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
        left = 'style="text-align:left;white-space:nowrap"'
        wraps = 'style="text-align:left;min-width:6em"'

        def fitting(cell: str) -> str:
            return left if len(cell) <= MOST_ON_A_LINE else wraps

        head = "".join(
            f'<th scope="col" {fitting(cell)}>{escape(cell)}</th>' for cell in self.header
        )
        body = []
        for place, row in enumerate(self.shown_rows):
            names = "".join(
                f'<th scope="row" {left}>{escape(cell)}</th>' for cell in row[: self._row_headers]
            )
            cells = "".join(
                f"<td {fitting(cell)}>{escape(cell)}</td>" for cell in row[self._row_headers :]
            )
            body.append(f'<tr style="{_ROWS[place % 2]}">{names}{cells}</tr>')
        above = f"<p>{escape(self.above)}</p>" if self.above else ""
        return (
            f'{above}<div style="{_BOX}"><table>'
            f'<caption style="text-align:left"><span style="{_STAYS}">{escape(self.caption)}</span>'
            "</caption>"
            f"<thead><tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table></div>"
        )
