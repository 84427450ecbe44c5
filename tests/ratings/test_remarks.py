"""A text that can be read is no sound appliance: what it does at its worst is said."""

from __future__ import annotations

import pytest

from lessonlib import appliance_names, hazards, load_appliance, read_appliance
from lessonlib.appliance.parts import Appliance
from lessonlib.ratings.remarks import remarks
from tests.heat.kettles import table

HEAD = 'title = "t"\n[supply]\nvoltage_V = {volts}\nreversible_plug = {turned}\n'


def described(*parts: str, volts: float = 230, turned: str = "false") -> Appliance:
    return read_appliance(HEAD.format(volts=volts, turned=turned) + "\n".join(parts))


def said(*parts: str, volts: float = 230, turned: str = "false") -> list[str]:
    return [str(each) for each in remarks(described(*parts, volts=volts, turned=turned))]


def element(name: str, one: str, other: str, ohm: float) -> str:
    return table("element", name, (one, other), resistance_ohm=ohm)


def switch(name: str, *ends: tuple[str, str]) -> str:
    contacts = ", ".join(
        f'{{ between = ["{one}", "{other}"], closed_in = ["on"] }}' for one, other in ends
    )
    return f'[[switch]]\nname = "{name}"\npositions = ["off", "on"]\ncontacts = [{contacts}]'


def test_a_sound_circuit_is_told_by_what_it_draws_at_most_and_in_which_setting() -> None:
    both = switch("S1", ("L", "a"), ("N", "b"))
    # 230 V over 52.9 ohm: 4.348 A, 1000 W
    assert said(both, element("E1", "a", "b", 52.9), turned="true") == [
        "It draws at most 1000 W (4.35 A): S1 on, 230 V."
    ]


def test_a_short_circuit_comes_first_with_its_path_and_setting() -> None:
    found = said(switch("S1", ("L", "x"), ("x", "N")), element("E1", "L", "N", 52.9))
    assert found[0] == ("▲ S1 on – the mains is shorted: L – S1 – x – S1 – N. Never plug it in.")
    twice = said(switch("S1", ("L", "N")), switch("S2", ("L", "x")), element("E1", "x", "N", 52.9))
    assert twice[0].startswith("▲ S1 on, S2 off, and 1 more setting – the mains is shorted: L – S1")


def test_a_short_is_a_danger_and_one_in_every_setting_has_no_numbers() -> None:
    always = table("diode", "D1", ("L", "N")), element("E1", "L", "N", 52.9)
    assert said(*always) == ["▲ Plugged in – the mains is shorted: L – D1 – N. Never plug it in."]
    (row,) = hazards(described(*always)).about("short circuit")
    assert row.level == "danger"


def test_a_heater_that_is_live_when_off_is_told() -> None:
    one = switch("S1", ("a", "N")), element("E1", "L", "a", 52.9)
    assert said(*one)[0].startswith(
        "▲ S1 off – nothing heats, but these stay live: S1 at a; E1 at both"
    )
    two = switch("S1", ("a", "N")), element("E1", "L", "a", 53), element("E2", "L", "a", 53)
    assert "E1 and E2 at both ends" in said(*two)[0]


def test_a_plug_that_can_be_turned_puts_the_switch_in_the_wrong_conductor_half_the_time() -> None:
    right = switch("S1", ("L", "a")), element("E1", "a", "N", 52.9)
    draws = "It draws at most 1000 W (4.35 A): S1 on, 230 V."
    assert said(*right) == [draws]
    assert said(*right, turned="true")[0].startswith(
        "S1 off – only the line is cut; with the plug turned, live: S1 at a; E1 at both"
    )
    # 2.3 mA through a lamp in series at off: 0.28 mW, which does not make the element a heater
    lamp = table("lamp", "H1", ("L", "a"), resistance_ohm=100_000)
    assert said(*right, lamp) == [draws]


def test_elements_that_never_heat_are_named() -> None:
    one = element("E1", "L", "N", 52.9), switch("S2", ("N", "b")), switch("S3", ("N", "c"))
    assert said(*one, element("E2", "b", "N", 53), element("E3", "N", "c", 53))[0] == (
        "▲ Wiring, E2 and E3 never heat: Check the wiring and the switch."
    )
    nothing = switch("S1", ("L", "a")), switch("S2", ("b", "N")), element("E1", "a", "L", 53)
    assert any(
        "E1 and E2 never heat" in line for line in said(*nothing, element("E2", "b", "N", 53))
    )


def test_current_to_earth_is_told_from_where_a_standard_no_longer_allows_it() -> None:
    # class I portable: 0.75 mA (IEC 60335-1 cl. 13.2, as quoted); 230 V over 300 kohm is 0.77 mA
    heater = element("E1", "L", "N", 52.9)
    [warned] = [line for line in said(heater, element("E2", "L", "PE", 300_000)) if "earth" in line]
    assert warned.startswith("▲ E2, current to earth: 0.77 mA, at most 0.75 mA")
    assert not any("earth" in each for each in said(heater, element("E2", "L", "PE", 310_000)))


@pytest.mark.parametrize(
    ("volts", "ohm", "words"),
    # BS 1362 up to 13 A, IEC 60320-1 up to 16 A (as quoted); 15 A at 120 V from memory
    [
        (230, 230**2 / 3000, None),  # 13.04 A: 3 kW is sold with 13 A plugs
        (230, 16.0, "14.4 A, at most 13.1 A"),
        (230, 14.0, "16.4 A, at most 13.1 A"),
        (120, 8.1, None),
        (120, 7.5, "16 A, at most 15 A"),
        (400, 10.0, None),  # no household plug
    ],
)
def test_what_is_too_much_for_the_plug_is_told(volts: float, ohm: float, words: str | None) -> None:
    [first, *_] = said(element("E1", "L", "N", ohm), volts=volts)
    assert first.startswith(f"▲ Plug, current: {words}") == (words is not None)
    assert ("▲" in first) == (words is not None)


def test_so_many_settings_that_typing_would_wait_are_not_looked_through() -> None:
    switches = [switch(f"S{n}", ("L", "a")) for n in range(12)]
    assert said(*switches, element("E1", "a", "N", 52.9)) == [
        "It has 4,096 settings, too many to check while you type."
    ]


def test_no_bundled_appliance_is_warned_of_but_the_one_with_its_switch_in_the_neutral() -> None:
    warned = {name: [] for name in appliance_names()}
    for name, lines in warned.items():
        lines += (str(each) for each in remarks(load_appliance(name)) if each.warning)
    (line,) = warned.pop("curtain-steamer")
    assert line.startswith("▲ S1 off – nothing heats, but these stay live")
    assert not any(warned.values())
