"""What each kind of meter shows, against closed forms done by hand."""

import math
from dataclasses import replace

import pytest

from lessonlib import load_appliance, meter_kinds, solve, waveform
from lessonlib.circuit.wave import SINE_FORM_FACTOR
from lessonlib.circuit.waveform import voltage_between
from lessonlib.errors import WaveformError
from lessonlib.meter.kinds import MeterKinds

MELTER = load_appliance("wax-melter")
HALF, FULL = {"S1": "on", "S2": "half"}, {"S1": "on", "S2": "full"}
PEAK_V = 230 * math.sqrt(2)
# Closed forms in double precision, some tens of roundings each: 1e-12 leaves room for them all.
EXACT = 1e-12
AVERAGING, TRUE_RMS = "averaging, a.c.-coupled", "true r.m.s., a.c.-coupled"


def kinds(setting, part="E1", **situation):
    return meter_kinds(waveform(solve(MELTER, setting, **situation), part))


def test_on_a_half_wave_no_two_kinds_of_meter_agree():
    # Definitions of mean, r.m.s. and the 1.11 of an averaging meter: LEC Vol. II, "Measurements of
    # AC magnitude"; figures computed by hand. Half-wave sine of peak p: mean p / pi, r.m.s. p / 2.
    # Without the mean: r.m.s. p sqrt(1/4 - 1/pi^2); mean without sign, over the part above the
    # mean (which begins at the angle a) taken twice, p (2 cos a - (pi - 2 a) / pi) / pi.
    a = math.asin(1 / math.pi)
    size = (2 * math.cos(a) - (math.pi - 2 * a) / math.pi) / math.pi
    table = kinds(HALF)
    assert table.readings == {
        TRUE_RMS: pytest.approx(PEAK_V * math.sqrt(1 / 4 - 1 / math.pi**2), rel=EXACT),
        AVERAGING: pytest.approx(SINE_FORM_FACTOR * size * PEAK_V, rel=EXACT),
        "true r.m.s., d.c.-coupled": pytest.approx(PEAK_V / 2, rel=EXACT),
        "averaging, d.c.-coupled": pytest.approx(115, rel=EXACT),
        "d.c. range": pytest.approx(PEAK_V / math.pi, rel=EXACT),
    }
    shown = [volts for _, volts, _ in table.shown_rows]
    assert shown == ["125 V", "127 V", "163 V", "115 V", "104 V"]
    assert "what heats" in str(table)


def test_on_a_sine_all_but_the_dc_range_read_the_same():
    *of_ac, of_dc = kinds(FULL).readings.values()
    assert of_ac == pytest.approx([230] * 4, rel=EXACT)
    assert of_dc == pytest.approx(0, abs=1e-10)  # 1e-12 of the 230 V


def test_with_the_diode_the_other_way_round_only_the_dc_range_changes_its_sign():
    turned = tuple(
        replace(part, between=part.between[::-1]) if part.name == "D1" else part
        for part in MELTER.parts
    )
    other = meter_kinds(waveform(solve(replace(MELTER, parts=turned), HALF), "E1")).readings
    one = kinds(HALF).readings
    assert list(other.values())[:4] == pytest.approx(list(one.values())[:4], rel=EXACT)
    assert other["d.c. range"] == pytest.approx(-one["d.c. range"], rel=EXACT)
    # with the plug turned the diode still lets the current through from fed to heat
    assert kinds(HALF, reversed_plug=True).readings == pytest.approx(one, rel=EXACT)


def test_the_voltage_between_two_points_has_its_kinds_of_reading_too():
    node = meter_kinds(voltage_between(solve(MELTER, HALF), "heat", "N"))
    assert node.readings == pytest.approx(kinds(HALF).readings)
    assert node.caption.startswith("From heat to N, in the model")


def test_where_nothing_fixes_the_voltage_there_is_nothing_to_show():
    with pytest.raises(WaveformError, match=r"found no voltage of S2: nothing fixes it"):
        kinds({"S1": "off", "S2": "half"}, "S2")


def test_a_steady_voltage_is_seen_by_the_dc_coupled_meters_alone():
    wave = kinds(FULL).wave
    steady = MeterKinds(("L", "N"), replace(wave, slopes=(0.0,), offsets=(12.0,)))
    assert list(steady.readings.values()) == pytest.approx([0, 0, 12, SINE_FORM_FACTOR * 12, 12])
