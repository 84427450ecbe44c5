"""The same wiring with other values."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonlib.appliance.bundled import load_appliance
from lessonlib.appliance.parts import ThermalFuse
from lessonlib.appliance.reader import read_appliance
from lessonlib.appliance.variant import variant
from lessonlib.circuit.solution import solve
from lessonlib.errors import ApplianceError


def test_a_new_power_changes_the_resistance_and_nothing_else() -> None:
    urn = load_appliance("tea-urn")
    other = variant(urn, {"E1": {"power_W": 500}})
    assert other.part("E1").resistance_ohm == 230**2 / 500
    assert [part for part in other.parts if part.name != "E1"] == list(urn.parts[1:])
    assert solve(other).power_W == pytest.approx(500, rel=1e-12)  # float rounding
    assert urn == load_appliance("tea-urn")
    assert urn.source  # and of the other nothing stands in a file
    assert other.source == ""
    lower = variant(urn, {"E1": {"voltage_V": 120, "alloy": "FeCrAl 25/5"}}).part("E1")
    assert (lower.power_W, lower.resistance_ohm, lower.alloy) == (400, 120**2 / 400, "FeCrAl 25/5")
    assert variant(urn, {"E1": {"alloy": "FeCrAl 25/5"}}).part("E1") == replace(
        urn.part("E1"), alloy="FeCrAl 25/5"
    )


def test_a_resistance_takes_the_place_of_the_marking_and_a_marking_of_the_resistance() -> None:
    bare = variant(load_appliance("tea-urn"), {"E1": {"resistance_ohm": 100}})
    part = bare.part("E1")
    assert (part.power_W, part.voltage_V, part.resistance_ohm) == (None, None, 100)
    again = variant(bare, {"E1": {"power_W": 529, "voltage_V": 230}}).part("E1")
    assert (again.power_W, again.voltage_V, again.resistance_ohm) == (529, 230, 100)


def test_half_a_marking_of_a_bare_resistance_is_refused_as_in_the_file() -> None:
    bare = variant(load_appliance("tea-urn"), {"E1": {"resistance_ohm": 100}})
    with pytest.raises(ApplianceError, match="only power_W") as caught:
        variant(bare, {"E1": {"power_W": 529}})
    assert [problem.table for problem in caught.value.problems] == ["[[element]] E1"]


def test_a_link_is_changed_by_length_or_area() -> None:
    corded = read_appliance(
        """
        title = "Corded"
        supply.voltage_V = 230
        element = [{ name = "E1", between = ["a", "N"], power_W = 500, voltage_V = 230 }]
        link = [{ name = "X1", between = ["L", "a"], length_m = 2.9, area_mm2 = 1 }]
        """
    )
    # copper: 1/58 ohm mm2/m, as in the part kinds
    longer = variant(corded, {"X1": {"length_m": 5.8}})
    assert longer.part("X1").resistance_ohm == pytest.approx(0.1, rel=1e-12)  # float rounding


def test_supply_vessel_and_self_acting_parts_can_be_changed() -> None:
    steamer = variant(
        load_appliance("garment-steamer"),
        {
            "supply": {"voltage_V": 207, "reversible_plug": False},
            "vessel": {"water_kg": 2},
            "P1": {"opens_at_bar": 1.5},
            "F1": {"opens_at_C": 150, "rated_A": 16},
        },
    )
    assert (steamer.supply.voltage_V, steamer.supply.reversible_plug) == (207, False)
    assert steamer.vessel is not None
    assert (steamer.vessel.water_kg, steamer.vessel.sealed) == (2, True)
    switch = steamer.part("P1")
    assert switch.opens_at_bar == 1.5
    own = load_appliance("garment-steamer").part("P1")
    assert switch.closes_at_bar == own.closes_at_bar
    assert steamer.part("F1").rated_A == 16


@pytest.mark.parametrize(("key", "value"), [("resettable", True), ("rise_K_per_W", 0.01)])
def test_a_thermal_fuse_on_an_element_is_changed_and_stays_there(key: str, value: object) -> None:
    warmer = load_appliance("punch-warmer")
    (fuse,) = warmer.of_type(ThermalFuse)
    assert getattr(fuse, key) != value
    assert variant(warmer, {fuse.name: {key: value}}).part(fuse.name) == replace(
        fuse, **{key: value}
    )


def test_no_changes_give_the_same_appliance() -> None:
    for name in ("tea-urn", "garment-steamer", "wax-melter"):
        assert variant(load_appliance(name), {}) == load_appliance(name)
        assert variant(load_appliance(name), {"E1": {}}) == load_appliance(name)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"E9": {"power_W": 1}}, "no part of that name"),
        ({"e1": {"power_W": 1}}, 'did you mean "E1"?'),
        ({"vessle": {"water_kg": 1}}, 'did you mean "vessel"?'),
        ({"quux": {}}, "S1, F1, E1, P1, H1, H2, supply, vessel\n    next:     use one of these"),
        ({"a\nb": {}}, "Garment steamer: a\\nb\n"),
        ({"E1": {"powr_W": 1}}, 'did you mean "power_W"?'),
        ({"supply": {"water_kg": 1}}, "an unknown key"),
        ({"vessel": {"water_kg": -1}}, "[vessel]"),
        ({"E1": {"between": ["L", "N"]}}, "an unknown key"),
        ({"E1": {"power_W": -5}}, "a number from 0.001 to 100,000 W"),
        ({"E1": {"power_W": 100, "resistance_ohm": 5}}, "give power_W and voltage_V, or"),
        ({"E1": 900}, 'write it as in {"E1": {"power_W": 900}}'),
        ({"P1": {"closes_at_bar": 0.9}}, "not below opens_at_bar"),
        ({"P1": {"opens_at_bar": 0.4}}, "not below opens_at_bar"),
        # a part with a value that cannot be used is not looked into further
        ({"P1": {"opens_at_bar": "high", "closes_at_bar": 5}}, "'high'"),
        ({"F1": {"placed_on": "E1"}}, "an unknown key"),
        ({"F1": {"rise_K_per_W": 0.03}}, "placed_on and rise_K_per_W together, or neither"),
        ({"F1": {"holds_C": 200}}, "a number below opens_at_C"),
        ({"S1": {"start": "on"}}, "an unknown key"),
        ({5: {}}, "Garment steamer: 5\n"),
    ],
)
def test_a_change_that_is_not_possible_is_reported(
    changes: dict[str, dict[str, object]], said: str
) -> None:
    with pytest.raises(ApplianceError) as caught:
        variant(load_appliance("garment-steamer"), changes)
    assert said in str(caught.value)
    assert "Garment steamer" in str(caught.value)
    assert len(caught.value.problems) == 1


def test_a_changed_value_is_held_against_those_that_stay() -> None:
    steamer = variant(load_appliance("garment-steamer"), {"F1": {"holds_C": 170}})
    with pytest.raises(ApplianceError, match="170, not below opens_at_C = 160"):
        variant(steamer, {"F1": {"opens_at_C": 160}})


def test_everything_wrong_is_reported_together() -> None:
    with pytest.raises(ApplianceError) as caught:
        variant(load_appliance("tea-urn"), {"E1": {"power_W": 0}, "E7": {}, "E2": {"volts": 1}})
    assert len(caught.value.problems) == 3
