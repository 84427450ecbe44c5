"""What the forms for one's own readings, lugs, spare part and rewiring have in common.

`typed.js` is its other half in the browser.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, TypeVar

import traitlets

from lessonlib.page.join import style
from lessonlib.questions.answers import Number
from lessonlib.questions.reading import Unread
from lessonlib.questions.view import Displayed
from lessonlib.safety import ONE_LINE
from lessonlib.workbench.fields import read_number

Read = TypeVar("Read")


def is_open(text: str) -> bool:
    """Whether that is how people write what a meter shows of an open path."""
    return Number(math.inf, "Ω").read(text) == (math.inf,)


class WorkbenchForm(Displayed):
    """What every form here has. The browser counts up `asked`, and Python sets `heard` to it once
    all else is what follows. `what` it is a form for names its draft."""

    _css = style("workbench/workbench.css", ".hcw")

    caution = traitlets.Unicode(ONE_LINE).tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    draft = traitlets.Unicode().tag(sync=True)

    def __init__(self, what: str, **state: Any) -> None:
        from IPython import get_ipython

        # the draft names the cell, so that running it again finds it
        request: dict[str, Any] = getattr(get_ipython(), "get_parent", dict)()
        cell = request.get("metadata", {}).get("cellId", "")
        super().__init__(draft=f"heater {what} {cell}", **state)


class OwnForm(WorkbenchForm):
    """A form that answers while somebody types what is `given`.

    `found` is what follows, None until there is something; `missing` says what is wrong with what
    was typed, if anything is.
    """

    given = traitlets.Dict().tag(sync=True)
    reply = traitlets.Unicode(help="For a screen reader.").tag(sync=True)

    found: Any = None
    none_yet = ""
    """Stands for the form in plain text while nothing is found."""

    def __init__(self, what: str, **state: Any) -> None:
        self.missing: list[str] = []
        super().__init__(what, **state)
        self.observe(self._answer, "asked")

    def take(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Read the form; returns what it shows then, by name. Nothing typed is ever evaluated, and
        no text raises an error."""
        raise NotImplementedError

    def _answer(self, change: Any) -> None:
        shown = self.take(self.given)
        with self.hold_sync():
            for name, value in shown.items():
                setattr(self, name, value)
            self.heard = self.asked

    def _read(self, name: str, value: Read | Unread) -> Read | None:
        """The value; None where it could not be read, as `missing` says then."""
        if isinstance(value, Unread):
            self.missing.append(f"{name}: {value.reason}")
            return None
        return value

    def _number(self, name: str, text: object, unit: str) -> float | None:
        """The number in `unit` that was typed into the field of that name."""
        return self._read(name, read_number(str(text), unit))

    def __repr__(self) -> str:
        return self.none_yet if self.found is None else str(self.found)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        return self.bundle(repr(self))
