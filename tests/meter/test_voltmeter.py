"""What voltmeters show in the model, and the tests of earth and insulation."""

import math

import pytest

from lessonlib import earth_continuity, insulation, load_appliance, variant, voltages
from lessonlib.errors import ReadingError, WaveformError
from lessonlib.limits.earth import HEATER_INSULATION_OHM
from lessonlib.meter.voltmeter import CAUTION, LOW_OHM, STRAY_F, USUAL_OHM

URN = load_appliance("tea-urn")
MELTER = load_appliance("wax-melter")
CURTAIN = load_appliance("curtain-steamer")
ON = {"S1": "on"}


def test_on_the_mains_all_meters_show_the_mains():
    found = voltages(URN, ON, red="L", black="N")
    for side in (found.usual, found.low):
        assert [*side.readings.values()][:4] == pytest.approx([230.0] * 4, rel=1e-6)
    assert not found.floating


def test_a_half_wave_is_told_apart_by_the_kinds_of_meter():
    found = voltages(MELTER, {"S1": "on", "S2": "half"}, red="heat", black="N").usual.readings
    assert found["true r.m.s., d.c.-coupled"] == pytest.approx(230 / math.sqrt(2), rel=1e-5)
    assert found["averaging, d.c.-coupled"] == pytest.approx(115, rel=1e-5)
    assert found["d.c. range"] == pytest.approx(230 * math.sqrt(2) / math.pi, rel=1e-5)


def test_a_point_on_the_line_by_a_lamp_is_pulled_down_by_a_low_impedance():
    # F1 open and S1 off: "top" hangs on L only through E1, P1's side and the lamps
    steamer = load_appliance("garment-steamer")
    found = voltages(steamer, ON, red="bottom", black="N", fault="P1 not making")
    assert found.usual.readings["true r.m.s., a.c.-coupled"] == pytest.approx(230, rel=1e-3)
    lamp = voltages(CURTAIN, {"S1": "off"}, red="return", black="N", fault="F1 not making")
    lamp_ohm = CURTAIN.part("H1").resistance_ohm  # H1 from the line, H2 dead-ended beside E1
    one_or_both = (lamp_ohm, lamp_ohm / 2)
    for side, own in ((lamp.usual, USUAL_OHM), (lamp.low, LOW_OHM)):
        shown = side.readings["true r.m.s., a.c.-coupled"]
        wanted = [230 * own / (own + ohm) for ohm in one_or_both]
        assert any(shown == pytest.approx(each, rel=1e-3) for each in wanted)
    assert lamp.low.readings["true r.m.s., a.c.-coupled"] < 15


def test_a_loose_point_shows_stray_volts_on_a_usual_meter_only_and_is_never_0_V():
    found = voltages(URN, red="S1 at boost", black="N", fault="E2 at boost: wire off")
    assert found.floating
    usual_V, low_V = found.stray_V
    reactance = 1 / (2 * math.pi * 50 * STRAY_F)
    assert usual_V == pytest.approx(230 * 1e7 / math.hypot(1e7, reactance))
    assert 30 < usual_V < 100
    assert low_V < 0.1
    assert all("anything up to" in row[1] for row in found.shown_rows[:4])
    assert "E2 at boost: wire off" in found.caption
    assert "S1 off" in found.caption


def test_it_always_comes_with_the_caution():
    found = voltages(URN, ON, red="L", black="N")
    assert str(found).startswith(CAUTION)
    assert "Pull the plug" in CAUTION
    assert found._repr_html_().startswith(f"<p>{CAUTION}")
    for test in (earth_continuity(URN), insulation(URN, ON)):
        assert "unplugged" in repr(test)
        assert "somebody competent" in repr(test)


def test_points_that_do_not_exist_and_shorts_are_refused():
    with pytest.raises(ReadingError, match="no point 'X'"):
        voltages(URN, red="X", black="N")
    with pytest.raises(WaveformError, match="short circuit"):
        voltages(URN, ON, red="L", black="N", fault="E1 shorted")


def test_earth_continuity():
    assert earth_continuity(URN).passes
    off = earth_continuity(URN, fault="earth wire off")
    assert (off.ohm, off.passes) == (math.inf, False)
    assert off.text == "earth continuity: open; at most 0.3 Ω, so it fails"
    assert not earth_continuity(variant(URN, {"supply": {"cord_cores": "two"}})).passes


def test_class_II_has_no_earth_to_test_and_needs_more_insulation():
    # VDE 0701-0702:2008 cl. 5.4, as quoted in a tester's manual: 2.0 Mohm
    warmer = load_appliance("bottle-warmer")
    with pytest.raises(ReadingError, match="Test its insulation"):
        earth_continuity(warmer)
    damp = insulation(warmer, {"S1": "high"}, fault="E2 leaking to its sheath at 0 %, 1 MΩ")
    assert (damp.limit_ohm, damp.passes) == (2e6, False)


def test_insulation_is_measured_from_both_conductors_and_misses_what_is_switched_off():
    fault = "E2 leaking to its sheath at 50 %, 20 kΩ"
    off = insulation(URN, {"S1": "off"}, fault=fault)
    half = URN.part("E2").resistance_ohm / 2
    # with S1 off the leak is still reached from N; with it on, from both ends
    assert off.ohm == pytest.approx(20_000 + half)
    on = insulation(URN, ON, fault=fault)
    assert on.ohm == pytest.approx(20_000 + half / 2)
    assert not on.passes
    assert on.limit_ohm == HEATER_INSULATION_OHM
    double = load_appliance("hot-trolley")  # its switch opens both conductors
    assert insulation(double, {"S1": "off"}, fault="E1 leaking").passes
    assert not insulation(double, {"S1": "on"}, fault="E1 leaking").passes
    assert insulation(URN, ON).text.startswith("insulation at 500 V: over 200 MΩ; at least 300 kΩ")
