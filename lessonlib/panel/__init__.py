"""The live picture: flip the switches in the drawing, read every value beside its part.

- `data`      pure: what the browser gets, every setting computed beforehand
- `widget`    the front door `panel`: the picture, plain controls beside it, state as traits
- `export`    one self-contained HTML file of a panel, for a phone or a stick
- `panel.js`  shows the picture and looks rows up; the same file in a notebook and in the export
- `panel.css` its look, light and dark; `page.html` is the frame of the export
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any


class _Package(ModuleType):
    """This package and the front door's `panel` share a name: once the package is imported,
    `lessonlib.panel` is the package, so the package can be called as well."""

    def __call__(self, *arguments: Any, **options: Any) -> Any:
        from lessonlib.panel.widget import panel

        return panel(*arguments, **options)


sys.modules[__name__].__class__ = _Package
