"""The one table, for notebook, plain text and screen reader."""

from __future__ import annotations

from html import escape


class Table:
    """A table that shows in a notebook and as plain text."""

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
        return "\n".join([self.caption, lines[0], "-" * len(lines[0]), *lines[1:]])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        left = 'style="text-align:left;white-space:nowrap"'
        wraps = 'style="text-align:left;min-width:10em"'
        styles = [*(left for _ in self.header[1:]), wraps]
        head = "".join(
            f'<th scope="col" {style}>{escape(cell)}</th>'
            for cell, style in zip(self.header, styles, strict=True)
        )
        body = []
        for row in self.shown_rows:
            names = "".join(
                f'<th scope="row" {left}>{escape(cell)}</th>' for cell in row[: self._row_headers]
            )
            *values, last = row[self._row_headers :]
            cells = "".join(f"<td {left}>{escape(cell)}</td>" for cell in values)
            body.append(f"<tr>{names}{cells}<td {wraps}>{escape(last)}</td></tr>")
        return (
            '<div style="overflow-x:auto"><table>'
            f'<caption style="text-align:left">{escape(self.caption)}</caption>'
            f"<thead><tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table></div>"
        )
