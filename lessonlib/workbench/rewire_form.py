"""The front door `own_rewirings`: say what powers are wanted, and see which wirings give them.

`rewire.js` draws the form. A search runs in short turns, each asked for by the browser, so that it
shows how far it is and can be stopped. In plain code, use `rewirings`.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from typing import Any

import traitlets

from lessonlib.appliance.parts import Appliance
from lessonlib.errors import LessonlibError
from lessonlib.page.join import script, style
from lessonlib.questions.reading import Unread
from lessonlib.questions.view import Displayed
from lessonlib.rewiring.given import MOST_PARTS, MOST_POSITIONS, WORDS, stock, wanted_of
from lessonlib.rewiring.page import ON_PAPER, wirings_html
from lessonlib.rewiring.result import Rewirings
from lessonlib.rewiring.steps import Progress, Search
from lessonlib.safety import ONE_LINE
from lessonlib.workbench.fields import read_number

TURN_S = 0.4
"""How long a turn of the search lasts, s."""
_TIMES = (("120", "2 minutes"), ("600", "10 minutes"), ("3600", "an hour"))
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


class OwnRewirings:
    """A search as it is asked for in a form. Made by `own_rewirings`.

    `found` is its result, None before there is one; `missing` says what is wrong with what was
    typed, if anything is. `running` is whether it still goes on.
    """

    def __init__(self, appliance: Appliance | None = None) -> None:
        self.appliance = appliance
        self.found: Rewirings | None = None
        self.missing: tuple[str, ...] = ()
        self.beforehand = ""
        self.progress: Progress | None = None
        self._search: Search | None = None
        self._steps: Iterator[Progress] = iter(())
        self._view: RewireView | None = None

    @property
    def running(self) -> bool:
        """Whether a search has begun and not ended."""
        return self._search is not None

    def begin(self, given: Mapping[str, Any]) -> None:
        """Read the form and begin. Nothing typed is ever evaluated, and no text raises an error."""
        self.found, self._search, self.progress, self.beforehand = None, None, None, ""
        wrong: list[str] = []

        def read(what: str, value: Any) -> Any:
            if isinstance(value, Unread):
                wrong.append(f"{what}: {value.reason}")
            return value

        elements: Any = self.appliance
        if self.appliance is None:
            typed = [str(each).strip() for each in given["elements"]]
            elements = [
                read(f"Element {number}", _element(text))
                for number, text in enumerate(typed, 1)
                if text
            ]
        wanted = [
            read(f"Position {number}", _wanted(str(each).strip()))
            for number, each in enumerate(given["wanted"], 1)
            if str(each).strip()
        ]
        volts = read("Mains voltage", read_number(str(given["volts"]), "V"))
        tolerance = read("Tolerance", read_number(str(given["tolerance"]), "%"))
        fuse_text = str(given["fuse"]).strip()
        fuse = read("Thermal fuse", read_number(fuse_text, "°C")) if fuse_text else None
        self.missing = tuple(wrong)
        if wrong:
            return
        try:
            of = stock(elements, diode=bool(given["diode"]), thermal_fuse_C=fuse,
                       supply_voltage_V=volts, reversible_plug=bool(given["either"]))  # fmt: skip
            search = Search(of, wanted_of(wanted, of, tolerance), float(given["time"]))
            self.beforehand = "" if search.nearest else search.beforehand
        except LessonlibError as error:
            self.missing = (str(error),)
            return
        self._search, self._steps = search, search.steps()

    def go_on(self, seconds: float = TURN_S) -> None:
        """Search on for so long, or to the end."""
        until = time.monotonic() + seconds
        for step in self._steps:
            self.progress = step
            if time.monotonic() > until:
                return
        self.stop()

    def stop(self) -> None:
        """End the search: what was found by now is the result."""
        if self._search is not None:
            self.found, self._search = self._search.result(), None

    def __repr__(self) -> str:
        return "Rewiring on paper: nothing searched yet" if self.found is None else str(self.found)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        if self._view is None:
            self._view = RewireView(self)
        return self._view.bundle(repr(self))


def own_rewirings(appliance: Appliance | None = None) -> OwnRewirings:
    """A form for wirings that give the powers you want, from elements typed in or from the parts of
    an appliance.

    `.found` has them afterwards.
    """
    return OwnRewirings(appliance)


class RewireView(Displayed):
    """Synced state of the form. The browser sets `given` and what to `act` ("begin", "on", "stop"),
    and counts up `asked`; Python sets `heard` to it. While `running`, the browser asks for more."""

    _esm = script("workbench/rewire.js")
    _css = style("workbench/workbench.css", ".hcw")

    on_paper = traitlets.Unicode(ON_PAPER).tag(sync=True)
    caution = traitlets.Unicode(ONE_LINE).tag(sync=True)
    parts = traitlets.Unicode(help="The appliance whose parts are used, or empty.").tag(sync=True)
    most_parts = traitlets.Int(MOST_PARTS).tag(sync=True)
    most_positions = traitlets.Int(MOST_POSITIONS).tag(sync=True)
    times: traitlets.List[Any] = traitlets.List([list(each) for each in _TIMES]).tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    act = traitlets.Unicode().tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    running = traitlets.Bool(False).tag(sync=True)
    share = traitlets.Float(0.0, help="Of the wirings with so many contacts.").tag(sync=True)
    progress = traitlets.Unicode().tag(sync=True)
    reply = traitlets.Unicode(help="For a screen reader.").tag(sync=True)
    page = traitlets.Unicode(help="The result as our own HTML.").tag(sync=True)
    draft = traitlets.Unicode("heater workbook rewiring").tag(sync=True)

    def __init__(self, own: OwnRewirings) -> None:
        title = "" if own.appliance is None else own.appliance.title
        super().__init__(given=dict(_START), parts=title)
        if title:
            self.draft = f"{self.draft} of {title}"
        self._own = own
        self.observe(self._hear, "asked")

    def _hear(self, change: Any) -> None:
        own = self._own
        with self.hold_sync():
            if self.act == "begin":
                own.begin(self.given)
                self.page = ""
            if self.act == "stop":
                own.stop()
            elif own.running:
                own.go_on()
            now = own.progress
            self.running = own.running
            self.share = now.tried / max(now.of, 1) if now else 0.0
            self.progress = str(now) if now and own.running else ""
            if own.found is not None:
                self.page = wirings_html(own.found)
            said = own.beforehand if own.found is None else own.found.headline
            self.reply = "\n".join([*own.missing, said]).strip()
            self.heard = self.asked


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
