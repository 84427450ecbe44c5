"""Feedback as text: plain where text is shown, paragraphs in a notebook."""

from __future__ import annotations

from html import escape


class Reply(str):
    """What a learner gets to hear. A `str` whose lines are paragraphs; a line that starts with
    "- " is an item of a list."""

    __slots__ = ()

    def __repr__(self) -> str:
        """The text itself, so that a notebook or a prompt shows it as written."""
        return str(self)

    def _repr_html_(self) -> str:
        """Paragraphs and lists; every character of the text is escaped."""
        blocks: list[str] = []
        items: list[str] = []

        def close_list() -> None:
            if items:
                blocks.append("<ul>" + "".join(f"<li>{item}</li>" for item in items) + "</ul>")
                items.clear()

        for line in self.splitlines():
            if line.startswith("- "):
                items.append(escape(line[2:]))
            elif line.strip():
                close_list()
                blocks.append(f"<p>{escape(line)}</p>")
        close_list()
        return (
            '<div role="note" style="border-left:4px solid #6b7fa3;padding:0 1em;max-width:46em">'
            + "".join(blocks)
            + "</div>"
        )
