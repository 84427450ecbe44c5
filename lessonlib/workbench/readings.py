"""The front door `own_readings`: type in your own meter readings, and see at once what they say
together and which test to do next.

Only what may be measured can be entered: resistance and the diode range on the unplugged appliance,
and power or current of the whole appliance on an energy meter at the plug. In plain code, use
`diagnose`. `readings.js` draws the form.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import traitlets

from lessonlib.appliance.parts import TERMINALS, Appliance
from lessonlib.appliance.terminals import metalwork, plug_fuse
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.bench_test import BenchTest
from lessonlib.diagnosis.checked import Checked
from lessonlib.diagnosis.diagnose import diagnose
from lessonlib.diagnosis.plan import Step, test_plan
from lessonlib.diagnosis.predicted import unhookable
from lessonlib.diagnosis.suspects import Diagnosis
from lessonlib.diagnosis.typed import Reading
from lessonlib.errors import LessonlibError, ReadingError, shown
from lessonlib.meter.readings import PlugReading, ResistanceReading
from lessonlib.page.join import script
from lessonlib.workbench.own_form import OwnForm
from lessonlib.workbench.reading_rows import KINDS, judged_row, reply_to

_METERS: Mapping[str, type[ResistanceReading] | type[PlugReading]] = {
    "ohmmeter": ResistanceReading,
    "energy meter": PlugReading,
}
"""The two meters, each with the kind of reading that has its usual accuracy."""

_FOLDED = ("not shown yet", "ruled out")


class OwnReadings(OwnForm):
    """Readings of one appliance as they are typed in. Made by `own_readings`.

    `given` has the "rows" and the accuracies of the "meters" as typed, and whether to try "pairs"
    of faults. `found` is what the readings say together, None until one
    is complete; `readings` are those that are.
    """

    _esm = script("workbench/readings.js")

    title = traitlets.Unicode().tag(sync=True)
    points = traitlets.List(traitlets.Unicode(), help="Where a lead can go.").tag(sync=True)
    loose = traitlets.List(traitlets.Unicode(), help="What can be unhooked.").tag(sync=True)
    switches = traitlets.List(traitlets.Dict()).tag(sync=True)
    units = traitlets.Dict(help="Unit of each kind of reading.").tag(sync=True)
    replies = traitlets.List(traitlets.Dict()).tag(sync=True)
    told = traitlets.Dict(help="What the rows say together, and the next test.").tag(sync=True)

    found: Diagnosis | None = None

    def __init__(self, appliance: Appliance) -> None:
        self.appliance = appliance
        self.readings: tuple[Reading, ...] = ()
        self.none_yet = f"{appliance.title}: no readings yet"
        known = points(appliance)
        first = (*TERMINALS, *appliance.nodes, metalwork(appliance), plug_fuse(appliance))
        meters = {
            name: {"percent": f"{kind.accuracy_percent:g}", "digits": f"{kind.digits:g}"}
            for name, kind in _METERS.items()
        }
        super().__init__(
            f"readings {appliance.title}",
            title=appliance.title,
            points=list(dict.fromkeys([*filter(known.__contains__, first), *known])),
            loose=list(unhookable(appliance)),
            told=self._told(),
            switches=[
                {"name": part.name, "positions": list(part.positions), "start": part.start}
                for part in appliance.switches
            ],
            units={name: kind.unit for name, (kind, _) in KINDS.items()},
            given={"rows": [], "pairs": False, "meters": meters},
        )

    @property
    def next_test(self) -> BenchTest | None:
        """The test to do next; with no readings yet, the first of the plan."""
        if self.found is not None:
            return self.found.next_test
        try:
            root = test_plan(self.appliance).root
        except LessonlibError:  # too many switches to try them all
            return None
        return root.test if isinstance(root, Step) else None

    def take(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """Judge the rows as typed, each by itself and all together."""
        rows = [judged_row(self.appliance, row, given["meters"]) for row in given["rows"]]
        self.readings = tuple(row.reading for row in rows if isinstance(row, Checked))
        self.found = None
        if self.readings:
            self.found = diagnose(
                self.appliance, self.readings, pairs=given["pairs"], progress=self._show_progress
            )
        return {"replies": [*map(reply_to, rows)], "told": self._told(), "reply": ""}

    def _show_progress(self, share: float) -> None:
        self.reply = f"Trying two faults together: {100 * share:.0f} % done."

    def _told(self) -> dict[str, Any]:
        """What the readings say: sentences, rows of a verdict and its reason, and folded what is
        out or not shown yet. `test` is the next one as a row; `alone` is that no single fault
        fits."""
        test, found = self.next_test, self.found
        following = _row_of(self.appliance, test) if test else None
        if found is None:
            said = [f"First test, {test.place}: {test.words}."] if test else []
            return {"said": said, "rows": [], "folded": [], "test": following, "alone": False}
        rows = found.shown_rows
        folded = {each: [text for verdict, text in rows if verdict == each] for each in _FOLDED}
        return {
            "said": list(found.told),
            "rows": [[verdict, text] for verdict, text in rows if verdict not in _FOLDED],
            "folded": [[verdict, lines] for verdict, lines in folded.items() if lines],
            "test": following,
            "alone": not any(each.shown for each in found.suspects),
        }


def own_readings(appliance: Appliance) -> OwnReadings:
    """A form for readings of your own: what they say together, and which test to do next.

    `.readings` has them afterwards, `.found` what they say. Raises `ReadingError` for anything
    but an appliance.
    """
    if not isinstance(appliance, Appliance):
        raise ReadingError(
            f"found {shown(appliance)}. Accepted: an appliance, as load_appliance gives it or as "
            "describe(...).appliance. Give one of these."
        )
    return OwnReadings(appliance)


def _row_of(appliance: Appliance, test: BenchTest) -> dict[str, Any]:
    """The test as a row of the form, ready for its number."""
    return {
        "kind": "diode" if test.diode_range else "resistance",
        "red": test.red,
        "black": test.black,
        "unhooked": test.unhooked,
        "setting": {part.name: test.setting[part.name] for part in appliance.switches},
        "shown": "",
        "volts": "",
    }
