"""The form for readings, drawn by `readings.js`: passes the rows as typed to `OwnReadings` and
shows what it says of each and of all together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import traitlets

from lessonlib.diagnosis.predicted import unhookable
from lessonlib.meter.expected import LEADS_OHM
from lessonlib.page.join import script, style
from lessonlib.questions.view import Displayed
from lessonlib.safety import ONE_LINE
from lessonlib.workbench.readings import KINDS, METERS, JudgedRow
from lessonlib.workbench.view import draft_name

if TYPE_CHECKING:
    from lessonlib.appliance.parts import Appliance
    from lessonlib.diagnosis.bench_test import BenchTest
    from lessonlib.workbench.readings import OwnReadings

_NOT_SHOWN, _OUT = "not shown yet", "ruled out"
_MOST_SLIPS = 3
_LEADS = (
    f"Leads and contacts may add up to {LEADS_OHM:g} Ω. Touch the leads together: if that does not "
    "read the same, a contact is bad"
)
_SIGNS = {"agrees": "✓", "within the limits": "≈", "off": "✗"}


class ReadingsView(Displayed):
    """Synced state of the form. The browser keeps `given` (rows and meters, as typed, and whether
    to try pairs of faults) up to date and counts up `asked`; Python sets `heard` to it once
    `replies` and `told` are those to the rows."""

    _esm = script("workbench/readings.js")
    _css = style("workbench/workbench.css", ".hcw")

    caution = traitlets.Unicode(ONE_LINE).tag(sync=True)
    title = traitlets.Unicode().tag(sync=True)
    points = traitlets.List(traitlets.Unicode()).tag(sync=True)
    switches = traitlets.List(traitlets.Dict()).tag(sync=True)
    units = traitlets.Dict(help="Unit of each kind of reading.").tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    replies = traitlets.List(traitlets.Dict()).tag(sync=True)
    told = traitlets.Dict(help="What the rows say together, and the next test.").tag(sync=True)
    loose = traitlets.List(traitlets.Unicode(), help="What can be unhooked.").tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    draft = traitlets.Unicode().tag(sync=True)
    progress = traitlets.Unicode(help="How far long work is.").tag(sync=True)

    def __init__(self, readings: OwnReadings) -> None:
        appliance = readings.appliance
        self._readings = readings
        super().__init__(
            title=appliance.title,
            points=list(readings.points),
            loose=list(unhookable(appliance)),
            told=_told(readings),
            switches=[
                {"name": part.name, "positions": list(part.positions), "start": part.start}
                for part in appliance.switches
            ],
            units={name: kind.unit for name, kind in KINDS.items()},
            given={
                "rows": [],
                "pairs": False,
                "meters": {
                    name: {"percent": f"{kind.accuracy_percent:g}", "digits": f"{kind.digits:g}"}
                    for name, kind in METERS.items()
                },
            },
            draft=draft_name(f"readings {appliance.title}"),
        )
        self.observe(self._judge, "asked")

    def _judge(self, change: Any) -> None:
        given = self.given
        self._readings.take(
            given["rows"], given["meters"], pairs=given["pairs"], progress=self._show_progress
        )
        with self.hold_sync():
            self.replies = [_reply_to(row) for row in self._readings.rows]
            self.told = _told(self._readings)
            self.heard = self.asked
            self.progress = ""

    def _show_progress(self, share: float) -> None:
        self.progress = f"Trying two faults together: {100 * share:.0f} % done."


def _reply_to(row: JudgedRow) -> dict[str, Any]:
    if row.checked is None:
        return {"sign": "…", "head": "Not compared yet.", "lines": [row.missing]}
    one = row.checked
    said = f"{one.words}. You read {one.reading.text}; by the file {one.by_the_file}"
    if one.verdict != "agrees" and one.may_be != one.by_the_file:
        said += f", and with nothing wrong {one.may_be}"
    lines = [_LEADS] if one.verdict == "within the limits" and one.usual < LEADS_OHM else []
    lines += [f"{each} would give it too: is that how it was?" for each in one.slips[:_MOST_SLIPS]]
    head = f"{said[0].upper()}{said[1:]}."
    return {"sign": _SIGNS[one.verdict], "head": head, "lines": lines}


def _told(readings: OwnReadings) -> dict[str, Any]:
    """What the readings say: sentences, rows of a verdict and its reason, and folded what is out or
    not shown yet. `test` is the next one as a row; `alone` is that no single fault fits."""
    test = readings.next_test
    told: dict[str, Any] = {
        "said": [f"First test, {test.place}: {test.words}."] if test else [],
        "rows": [],
        "folded": [],
        "test": _row_of(readings.appliance, test) if test else None,
        "alone": False,
    }
    found = readings.diagnosis
    if found is None:
        return told
    told |= {"said": list(found.told), "alone": not any(each.shown for each in found.suspects)}
    folded: dict[str, list[str]] = {_NOT_SHOWN: [], _OUT: []}
    for verdict, text in found.shown_rows:
        if verdict in folded:
            folded[verdict].append(text)
        else:
            told["rows"].append([verdict, text])
    told["folded"] = [[verdict, lines] for verdict, lines in folded.items() if lines]
    return told


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
