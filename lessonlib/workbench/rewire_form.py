"""The front door `own_rewirings`: say what powers are wanted, and see which wirings give them.

`rewire.js` draws the form. A search runs in short turns, each asked for by the browser, so that it
shows how far it is and can be stopped. In plain code, use `rewirings`.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import traitlets

from lessonlib.appliance.parts import Appliance
from lessonlib.errors import LessonlibError
from lessonlib.page.join import script
from lessonlib.questions.reading import Unread
from lessonlib.rewiring.given import MOST_PARTS, MOST_POSITIONS, WORDS, stock, wanted_of
from lessonlib.rewiring.page import ON_PAPER, wirings_html
from lessonlib.rewiring.result import Rewirings
from lessonlib.rewiring.steps import Progress, Search
from lessonlib.workbench.fields import read_number
from lessonlib.workbench.own_form import OwnForm

TURN_S = 0.4
"""How long a turn of the search lasts, s."""
_TIMES = [["120", "2 minutes"], ["600", "10 minutes"], ["3600", "an hour"]]
_START = {
    "elements": ["500 W", "1000 W", "", ""],
    "wanted": ["off", "low", "high", "both", ""],
    "volts": "230",
    "either": False,
    "diode": False,
    "fuse": "",
    "tolerance": "5",
    "time": _TIMES[0][0],
}


class OwnRewirings(OwnForm):
    """A search as it is asked for in a form. Made by `own_rewirings`.

    The browser also sets what to `act` ("begin", "on" or "stop"). While the search is `running` it
    asks for more.
    """

    _esm = script("workbench/rewire.js")

    on_paper = traitlets.Unicode(ON_PAPER).tag(sync=True)
    parts = traitlets.Unicode(help="The appliance whose parts are used, or empty.").tag(sync=True)
    most_parts = traitlets.Int(MOST_PARTS).tag(sync=True)
    most_positions = traitlets.Int(MOST_POSITIONS).tag(sync=True)
    times: traitlets.List[Any] = traitlets.List(_TIMES).tag(sync=True)
    act = traitlets.Unicode().tag(sync=True)
    running = traitlets.Bool(False).tag(sync=True)
    share = traitlets.Float(0.0, help="Of the wirings with so many contacts.").tag(sync=True)
    progress = traitlets.Unicode().tag(sync=True)
    page = traitlets.Unicode(help="The result as our own HTML.").tag(sync=True)

    found: Rewirings | None = None
    none_yet = "Rewiring on paper: nothing searched yet"

    def __init__(self, appliance: Appliance | None) -> None:
        self._appliance = appliance
        self._beforehand = ""
        self._search: Search | None = None
        self._steps: Iterator[Progress] = iter(())
        title = "" if appliance is None else appliance.title
        super().__init__(f"rewiring of {title}", given=_START, parts=title)

    def take(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Begin a search for what was given, go on with it, or stop it."""
        shown: dict[str, Any] = {"share": 0.0, "progress": ""}
        if self.act == "begin":
            self.found, self.missing, self._search = None, [], None
            self._beforehand = ""
            try:
                self._begin(given)
            except LessonlibError as error:
                self.missing.append(str(error))
            shown["page"] = ""
        until = time.monotonic() + TURN_S
        while self._search is not None:
            step = None if self.act == "stop" else next(self._steps, None)
            if step is None:
                self.found, self._search = self._search.result(), None
                shown["page"] = wirings_html(self.found)
            elif time.monotonic() > until:
                shown |= {"share": step.tried / max(step.of, 1), "progress": str(step)}
                break
        said = self._beforehand if self.found is None else self.found.headline
        reply = "\n".join([*self.missing, said]).strip()
        return {**shown, "running": self._search is not None, "reply": reply}

    def _begin(self, given: Mapping[str, Any]) -> None:
        """Read the form, and have a search ready if all could be read."""
        elements: Any = self._appliance
        if elements is None:
            elements = [
                self._read(f"Element {number}", _element(text))
                for number, text in _typed(given["elements"])
            ]
        wanted: list[Any] = [
            self._read(f"Position {number}", _wanted(text))
            for number, text in _typed(given["wanted"])
        ]
        volts = self._number("Mains voltage", given["volts"], "V")
        tolerance = self._number("Tolerance", given["tolerance"], "%")
        fuse = str(given["fuse"]).strip()
        fuse_C = self._number("Thermal fuse", fuse, "°C") if fuse else None
        if self.missing or volts is None or tolerance is None:
            return
        of = stock(
            elements,
            diode=bool(given["diode"]),
            thermal_fuse_C=fuse_C,
            supply_voltage_V=volts,
            reversible_plug=bool(given["either"]),
        )
        search = Search(of, wanted_of(wanted, of, tolerance), float(given["time"]))
        self._beforehand = "" if search.nearest else search.beforehand
        self._search, self._steps = search, search.steps()


def own_rewirings(appliance: Appliance | None = None) -> OwnRewirings:
    """A form for wirings that give the powers you want, from elements typed in or from the parts of
    an appliance.

    `.found` has them afterwards.
    """
    return OwnRewirings(appliance)


def _typed(fields: Sequence[object]) -> Iterator[tuple[int, str]]:
    """The fields that are filled in, with their numbers."""
    for number, field in enumerate(fields, 1):
        if text := str(field).strip():
            yield number, text


def _element(text: str) -> Mapping[str, float] | Unread:
    """An element as people write it: "500 W", "1000 W at 240 V", "52.9 Ω"."""
    size, _, marked = text.partition(" at ")
    watts = read_number(size, "W")
    if isinstance(watts, Unread):
        ohms = read_number(size, "Ω")
        return watts if isinstance(ohms, Unread) or marked else {"resistance_ohm": ohms}
    if not marked:
        return {"power_W": watts}
    volts = read_number(marked, "V")
    return volts if isinstance(volts, Unread) else {"power_W": watts, "voltage_V": volts}


def _wanted(text: str) -> str | float | tuple[str, float] | Unread:
    """A wanted power: a word such as "low", "750 W", or with a name, "eco: 300 W"."""
    if text.lower() in WORDS:
        return text.lower()
    name, colon, watts = text.partition(":")
    found = read_number(watts if colon else name, "W")
    if isinstance(found, Unread):
        told = (
            f"{found.reason} Or one of {', '.join(WORDS)}; or a name with watts, as in eco: 300 W."
        )
        return Unread(told)
    return (name.strip(), found) if colon else found
