"""A text that can be read is no sound appliance: what it does at its worst is said."""

from __future__ import annotations

import pytest

from lessonlib import appliance_names, load_appliance
from lessonlib.workbench.soundness import remarks
from tests.networks import contact, element, rig


def said(*parts: str, volts: float = 230, turned: bool = False) -> list[str]:
    return [str(each) for each in remarks(rig("\n".join(parts), volts, turned))]


def test_a_sound_circuit_is_told_by_what_it_draws_at_most_and_in_which_setting() -> None:
    both = contact("S1", ("L", "a"), ("N", "b"))
    # 230 V over 52.9 ohm: 4.348 A, 1000 W
    assert said(both, element("E1", "a", "b", 52.9), turned=True) == [
        "It draws at most 1000 W (4.35 A) at S1 on."
    ]


def test_a_short_circuit_comes_first_with_its_path_and_setting() -> None:
    found = said(contact("S1", ("L", "x"), ("x", "N")), element("E1", "L", "N", 52.9))
    assert found[0] == (
        "▲ Short circuit at S1 on: L – S1 – x – S1 – N. Never plug in a circuit like this."
    )
    twice = said(
        contact("S1", ("L", "N")), contact("S2", ("L", "x")), element("E1", "x", "N", 52.9)
    )
    assert twice[0].startswith("▲ Short circuit at S1 on, S2 off, and in one more: L – S1 – N.")


def test_a_circuit_that_is_a_short_in_every_setting_has_no_numbers() -> None:
    diode = '[[diode]]\nname = "D1"\nbetween = ["L", "N"]'
    assert said(diode, element("E1", "L", "N", 52.9)) == [
        "▲ Short circuit: L – D1 – N. Never plug in a circuit like this."
    ]


def test_a_heater_that_is_live_when_off_is_told() -> None:
    one = contact("S1", ("a", "N")), element("E1", "L", "a", 52.9)
    assert said(*one)[0] == "▲ Nothing heats at S1 off, but E1 is live."
    two = contact("S1", ("a", "N")), element("E1", "L", "a", 53), element("E2", "L", "a", 53)
    assert said(*two)[0] == "▲ Nothing heats at S1 off, but E1 and E2 are live."


def test_with_a_plug_that_can_be_turned_the_switch_is_in_the_wrong_conductor_half_the_time() -> (
    None
):
    right = contact("S1", ("L", "a")), element("E1", "a", "N", 52.9)
    assert said(*right) == ["It draws at most 1000 W (4.35 A) at S1 on."]
    assert said(*right, turned=True)[0] == "With the plug reversed, E1 is live at S1 off."


def test_a_lamp_in_series_with_an_element_does_not_make_it_a_heater() -> None:
    lamp = '[[lamp]]\nname = "H1"\nbetween = ["L", "a"]\nresistance_ohm = 100000'
    found = said(contact("S1", ("L", "a")), lamp, element("E1", "a", "N", 52.9))
    # 2.3 mA through the lamp at off: 0.28 mW in E1
    assert found == ["It draws at most 1000 W (4.35 A) at S1 on."]


def test_what_cannot_be_switched_off_says_what_it_still_draws() -> None:
    found = said(
        contact("S1", ("L", "a")), element("E1", "a", "N", 52.9), element("E2", "L", "N", 529)
    )
    assert found[0] == "No setting switches it off: the lowest is 100 W at S1 off."


def test_elements_that_never_heat_are_named() -> None:
    one = element("E1", "L", "N", 52.9), contact("S2", ("N", "b")), contact("S3", ("N", "c"))
    assert said(*one, element("E2", "b", "N", 53), element("E3", "N", "c", 53))[0] == (
        "▲ E2 and E3 never heat."
    )
    many = said(
        *one, *(element(f"E{n}", "b", "N", 53) for n in range(2, 9)), element("E9", "c", "N", 1)
    )
    assert many[0] == "▲ E2, E3, E4, E5 and 4 more never heat."
    nothing = contact("S1", ("L", "a")), contact("S2", ("b", "N")), element("E1", "a", "L", 53)
    assert said(*nothing, element("E2", "b", "N", 53))[0] == "▲ Nothing heats in any setting."


def test_current_to_earth_is_told_from_where_a_standard_no_longer_allows_it() -> None:
    # class I portable: 0.75 mA (IEC 60335-1 cl. 13.2, as quoted); 230 V over 300 kohm is 0.77 mA
    heater = element("E1", "L", "N", 52.9)
    assert said(heater, element("E2", "L", "PE", 300_000))[0] == (
        "▲ E2 sends 0.77 mA to earth: that is a fault, and makes the case dangerous."
    )
    assert not any("earth" in each for each in said(heater, element("E2", "L", "PE", 310_000)))


@pytest.mark.parametrize(
    ("volts", "ohm", "words"),
    # BS 1362 up to 13 A, IEC 60320-1 up to 16 A (as quoted); 15 A at 120 V from memory
    [
        (230, 230**2 / 3000, None),  # 13.04 A: 3 kW is sold with 13 A plugs
        (230, 16.0, "14.4 A, more than the 13 A fuse of a British plug."),
        (230, 14.0, "16.4 A, more than the 16 A of any household plug."),
        (120, 8.1, None),
        (120, 7.5, "16 A, more than the 15 A of an ordinary plug."),
        (400, 10.0, None),  # no household plug
    ],
)
def test_what_is_too_much_for_the_plug_is_told(volts: float, ohm: float, words: str | None) -> None:
    [first, *_] = said(element("E1", "L", "N", ohm), volts=volts)
    assert (first == f"▲ It draws {words}") == (words is not None)
    assert ("▲" in first) == (words is not None)


def test_so_many_settings_that_typing_would_wait_are_not_looked_through() -> None:
    switches = [contact(f"S{n}", ("L", "a")) for n in range(12)]
    assert said(*switches, element("E1", "a", "N", 52.9)) == [
        "It has 4,096 settings, too many to check while you type."
    ]


@pytest.mark.parametrize("name", appliance_names())
def test_no_bundled_appliance_is_warned_of_but_the_one_with_its_switch_in_the_neutral(
    name: str,
) -> None:
    warned = [str(each) for each in remarks(load_appliance(name)) if each.warning]
    assert warned == (
        ["▲ Nothing heats at S1 off, but E1 is live."] if name == "curtain-steamer" else []
    )
