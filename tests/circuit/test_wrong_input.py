"""Settings, faults, plugs and voltages of the wrong kind are refused in words, wherever given."""

import re

import numpy as np
import pytest

from lessonlib import (
    Fault,
    heat_up,
    load_appliance,
    meter_table,
    panel,
    protections,
    resistance,
    schematic,
    solve,
    solve_all,
    state_table,
)
from lessonlib.circuit.situation import situation
from lessonlib.errors import FaultError, SettingError, SupplyError

STEAMER = load_appliance("garment-steamer")

# One sentence each says what was found, what is accepted, and what to do.
SETTINGS = [
    ("on", 'found the setting .on.; accepted: .*{"S1": "off"}.* Write it that way'),
    (["S1"], "found the setting .*; accepted: "),
    ([], "found the setting .*; accepted: "),
    ({"S1": None}, "no position None. Its positions are: off, on. Use one of these"),
    ({5: "on"}, "no part 5. Its parts are: .* Use one of these"),
    ({"S9": "on"}, "no part 'S9'.*S1, F1, E1"),
    ({"S1": "On"}, "no position 'On'.*off, on"),
    ({"E1": "on"}, "'E1' has no positions.*S1, F1, P1"),
]
FAULTS = [
    (5, 'found the fault 5; accepted: .*"S1 welded".* Write one fault that way'),
    (["E1 open"], "found the fault .*; accepted: "),
    (b"E1 open", "found the fault .*; accepted: "),
    ("", "cannot read the fault ''. Accepted: .* Write it that way"),
    (Fault(5, "open"), "no part 5"),
    (Fault("E1", ["open"]), "E1 cannot be"),
    (Fault("E1", "open", None), "no contact None"),
    (Fault("E1", "open", True), "no contact True"),
    ("E9 open", "no part 'E9'"),
    ("E1", "cannot read the fault 'E1'"),
    ("E1 welded", "E1 cannot be 'welded'. This heating element can be: open, shorted"),
    ("S1 contact 9 welded", "no contact 9.*1 to 1"),
]
VOLTAGES = [0, -230, float("inf"), float("nan"), 10**400, "230 V", "230", True, [230], object()]

TAKERS = {
    "setting": {
        "solve": lambda value: solve(STEAMER, value),
        "solve_all": lambda value: solve_all(STEAMER, [value]),
        "panel": lambda value: panel(STEAMER, value),
        "heat_up": lambda value: heat_up(STEAMER, value, minutes=1),
        "schematic": lambda value: schematic(STEAMER, value),
        "resistance": lambda value: resistance(STEAMER, value, red="L", black="N"),
    },
    "fault": {
        "solve": lambda value: solve(STEAMER, fault=value),
        "solve_all": lambda value: solve_all(STEAMER, faults=[value]),
        "state_table": lambda value: state_table(STEAMER, fault=value),
        "panel": lambda value: panel(STEAMER, faults=[value]),
        "heat_up": lambda value: heat_up(STEAMER, minutes=1, fault=value),
        "schematic": lambda value: schematic(STEAMER, fault=value),
        "meter_table": lambda value: meter_table(STEAMER, fault=value),
        "protections": lambda value: protections(STEAMER, minutes=1, faults=[value]),
    },
    "supply": {
        "solve": lambda supply: solve(STEAMER, **supply),
        "solve_all": lambda supply: solve_all(STEAMER, **supply),
        "state_table": lambda supply: state_table(STEAMER, **supply),
        "heat_up": lambda supply: heat_up(STEAMER, minutes=1, **supply),
        "schematic": lambda supply: schematic(STEAMER, **supply),
    },
}
WRONG = {
    "setting": (SettingError, ["on", {"S1": 5}]),
    "fault": (FaultError, [5, Fault("E1", "open", True)]),
    "supply": (SupplyError, [{"reversed_plug": "no"}, {"supply_voltage_V": "230"}]),
}


@pytest.mark.parametrize(("value", "words"), SETTINGS, ids=repr)
def test_a_setting_of_the_wrong_kind_is_refused(value, words):
    with pytest.raises(SettingError, match=f"(?s){words}"):
        solve(STEAMER, value)


@pytest.mark.parametrize(("value", "words"), FAULTS, ids=repr)
def test_a_fault_of_the_wrong_kind_is_refused(value, words):
    with pytest.raises(FaultError, match=f"(?s){words}"):
        solve(STEAMER, fault=value)


@pytest.mark.parametrize("value", ["no", None, 0, []])
def test_a_reversed_plug_that_is_neither_true_nor_false_is_refused(value):
    words = f"found reversed_plug = {re.escape(repr(value))}; accepted: True or False.* Use True"
    with pytest.raises(SupplyError, match=words):
        solve(STEAMER, reversed_plug=value)


@pytest.mark.parametrize("value", VOLTAGES, ids=lambda each: repr(each)[:12])
def test_an_impossible_supply_voltage_is_refused(value):
    words = r"found supply_voltage_V = .*; accepted: a number from 0\.001 to 1000 V r\.m\.s\. Leave"
    with pytest.raises(SupplyError, match=words):
        solve(STEAMER, supply_voltage_V=value)


@pytest.mark.parametrize(
    ("what", "taker"), [(what, taker) for what, takers in TAKERS.items() for taker in takers]
)
def test_whatever_takes_a_setting_a_fault_or_a_supply_checks_it(what, taker):
    error, values = WRONG[what]
    for value in values:
        with pytest.raises(error):
            TAKERS[what][taker](value)


@pytest.mark.parametrize("volts", [[230, "x"], ["230"], [True]])
def test_an_impossible_voltage_to_choose_in_a_panel_is_refused(volts):
    with pytest.raises(SupplyError, match="found supply_voltage_V = "):
        panel(STEAMER, voltages=volts)


@pytest.mark.parametrize("value", ["E1 open", Fault("E1", "open"), {"S1": "on"}, 5])
def test_settings_and_faults_that_are_not_a_list_are_refused(value):
    with pytest.raises(SettingError, match=r"found settings = .*; accepted: a list .*brackets"):
        solve_all(STEAMER, value)
    with pytest.raises(FaultError, match=r"found faults = .*; accepted: a list .*brackets"):
        solve_all(STEAMER, faults=value)


def test_a_solution_a_run_and_a_drawing_carry_the_same_situation():
    asked = {"reversed_plug": True, "supply_voltage_V": 207, "fault": "P1 welded"}
    now = solve(STEAMER, {"S1": "on"}, **asked)
    wanted = situation(STEAMER, {"S1": "on"}, Fault("P1", "welded"), True, 207.0)
    everyone = [now, heat_up(STEAMER, {"S1": "on"}, minutes=1, **asked)]
    everyone.append(schematic(STEAMER, {"S1": "on"}, **asked).solution)
    assert [each.situation for each in everyone] == [wanted] * 3
    assert (now.appliance, now.setting, now.fault) == (STEAMER, wanted.setting, wanted.fault)
    assert (now.reversed_plug, now.supply_voltage_V) == (True, 207)
    assert wanted.notes == ("207 V", "plug reversed", "fault: P1 welded")


def test_numbers_and_truth_values_of_numpy_are_taken_as_they_are():
    now = solve(STEAMER, reversed_plug=np.True_, supply_voltage_V=np.float32(115))
    assert (now.reversed_plug, now.supply_voltage_V) == (True, 115.0)
    assert solve(STEAMER, supply_voltage_V=np.int64(230)).supply_voltage_V == 230.0
