"""The front door `own_lugs`: type in what the meter reads between bare lugs, and see what is there.

`lugs.js` draws the form. In plain code, use `lugs`.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations
from typing import Any

import traitlets

from lessonlib.diagnosis.lug_readings import CASE, MOST_LUGS
from lessonlib.diagnosis.lugs import Lugs, lugs
from lessonlib.errors import LessonlibError
from lessonlib.page.join import script
from lessonlib.words import counted
from lessonlib.workbench.own_form import OwnForm, is_open

_START = {"count": 4, "volts": "230", "leads": "", "typed": {}}


class OwnLugs(OwnForm):
    """Readings between lugs as they are typed in. Made by `own_lugs`."""

    _esm = script("workbench/lugs.js")

    most = traitlets.Int(MOST_LUGS).tag(sync=True)
    case = traitlets.Unicode(CASE).tag(sync=True)
    page = traitlets.Unicode(help="What is found as our own HTML, with a sketch.").tag(sync=True)
    file = traitlets.Unicode(help="The start of an appliance file.").tag(sync=True)

    found: Lugs | None = None
    none_yet = "Element block: no readings yet"

    def take(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Read the form: "count" of lugs, "volts", "leads" and the "typed" readings by pair, as
        "1–2"."""
        self.found, self.missing = None, []
        names = [*(str(lug) for lug in range(1, int(given["count"]) + 1)), CASE]
        readings: dict[tuple[str, str], float | None] = {}
        for one, other in combinations(names, 2):
            text = str(given["typed"].get(f"{one}–{other}", "")).strip()
            if not text:
                continue
            ohm = None if is_open(text) else self._number(f"{one}–{other}", text, "Ω")
            if ohm is not None or is_open(text):
                readings[one, other] = ohm
        volts = self._number("Mains voltage", given["volts"], "V")
        leads = self._number("Leads", str(given["leads"]).strip() or "0", "Ω")
        if volts is not None and leads is not None and any(CASE not in pair for pair in readings):
            try:
                self.found = lugs(readings, supply_voltage_V=volts, leads_ohm=leads)
            except LessonlibError as error:
                self.missing.append(str(error))
        if self.found is None:
            return {"reply": "\n".join(self.missing), "page": "", "file": ""}
        said = self.found.contradiction or f"{counted(len(self.found.elements), 'element')}."
        return {
            "reply": "\n".join([*self.missing, said]),
            "page": self.found._repr_html_(),
            "file": self.found.appliance_text,
        }


def own_lugs() -> OwnLugs:
    """A form for readings between the lugs of an element block; the elements show as you type.

    `.found` has them afterwards.
    """
    return OwnLugs("lugs", given=_START)
