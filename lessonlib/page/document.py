"""HTML of our own outside of widgets: a page as one file, and a box that scrolls."""

from __future__ import annotations

from string import Template

from lessonlib.tables import scrolls

_DOCUMENT = Template(
    """\
<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>$title</title>
<link rel="icon" href="data:,">
<style>
$style
</style>
</head>
<body class="$kind">
$body
</body>
</html>
"""
)


def document(title: str, style: str, kind: str, body: str) -> str:
    """A whole page, which loads nothing from elsewhere.

    `title` and `body` are HTML already; `kind` is the class of its body.
    """
    return _DOCUMENT.substitute(title=title, style=style, kind=kind, body=body)


def scrolling(selector: str, paper: str, shade: str) -> str:
    """CSS of a box that scrolls sideways, with a shadow at an edge where there is more."""
    return f"{selector} {{ {scrolls(paper, shade)}; }}"
