"""Joins an ES module, or a style, with all that it imports into one text.

Our scripts are plain ES modules that import each other, but a widget takes one text, and a saved
page may fetch nothing. So each imported module becomes a function in front of the module that needs
it, once; nothing has to be built or served.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from lessonlib.palette import css_variables

PACKAGE = Path(__file__).resolve().parents[1]
IMPORT = re.compile(r'^import (\{[^}]*\}) from "([^"]+)";$', re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:function\*?|class|const) (\w+))", re.MULTILINE)
_IMPORTED = re.compile(r'^@import "([^"]+)";$', re.MULTILINE)


@cache
def script(name: str) -> str:
    """The module `name`, such as "panels/panel.js", behind the modules that it needs."""
    needed: dict[Path, str] = {}
    main = _bound(PACKAGE / name, needed)
    return "\n".join((*needed.values(), main))


def _bound(path: Path, needed: dict[Path, str]) -> str:
    """The text of a module that takes its imports from the functions put into `needed`."""

    def bind(found: re.Match[str]) -> str:
        other = (path.parent / found[2]).resolve()
        name = "_".join(other.relative_to(PACKAGE).with_suffix("").parts)
        if other not in needed:
            text = _bound(other, needed)
            exports = ", ".join(EXPORT.findall(text))
            inside = EXPORT.sub("", text)
            needed[other] = f"const {name} = (() => {{\n{inside}\nreturn {{ {exports} }};\n}})();"
        return f"const {found[1]} = {name};"

    return IMPORT.sub(bind, path.read_text("utf-8"))


def style(name: str, selector: str, *, own_paper: bool = False) -> str:
    """The style `name`, such as "panels/panel.css", behind those that it imports. What `selector`
    matches gets the colours of the palette (`css_variables`)."""
    return css_variables(selector, own_paper=own_paper) + _sheet(PACKAGE / name)


@cache
def _sheet(path: Path) -> str:
    return _IMPORTED.sub(
        lambda found: _sheet((path.parent / found[1]).resolve()), path.read_text("utf-8")
    )
