"""Feedback as text: plain where text is shown, paragraphs in a notebook."""

from __future__ import annotations

from html import escape

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
        items: list[str] = []
        sign = _SIGNS.get(self.verdict, "")

        def close_list() -> None:
            if items:
                blocks.append("<ul>" + "".join(f"<li>{item}</li>" for item in items) + "</ul>")
                items.clear()

        for line in self.splitlines():
            if line.startswith("- "):
                items.append(escape(line[2:]))
            elif line.strip():
                close_list()
                shown_sign = f'<strong aria-hidden="true">{sign}</strong>' if sign else ""
                blocks.append(f"<p>{shown_sign}{escape(line)}</p>")
                sign = ""
        close_list()
        return (
            f'<div role="note" style="{_FRAMES[self.verdict]};padding:0 1em;max-width:46em">'
            + "".join(blocks)
            + "</div>"
        )
