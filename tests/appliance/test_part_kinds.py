"""A part of every kind goes all the way: file, circuit, faults, meter, heat, drawing, panel, sheet,
form. A new kind fails here, at the place that does not know it yet."""

from dataclasses import fields

import pytest

from lessonlib import (
    fault_bench,
    heat_up,
    heating_panel,
    meter_table,
    read_appliance,
    schematic,
    single_faults,
    solve,
    solve_all,
)
from lessonlib.appliance.file_text import file_text
from lessonlib.appliance.parts import PART_TYPES, Resistive, SelfActing, Switch
from lessonlib.appliance.schema import PART_KEYS
from lessonlib.circuit.behaviour import ASPECTS, behaviour, same
from lessonlib.panels.data import choices, panel_data
from lessonlib.schematics.captions import description, rating
from lessonlib.schematics.symbols import MARK, symbol
from lessonlib.sheet.limits import Sources, limit_rows
from lessonlib.workbench.fields import form_of

APPLIANCE = """
title = "Bench rig"
supply.voltage_V = 230
[[element]]
name = "E1"
between = ["a", "N"]
power_W = 500
voltage_V = 230
[vessel]
water_kg = 1
heat_capacity_J_per_K = 500
loss_W_per_K = 1.5
sealed = true
[[{kind}]]
"""


def table_of(kind: str) -> dict[str, str]:
    """A value for every key of that kind, from the examples of the format; the part is from L to
    a."""
    found = {name: key.example for name, key in PART_KEYS[kind].items()}
    found |= {"name": '"X1"'} | ({"between": '["L", "a"]'} if "between" in found else {})
    if issubclass(PART_TYPES[kind], Resistive):
        del found["resistance_ohm"]  # its marking says it
    return found | {name: "0.3" for name in found if name.startswith("closes_at")}


@pytest.mark.parametrize("kind", PART_TYPES)
def test_the_format_has_the_fields_of_the_kind(kind):
    usual = {"power_W", "voltage_V"} if PART_TYPES[kind].kind == "link" else set()
    assert {field.name for field in fields(PART_TYPES[kind])} - usual == set(PART_KEYS[kind])
    assert PART_KEYS.keys() == PART_TYPES.keys()


@pytest.mark.parametrize("kind", PART_TYPES)
def test_a_part_of_every_kind_goes_all_the_way(kind):
    lines = [f"{name} = {value}" for name, value in table_of(kind).items()]
    rig = read_appliance(APPLIANCE.format(kind=kind) + "\n".join(lines))
    part = rig.part("X1")
    assert type(part) is PART_TYPES[kind]
    assert read_appliance(file_text(rig)) == rig

    on = {"X1": "on"} if kind == "switch" else {}
    assert solve(rig, on).part["X1"].current_A > 0
    assert len(solve_all(rig, [on], faults=single_faults(rig))) == 4
    assert solve(rig, on, fault=f"X1 {'not making' if part.contacts else 'open'}").power_W == 0
    assert same(behaviour(rig, rig), behaviour(rig, rig), ASPECTS)
    assert meter_table(rig).shown_rows
    assert heat_up(rig, on, minutes=10).temperature_C(600) > 20

    assert kind == "switch" or len(description(part).split(", ")) > 2
    assert kind == "switch" or rating(part)
    for symbols in ("iec", "north american"):
        assert "X1" in schematic(rig, on, symbols=symbols).svg
    assert part.words in schematic(rig, on).svg
    of_panels = (
        panel_data(choices(rig), "", ""),
        heating_panel(rig, minutes=10).table,
        fault_bench(rig, level=3).table,
    )
    for table in of_panels:
        told = {each["name"]: each["kind"] for each in table["parts"]}
        assert told["X1"] == part.words
    marks = {row[0]: row[1] for row in limit_rows(rig, [solve(rig, on)], Sources())}
    assert kind == "switch" or marks[f"X1, {part.words}"].strip(" –")
    assert {field["key"] for field in form_of(kind)["fields"]} == set(PART_KEYS[kind])


@pytest.mark.parametrize("style", ["iec", "north american"])
def test_every_kind_has_a_symbol_of_its_own(style):
    looks = {(symbol(kind, style, "open", False), MARK.get(kind)) for kind in PART_TYPES}
    assert len(looks) == len(PART_TYPES)
    for kind, part_type in PART_TYPES.items():
        as_closed = symbol(kind, style, "closed", False)
        moves = issubclass(part_type, Switch | SelfActing)
        assert (symbol(kind, style, "open", False) != as_closed) == moves, kind
