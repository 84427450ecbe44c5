"""Waveforms: exact pieces and their means, against closed forms, fine quadrature and a SPICE
engine."""

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from lessonlib import solve, solve_all, waveform
from lessonlib.circuit.diode import against_resistor, diode_duty
from lessonlib.circuit.waveform import voltage_between
from lessonlib.errors import SettingError, WaveformError
from tests.circuit import spice
from tests.networks import contact, element, random_appliance, rig
from tests.trade import HALF_WAVE

HALF, FULL = {"S1": "on", "S2": "half"}, {"S1": "on", "S2": "full"}
PEAK_V = 230 * math.sqrt(2)
# Closed forms in double precision, some tens of roundings each: 1e-12 leaves room for them all.
EXACT = 1e-12


def with_drop(drop_V: float):
    """1000 W behind a diode with a forward drop."""
    parts = tuple(
        replace(part, forward_drop_V=drop_V) if part.name == "D1" else part
        for part in HALF_WAVE.parts
    )
    return replace(HALF_WAVE, parts=parts)


@pytest.mark.parametrize("drop_V", [0.7, 20.0])
def test_a_forward_drop_delays_the_breakpoints_to_where_the_sine_reaches_it(drop_V):
    wave = waveform(solve(with_drop(drop_V), HALF), "E1")
    on = math.asin(drop_V / PEAK_V) / (2 * math.pi * 50)
    assert wave.breakpoints_s == pytest.approx((on, 0.01 - on), rel=1e-9)
    assert wave.voltage_V(0.005) == pytest.approx(PEAK_V - drop_V, rel=EXACT)
    # integral of (peak sin - drop)^2 over the conducting angles, done by hand
    a = math.asin(drop_V / PEAK_V)
    width = math.pi - 2 * a
    square = PEAK_V**2 * (width / 2 + math.sin(2 * a) / 2) - 4 * PEAK_V * drop_V * math.cos(a)
    assert wave.voltage.rms**2 == pytest.approx(
        (square + drop_V**2 * width) / (2 * math.pi), rel=1e-11
    )


@pytest.mark.parametrize("above_V", [1e-3, 1e-6])
def test_a_diode_that_conducts_only_next_to_the_peak_costs_no_digits(above_V):
    # the same by the solver's totals, which are held against fractions in test_digits
    now = solve(with_drop(20.0), HALF, supply_voltage_V=(20.0 + above_V) / math.sqrt(2))
    wave, wanted = waveform(now, "E1"), now.part["E1"]
    assert 0 < wanted.power_W == pytest.approx(wave.power_mean_W, rel=1e-8)
    assert wave.current.mean == pytest.approx(wanted.current_mean_A, rel=1e-8)
    assert wave.voltage.rms == pytest.approx(wanted.voltage_V, rel=1e-8)


def test_the_highest_power_is_the_one_at_the_crest():
    assert waveform(solve(HALF_WAVE, HALF), "E1").power_peak_W == pytest.approx(2000, rel=EXACT)
    with_loss = waveform(solve(with_drop(20.0), HALF), "D1")
    assert with_loss.power_peak_W == pytest.approx(20 * (PEAK_V - 20) / 52.9, rel=EXACT)


def test_without_a_diode_in_the_path_there_are_no_breakpoints_and_each_cycle_is_the_same():
    wave = waveform(solve(HALF_WAVE, FULL), "E1")
    assert wave.breakpoints_s == ()
    # rounding of t_s itself, 1e-17 s, times the steepest change, 1e5 V/s
    found = wave.voltage_V([0, 0.005, 0.015, 0.025, -0.035])
    assert found == pytest.approx([0, PEAK_V, -PEAK_V, PEAK_V, PEAK_V], abs=1e-9)


def test_reversed_plug_and_supply_voltage_are_followed():
    now = solve(with_drop(20.0), HALF, reversed_plug=True, supply_voltage_V=253)
    wave, on = waveform(now, "E1"), math.asin(20 / (math.sqrt(2) * 253)) / (2 * math.pi * 50)
    # N is the hot terminal; while it is positive the diode blocks, so the current comes later
    assert wave.current_A(0.005) == 0
    assert wave.current_A(0.015) == pytest.approx((math.sqrt(2) * 253 - 20) / 52.9, rel=EXACT)
    assert wave.breakpoints_s == pytest.approx((0.01 + on, 0.02 - on), rel=1e-9)
    low = waveform(solve(with_drop(20.0), HALF, supply_voltage_V=10), "E1")  # never the drop
    assert (low.breakpoints_s, low.voltage.peak, low.power_peak_W) == ((), 0, 0)


@pytest.mark.parametrize(
    ("fault", "watts", "breaks"), [("D1 open", 0, 0), ("D1 shorted", 1000, 0), (None, 500, 2)]
)
def test_faults_of_the_diode_show_in_the_wave(fault, watts, breaks):
    wave = waveform(solve(HALF_WAVE, HALF, fault=fault), "E1")
    assert wave.power_mean_W == pytest.approx(watts, rel=EXACT, abs=1e-12)
    assert len(wave.breakpoints_s) == breaks


def test_random_networks_agree_with_readings_and_quadrature(wide):
    rng = random.Random(20)
    compared = 0
    # Midpoints, 20 000 of them: a kink or jump within one step is off by at most the step's share
    # of the cycle, 5e-5, times the step's change; the readings are compared against the largest.
    step = 0.02 / 20000
    t_s = step * (np.arange(20000) + 0.5)
    for _ in range(60 if wide else 6):
        appliance = random_appliance(rng, diodes=rng.randint(0, 3))
        for now in solve_all(appliance, reversed_plug=rng.random() < 0.5):
            if now.short is not None:
                continue
            for name, part in now.part.items():
                wave = waveform(now, name)
                assert (wave.voltage is None) == (part.voltage_V is None)
                pairs = [(wave.current, "current")]
                if wave.voltage is not None:
                    pairs.append((wave.voltage, "voltage"))
                    assert wave.power_mean_W == pytest.approx(part.power_W, rel=1e-9, abs=1e-9)
                for one, quantity in pairs:
                    mean, rms, peak = (
                        getattr(part, f"{quantity}{kind}_{one.unit}")
                        for kind in ("_mean", "", "_peak")
                    )
                    floor = 1e-9 * max(1.0, one.peak)
                    assert one.mean == pytest.approx(mean, abs=EXACT * max(1, one.peak) * 10)
                    assert one.rms == pytest.approx(rms, rel=1e-9, abs=1e-6)
                    assert one.peak == pytest.approx(peak, rel=1e-9, abs=floor)
                    values = one.at(t_s)
                    allowed = 1e-4 * one.peak + floor
                    assert values.mean() == pytest.approx(one.mean, abs=allowed)
                    assert math.sqrt((values**2).mean()) == pytest.approx(one.rms, abs=allowed)
                    assert np.abs(values).mean() == pytest.approx(one.mean_absolute, abs=allowed)
                    compared += 1
    assert compared > 150


def test_the_whole_appliance_and_two_points_have_waves():
    now = solve(HALF_WAVE, HALF)
    whole, heat = waveform(now), voltage_between(now, "heat", "N")
    assert whole.power_mean_W == pytest.approx(now.power_W, rel=EXACT)
    assert whole.current.rms == pytest.approx(now.current_A, rel=EXACT)
    assert heat.voltage.rms == pytest.approx(now.node["heat"].potential_V, rel=EXACT)
    with pytest.raises(WaveformError, match="found no current of heat to N"):
        heat.power_W(0)


def test_a_waveform_that_does_not_exist_is_refused_with_the_next_step():
    now = solve(HALF_WAVE, HALF)
    short = solve(rig(element("E1", "L", "N") + contact("S1", ("L", "N"))), {"S1": "on"})
    for call, words in [
        (lambda: waveform(short, "E1"), "L – S1 – N"),
        (lambda: waveform(solve(HALF_WAVE, HALF, fault="E1 open"), "D1").voltage_V(0), "fixes it"),
        (lambda: diode_duty(now, "E1"), "D1"),
        (lambda: against_resistor(solve(HALF_WAVE, FULL), "D1", "E1"), "lowers the power"),
    ]:
        with pytest.raises(WaveformError, match=words):
            call()
    for call in (lambda: waveform(now, "E9"), lambda: against_resistor(now, "D1", "E9")):
        with pytest.raises(SettingError, match=r"no part 'E9'\. Its parts are: S1, S2, D1, E1"):
            call()


# Computed from the marking: 1000 W at 230 V is 52.9 ohm.
def test_a_diode_before_1000_W_carries_2_A_on_average_and_blocks_the_peak_of_the_mains():
    duty = diode_duty(solve(HALF_WAVE, HALF), "D1")
    assert (duty.current_mean_A, duty.reverse_peak_V) == pytest.approx((1.957, 325.27), abs=5e-3)
    assert diode_duty(solve(HALF_WAVE, HALF, supply_voltage_V=253), "D1").reverse_peak_V == (
        pytest.approx(357.8, abs=0.05)
    )


def test_a_diode_turns_its_drop_times_its_mean_current_into_heat():
    duty = diode_duty(solve(with_drop(0.7), HALF), "D1")
    assert duty.reading.power_W == pytest.approx(0.7 * duty.current_mean_A, rel=EXACT)


def test_a_resistor_for_the_same_half_power_is_root_2_less_1_of_the_element_and_wastes_207_W():
    found = against_resistor(solve(HALF_WAVE, HALF), "D1", "E1")
    # The current must fall to 1 / sqrt 2, so r + R = sqrt 2 R. The bridge is 1 nano-ohm: 1e-9.
    assert found.resistance_ohm == pytest.approx(52.9 * (math.sqrt(2) - 1), rel=1e-8)
    assert found.wasted_W == pytest.approx(500 * (math.sqrt(2) - 1), rel=1e-8)
    assert found.element_W == pytest.approx(500, rel=1e-8)
    assert found.drawn_W == pytest.approx(500 * math.sqrt(2), rel=1e-8)


@pytest.mark.spice
@pytest.mark.skipif(not spice.available(), reason="the SPICE engine ngspice is not installed")
@pytest.mark.parametrize("drop_V", [0.0, 0.7])
def test_the_wave_follows_the_samples_of_a_spice_engine(drop_V, tmp_path):
    now = solve(with_drop(drop_V), HALF)
    spice.simulate(now, tmp_path)
    table = np.loadtxt(tmp_path / "out.txt", skiprows=1)
    wave = waveform(now, "E1")
    t_s = table[:, 0] / (2 * math.pi * 50)
    column = 2 + 3 * [part.name for part in now.appliance.parts].index("E1")
    # the reference diode drops up to 10 mV more than the ideal one
    assert np.abs(table[:, column + 1] - table[:, column + 2] - wave.voltage_V(t_s)).max() < 0.010
    assert np.abs(table[:, column] - wave.current_A(t_s)).max() < 0.010 / 52.9
