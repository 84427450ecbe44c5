"""The front door `own_lugs`: type in what the meter reads between bare lugs, and see what is there.

`lugs.js` draws the form. In plain code, use `lugs`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import combinations
from typing import Any

import traitlets

from lessonlib.diagnosis.lug_readings import CASE, MOST_LUGS
from lessonlib.diagnosis.lugs import Lugs, lugs
from lessonlib.errors import LessonlibError
from lessonlib.page.join import script, style
from lessonlib.questions.answers import Number
from lessonlib.questions.reading import Unread
from lessonlib.questions.view import Displayed
from lessonlib.safety import ONE_LINE
from lessonlib.workbench.fields import read_number

START_LUGS = 4

_START = {"count": START_LUGS, "volts": "230", "leads": "", "typed": {}}


class OwnLugs:
    """Readings between lugs as they are typed into a form. Made by `own_lugs`.

    `found` is what they say, None until there is a reading; `missing` says what is wrong with what
    was typed, if anything is.
    """

    def __init__(self) -> None:
        self.found: Lugs | None = None
        self.missing: tuple[str, ...] = ()
        self._view: LugView | None = None

    def take(self, given: Mapping[str, Any]) -> None:
        """Read the form: "count" of lugs, "volts", "leads" and the "typed" readings by pair, as
        "1–2". Nothing typed is ever evaluated, and no text raises an error."""
        names = [*(str(lug) for lug in range(1, int(given["count"]) + 1)), CASE]
        readings: dict[tuple[str, str], float | None] = {}
        missing = []
        for one, other in combinations(names, 2):
            text = str(given["typed"].get(f"{one}–{other}", "")).strip()
            if not text:
                continue
            ohm = _ohm(text)
            if isinstance(ohm, Unread):
                missing.append(f"{one}–{other}: {ohm.reason}")
            else:
                readings[one, other] = ohm
        volts = read_number(str(given["volts"]), "V")
        leads = read_number(str(given["leads"]).strip() or "0", "Ω")
        for name, value in (("Mains voltage", volts), ("Leads", leads)):
            if isinstance(value, Unread):
                missing.append(f"{name}: {value.reason}")
        self.found, self.missing = None, tuple(missing)
        among = [pair for pair in readings if CASE not in pair]
        if not among or isinstance(volts, Unread) or isinstance(leads, Unread):
            return
        try:
            self.found = lugs(readings, supply_voltage_V=volts, leads_ohm=leads)
        except LessonlibError as error:
            self.missing = (*self.missing, str(error))

    def __repr__(self) -> str:
        return "Element block: no readings yet" if self.found is None else str(self.found)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            self._view = LugView(self)
        return self._view.bundle(repr(self))


def own_lugs() -> OwnLugs:
    """A form for readings between the lugs of an element block; the elements show as you type.

    `.found` has them afterwards.
    """
    return OwnLugs()


class LugView(Displayed):
    """Synced state of the form. The browser keeps `given` up to date and counts up `asked`; Python
    sets `heard` to it once `reply`, `page` and `file` are those to what was given."""

    _esm = script("workbench/lugs.js")
    _css = style("workbench/workbench.css", ".hcw")

    caution = traitlets.Unicode(ONE_LINE).tag(sync=True)
    most = traitlets.Int(MOST_LUGS).tag(sync=True)
    case = traitlets.Unicode(CASE).tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    reply = traitlets.Unicode(help="What the readings say, for a screen reader.").tag(sync=True)
    page = traitlets.Unicode(help="The same as our own HTML, with a sketch.").tag(sync=True)
    file = traitlets.Unicode(help="The start of an appliance file.").tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    draft = traitlets.Unicode("heater workbook lugs").tag(sync=True)

    def __init__(self, own: OwnLugs) -> None:
        super().__init__(given=dict(_START))
        self._own = own
        self.observe(self._read, "asked")

    def _read(self, change: Any) -> None:
        with self.hold_sync():
            self._own.take(self.given)
            found = self._own.found
            said = [*self._own.missing]
            if found is not None:
                count = len(found.elements)
                said.append(found.contradiction or f"{count} element{'' if count == 1 else 's'}.")
            self.reply = "\n".join(said)
            self.page = "" if found is None else found._repr_html_()
            self.file = "" if found is None else found.appliance_text
            self.heard = self.asked


def _ohm(text: str) -> float | Unread | None:
    """Ohms; None where the meter shows an open path."""
    if Number(math.inf, "Ω").read(text) == (math.inf,):
        return None
    return read_number(text, "Ω")
