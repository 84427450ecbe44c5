"""What the form can show of an appliance at the press of a button, each as HTML or as a widget."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import setting_count
from lessonlib.circuit.table import state_table
from lessonlib.diagnosis.plan import test_plan
from lessonlib.errors import DescriptionError
from lessonlib.meter.ohm_table import meter_table
from lessonlib.panels.fault_bench import fault_bench
from lessonlib.panels.heating import heating_panel
from lessonlib.panels.widget import panel
from lessonlib.sheet.content import MOST_SETTINGS
from lessonlib.sheet.markup import view_html
from lessonlib.sheet.sheet import BenchSheet, bench_sheet, plan_sheet, safety_sheet
from lessonlib.tables import Table
from lessonlib.workbench.beside import BesideForm
from lessonlib.workbench.readings import own_readings
from lessonlib.workbench.rewire_form import own_rewirings
from lessonlib.workbench.safety_page import safety_page
from lessonlib.workbench.spare_form import own_spare


def _table(of: Callable[[Appliance], Table]) -> Callable[[Appliance], str]:
    """A table of every setting as HTML, where these are few enough to be read."""

    def made(appliance: Appliance) -> str:
        count = setting_count(appliance.switches)
        if count > MOST_SETTINGS:
            raise DescriptionError(
                f"Its switches have {count:,} settings together, and a table here holds "
                f"{MOST_SETTINGS}. Look at them one by one in the live picture."
            )
        return of(appliance)._repr_html_()

    return made


def _heating(appliance: Appliance) -> Any:
    if appliance.vessel is None:
        raise DescriptionError(
            "To see it heat up, describe its vessel first: choose “vessel” under “Add a part”, and "
            "give the water in it, the heat capacity of the empty vessel and what it loses."
        )
    return heating_panel(appliance)


Make = Callable[[Appliance], Any]

LOOKS: Mapping[str, tuple[str, Make]] = {
    "live": ("Live picture", panel),
    "settings": ("Every setting", _table(state_table)),
    "ohms": ("What an ohmmeter shows", _table(meter_table)),
    "readings": ("My readings, and the next test", own_readings),
    "plan": ("Plan of tests", lambda appliance: test_plan(appliance)._repr_html_()),
    "hidden": ("Find a hidden fault", fault_bench),
    "ratings": ("Good enough, and safe?", safety_page),
    "spare": ("Will my spare part do?", own_spare),
    "heating": ("Heat it up", _heating),
    "beside": ("Beside my others", BesideForm),
    "rewired": ("Other wirings of its parts", own_rewirings),
    "sheet": ("Page to print", lambda appliance: view_html(bench_sheet(appliance).layout, how="")),
}
"""By name, in the order of their buttons: the words on each, and what makes HTML or a widget."""

PAPERS: Mapping[str, Callable[[Appliance], BenchSheet]] = {
    "sheet": bench_sheet,
    "plan": plan_sheet,
    "ratings": safety_sheet,
}
"""What of it can be printed, by the same names."""
