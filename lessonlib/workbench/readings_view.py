"""The form for readings, drawn by `readings.js`: passes the rows as typed to `OwnReadings` and
shows its verdicts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import traitlets

from lessonlib.page.join import script, style
from lessonlib.questions.view import Displayed
from lessonlib.safety import ONE_LINE
from lessonlib.workbench.readings import KINDS, METERS, JudgedRow
from lessonlib.workbench.view import draft_name

if TYPE_CHECKING:
    from lessonlib.workbench.readings import OwnReadings

_SIGNS = {"agrees": "✓", "within the limits": "≈", "off": "✗"}


class ReadingsView(Displayed):
    """Synced state of the form. The browser keeps `given` (rows and meters, as typed) up to date
    and counts up `asked`; Python sets `heard` to it once `replies` are those to the rows."""

    _esm = script("workbench/readings.js")
    _css = style("workbench/workbench.css", ".hcw")

    caution = traitlets.Unicode(ONE_LINE).tag(sync=True)
    title = traitlets.Unicode().tag(sync=True)
    points = traitlets.List(traitlets.Unicode()).tag(sync=True)
    switches = traitlets.List(traitlets.Dict()).tag(sync=True)
    units = traitlets.Dict(help="Unit of each kind of reading.").tag(sync=True)
    given = traitlets.Dict().tag(sync=True)
    replies = traitlets.List(traitlets.Dict()).tag(sync=True)
    asked = traitlets.Int(0).tag(sync=True)
    heard = traitlets.Int(0).tag(sync=True)
    draft = traitlets.Unicode().tag(sync=True)

    def __init__(self, readings: OwnReadings) -> None:
        appliance = readings.appliance
        self._readings = readings
        super().__init__(
            title=appliance.title,
            points=list(readings.points),
            switches=[
                {"name": part.name, "positions": list(part.positions), "start": part.start}
                for part in appliance.switches
            ],
            units={name: kind.unit for name, kind in KINDS.items()},
            given={
                "rows": [],
                "meters": {
                    name: {"percent": f"{kind.accuracy_percent:g}", "digits": f"{kind.digits:g}"}
                    for name, kind in METERS.items()
                },
            },
            draft=draft_name(f"readings {appliance.title}"),
        )
        self.observe(self._judge, "asked")

    def _judge(self, change: Any) -> None:
        with self.hold_sync():
            self._readings.take(self.given["rows"], self.given["meters"])
            self.replies = [_reply_to(row) for row in self._readings.rows]
            self.heard = self.asked


def _reply_to(row: JudgedRow) -> dict[str, Any]:
    if row.agreement is None:
        return {"sign": "…", "head": "Not compared yet.", "lines": [row.missing]}
    one = row.agreement
    head = f"{one.words}. You read {one.reading.text}; the file gives {one.expected.text}."
    sign = _SIGNS[one.verdict]
    return {"sign": sign, "head": head[0].upper() + head[1:], "lines": list(one.meaning)}
