"""How a question and its feedback show: as plain text, and in a notebook."""

from __future__ import annotations

from html import escape
from itertools import groupby
from typing import Any

from lessonlib import palette

WRONG = "Not right yet."
"""How the reply to a wrong answer begins; that to a right one begins with "Right: "."""

# a sign and a shape for each verdict, as in page/exchange.js and kit.css; the words are in the text
_SIGNS = {"right": "✓ ", "wrong": "✗ ", "unread": "? "}
_FRAMES = {
    "right": f"border:3px solid {palette.RIGHT};border-radius:12px",
    "wrong": f"border-left:8px solid {palette.WRONG}",
    "unread": f"border-left:4px dashed {palette.NOTE}",
    "": f"border-left:4px solid {palette.NOTE}",
}


class Reply(str):
    """A reply to a learner: a `str` whose lines are paragraphs; a line that starts with
    "- " is an item of a list. `verdict` is "right", "wrong" or "unread", and empty where nothing
    was judged."""

    verdict: str

    def __new__(cls, text: str, verdict: str = "") -> Reply:
        """A reply with its verdict."""
        reply = super().__new__(cls, text)
        reply.verdict = verdict
        return reply

    def __repr__(self) -> str:
        """The text itself, so that a notebook or a prompt shows it as written."""
        return str(self)

    def _repr_html_(self) -> str:
        """Paragraphs and lists; every character of the text is escaped."""
        blocks: list[str] = []
        lines = filter(str.strip, self.splitlines())
        for is_list, some in groupby(lines, key=lambda line: line.startswith("- ")):
            if is_list:
                items = "".join(f"<li>{escape(line[2:])}</li>" for line in some)
                blocks.append(f"<ul>{items}</ul>")
            else:
                blocks += [f"<p>{escape(line)}</p>" for line in some]
        html = "".join(blocks)
        if sign := _SIGNS.get(self.verdict):
            html = html.replace("<p>", f'<p><strong aria-hidden="true">{sign}</strong>', 1)
        style = f"{_FRAMES[self.verdict]};padding:0 1em;max-width:46em"
        return f'<div role="note" style="{style}">{html}</div>'


class Shown:
    """A question that shows as a widget in a notebook and as its text elsewhere. `_view` is the
    widget once it has been shown: it follows what plain code does."""

    _view: Any = None

    def _new_view(self) -> Any:
        raise NotImplementedError

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            self._view = self._new_view()
        return self._view.bundle(repr(self))
