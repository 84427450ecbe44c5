"""The insulation tester to the metalwork."""

import pytest

from lessonlib import insulation, load_appliance
from lessonlib.limits.earth import HEATER_INSULATION_OHM

URN, TROLLEY = load_appliance("tea-urn"), load_appliance("hot-trolley")
ON = {"S1": "on"}


def test_it_comes_with_the_caution_and_says_whether_it_passes():
    sound = insulation(URN, ON)
    assert "unplugged" in repr(sound)
    assert "somebody competent" in repr(sound)
    assert sound.text == "insulation at 500 V: over 200 MΩ; at least 300 kΩ, so it passes"


def test_class_II_needs_more_insulation():
    # VDE 0701-0702:2008 cl. 5.4, as quoted in a tester's manual: 2.0 Mohm
    fault = "E2 leaking to its sheath at 0 %, 1 MΩ"
    damp = insulation(load_appliance("bottle-warmer"), {"S1": "high"}, fault=fault)
    assert (damp.limit_ohm, damp.passes) == (2e6, False)


def test_it_is_measured_from_both_conductors_and_misses_what_is_switched_off():
    fault = "E2 leaking to its sheath at 50 %, 20 kΩ"
    half = URN.part("E2").resistance_ohm / 2
    # with S1 off the leak is still reached from N; with it on, from both ends
    assert insulation(URN, {"S1": "off"}, fault=fault).ohm == pytest.approx(20_000 + half)
    on = insulation(URN, ON, fault=fault)
    assert on.ohm == pytest.approx(20_000 + half / 2)
    assert (on.limit_ohm, on.passes) == (HEATER_INSULATION_OHM, False)
    # the switch of the trolley opens both conductors
    assert insulation(TROLLEY, {"S1": "off"}, fault="E1 leaking").passes
    assert not insulation(TROLLEY, {"S1": "on"}, fault="E1 leaking").passes
