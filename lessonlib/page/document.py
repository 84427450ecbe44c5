"""HTML of our own outside of widgets: a page as one file, and a box that scrolls."""

from __future__ import annotations

from string import Template

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
    """CSS of a box that scrolls sideways. A shadow at an edge shows that there is more; at the end
    two layers in the colour of the paper cover it."""
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
    return f"{selector} {{ overflow-x: auto; background: {layers}; background-repeat: no-repeat; }}"
