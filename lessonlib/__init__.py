"""Heater circuits of small mains appliances, computed from one description.

Reading order, one line a folder. Imports point upward in this list only:

- `errors`      how things go wrong, and what to do next
- `files`       how files are read and written: never waiting, and never half of one
- `words`       lists and counts in a sentence
- `quantities`  how numbers with units are written
- `progress_bar` one line that fills up while somebody waits
- `tables`      one table for terminal, notebook and screen reader
- `palette`     every colour, by its meaning: light, dark, and on paper
- `safety`      the one text of cautions that everything shows
- `page`        the kit of scripts and styles that every widget is built from
- `appliance`   what an appliance is made of, read from TOML and checked once
- `circuit`     what happens in one setting: potentials, currents, powers, live points
- `limits`      published limits with their sources
- `meter`       what a meter shows, and what a reading says about the appliance
- `diagnosis`   which faults agree with all readings, which test is next, which lug is which
- `heat`        what happens over minutes: warming, steam, cycling, boiling dry
- `ratings`     an appliance against the limits, its hazards, and whether a spare part will do
- `schematics`  appliance to schematic, laid out by itself
- `rewiring`    other wirings of the same parts, on paper
- `curves`      pictures of waves and of heating runs
- `panels`      the live picture: flip the switches, and watch it heat
- `sheet`       an appliance on one page, for the bench or the wall
- `families`    several wirings side by side: what changed, what each setting does
- `progress`    what a trainee has done, kept in their folder
- `questions`   predictions, checks and exercises: asked, read, marked and answered
- `worksheets`  exercises for a class: set, handed in, marked, and what to talk about
- `workbench`   describe an appliance of your own, and enter its readings
- `start`       the command that sets up, copies the lessons and opens the workbook

The names below are the front door. Each loads its module when first used, so
that `import lessonlib` costs next to nothing.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lessonlib.appliance.bundled import appliance_names as appliance_names
    from lessonlib.appliance.bundled import load_appliance as load_appliance
    from lessonlib.appliance.fault import Fault as Fault
    from lessonlib.appliance.fault import possible_faults as possible_faults
    from lessonlib.appliance.fault import single_faults as single_faults
    from lessonlib.appliance.reader import read_appliance as read_appliance
    from lessonlib.appliance.variant import variant as variant
    from lessonlib.circuit.solution import solve as solve
    from lessonlib.circuit.solution import solve_all as solve_all
    from lessonlib.circuit.table import state_table as state_table
    from lessonlib.circuit.waveform import waveform as waveform
    from lessonlib.curves.heating import heating_curve as heating_curve
    from lessonlib.curves.power import power_curve as power_curve
    from lessonlib.diagnosis.checked import compare_readings as compare_readings
    from lessonlib.diagnosis.diagnose import diagnose as diagnose
    from lessonlib.diagnosis.lugs import lugs as lugs
    from lessonlib.diagnosis.plan import test_plan as test_plan
    from lessonlib.diagnosis.shows import meter_shows as meter_shows
    from lessonlib.families.family import compare as compare
    from lessonlib.families.family import family as family
    from lessonlib.heat.protection import protections as protections
    from lessonlib.heat.run import heat_up as heat_up
    from lessonlib.heat.story import protection_story as protection_story
    from lessonlib.limits.half_wave import half_wave_allowed as half_wave_allowed
    from lessonlib.meter.earth_tests import earth_continuity as earth_continuity
    from lessonlib.meter.earth_tests import insulation as insulation
    from lessonlib.meter.kinds import meter_kinds as meter_kinds
    from lessonlib.meter.ohm_table import meter_table as meter_table
    from lessonlib.meter.ohmmeter import resistance as resistance
    from lessonlib.meter.readings import CurrentReading as CurrentReading
    from lessonlib.meter.readings import DiodeReading as DiodeReading
    from lessonlib.meter.readings import PowerReading as PowerReading
    from lessonlib.meter.readings import ResistanceReading as ResistanceReading
    from lessonlib.meter.voltmeter import voltages as voltages
    from lessonlib.panels.fault_bench import fault_bench as fault_bench
    from lessonlib.panels.heating import heating_panel as heating_panel
    from lessonlib.panels.widget import panel as panel
    from lessonlib.questions.lessons import lesson_list as lesson_list
    from lessonlib.questions.overview import exercise_list as exercise_list
    from lessonlib.questions.overview import my_progress as my_progress
    from lessonlib.questions.prediction import predict as predict
    from lessonlib.questions.prediction import recall as recall
    from lessonlib.questions.task import check as check
    from lessonlib.questions.task import exercise as exercise
    from lessonlib.ratings.findings import findings as findings
    from lessonlib.ratings.hazards import hazards as hazards
    from lessonlib.ratings.replacement import replacement as replacement
    from lessonlib.rewiring.rewirings import rewirings as rewirings
    from lessonlib.safety import cautions as cautions
    from lessonlib.schematics.schematic import schematic as schematic
    from lessonlib.sheet.sheet import bench_sheet as bench_sheet
    from lessonlib.sheet.sheet import plan_sheet as plan_sheet
    from lessonlib.workbench.description import describe as describe
    from lessonlib.workbench.lug_form import own_lugs as own_lugs
    from lessonlib.workbench.readings import own_readings as own_readings
    from lessonlib.workbench.rewire_form import own_rewirings as own_rewirings
    from lessonlib.workbench.spare_form import own_spare as own_spare
    from lessonlib.worksheets.hand_in import hand_in as hand_in
    from lessonlib.worksheets.marking import mark_worksheet as mark_worksheet
    from lessonlib.worksheets.own import check_questions as check_questions
    from lessonlib.worksheets.setting import set_worksheet as set_worksheet

_FRONT_DOOR = {
    "Fault": "appliance.fault",
    "single_faults": "appliance.fault",
    "possible_faults": "appliance.fault",
    "appliance_names": "appliance.bundled",
    "load_appliance": "appliance.bundled",
    "read_appliance": "appliance.reader",
    "variant": "appliance.variant",
    "solve": "circuit.solution",
    "solve_all": "circuit.solution",
    "state_table": "circuit.table",
    "waveform": "circuit.waveform",
    "resistance": "meter.ohmmeter",
    "earth_continuity": "meter.earth_tests",
    "insulation": "meter.earth_tests",
    "voltages": "meter.voltmeter",
    "meter_kinds": "meter.kinds",
    "meter_table": "meter.ohm_table",
    "diagnose": "diagnosis.diagnose",
    "test_plan": "diagnosis.plan",
    "lugs": "diagnosis.lugs",
    "meter_shows": "diagnosis.shows",
    "heat_up": "heat.run",
    "protections": "heat.protection",
    "protection_story": "heat.story",
    "half_wave_allowed": "limits.half_wave",
    "findings": "ratings.findings",
    "hazards": "ratings.hazards",
    "replacement": "ratings.replacement",
    "rewirings": "rewiring.rewirings",
    "ResistanceReading": "meter.readings",
    "DiodeReading": "meter.readings",
    "PowerReading": "meter.readings",
    "CurrentReading": "meter.readings",
    "compare_readings": "diagnosis.checked",
    "heating_curve": "curves.heating",
    "power_curve": "curves.power",
    "schematic": "schematics.schematic",
    "panel": "panels.widget",
    "heating_panel": "panels.heating",
    "fault_bench": "panels.fault_bench",
    "bench_sheet": "sheet.sheet",
    "plan_sheet": "sheet.sheet",
    "family": "families.family",
    "compare": "families.family",
    "predict": "questions.prediction",
    "recall": "questions.prediction",
    "check": "questions.task",
    "exercise": "questions.task",
    "lesson_list": "questions.lessons",
    "exercise_list": "questions.overview",
    "my_progress": "questions.overview",
    "set_worksheet": "worksheets.setting",
    "hand_in": "worksheets.hand_in",
    "mark_worksheet": "worksheets.marking",
    "check_questions": "worksheets.own",
    "describe": "workbench.description",
    "own_readings": "workbench.readings",
    "own_lugs": "workbench.lug_form",
    "own_spare": "workbench.spare_form",
    "own_rewirings": "workbench.rewire_form",
    "cautions": "safety",
}

__all__ = sorted(_FRONT_DOOR)

__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name not in _FRONT_DOOR:
        raise AttributeError(f"module 'lessonlib' has no attribute {name!r}")
    value = getattr(importlib.import_module(f"lessonlib.{_FRONT_DOOR[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_FRONT_DOOR})
