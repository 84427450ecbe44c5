"""What a reading is: its number, its tolerance, and what no meter shows."""

import math

import pytest

from lessonlib.errors import ReadingError
from lessonlib.meter.readings import (
    CurrentReading,
    DiodeReading,
    MeterReading,
    PowerReading,
    ResistanceReading,
    UnpluggedReading,
)


def plug(watts):
    return PowerReading(power_W=watts, supply_voltage_V=230)


def amps(value):
    return CurrentReading(current_A=value)


def ohms(value, **meter):
    return ResistanceReading(ohm=value, red="L", black="N", **meter)


def test_a_meters_tolerance_is_percent_of_reading_plus_digits():
    # 1 % of 132.3 is 1.323, three steps of 0.1 are 0.3
    reading = ohms(132.3, accuracy_percent=1.0, digits=3, resolution=0.1)
    assert reading.tolerance == pytest.approx(1.623, rel=1e-12)
    assert reading.text == "132 Ω ± 1.6 Ω"


@pytest.mark.parametrize(
    ("reading", "text"),
    # 1 % and three steps of 0.1 MΩ, of 0.1 Ω; 2 % and two steps of 1 W
    [
        (ohms(800_000, resolution=100_000), "800 kΩ, anywhere from 490 kΩ to 1.2 MΩ"),
        (ohms(3.0), "3 Ω, anywhere from 2.6 Ω to 3.4 Ω"),
        (ohms(0.2), "0.2 Ω, at most 0.51 Ω"),
        (plug(0), "0 W, at most 2 W"),
        (plug(25), "25 W ± 2.5 W"),
    ],
)
def test_a_reading_with_a_large_tolerance_is_written_as_a_range(reading, text):
    assert reading.text == text


def test_an_open_path_has_no_tolerance():
    assert (ohms(None).text, ohms(None).tolerance) == ("open", 0)


@pytest.mark.parametrize("bad", [-1, math.nan, math.inf, 2e9, "12", True])
@pytest.mark.parametrize(
    ("reading", "most"),
    [(ohms, r"ohm = .*1e\+09 Ω"), (plug, "power_W = .*100000 W"), (amps, "current_A = .*1000 A")],
)
def test_a_number_that_no_meter_shows_is_refused(reading, most, bad):
    with pytest.raises(ReadingError, match=most.replace(".*", ".*accepted: a number from 0 to ")):
        reading(bad)


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("accuracy_percent", -1),
        ("accuracy_percent", 30),
        ("digits", math.nan),
        ("digits", 1000),
        ("resolution", 0),
        ("resolution", "0.1"),
        ("supply_voltage_V", 0),
        ("supply_voltage_V", -230),
    ],
)
def test_an_impossible_meter_is_refused(name, bad):
    with pytest.raises(ReadingError, match=f"found {name} = .*accepted: a number from"):
        PowerReading(power_W=100, **{name: bad})


def test_there_is_no_reading_of_current_power_or_voltage_inside_an_appliance():
    def kinds(of):
        for kind in of.__subclasses__():
            yield kind
            yield from kinds(kind)

    for kind in kinds(MeterReading):
        assert ("red" in kind.__dataclass_fields__) == issubclass(kind, UnpluggedReading)
    # the diode range is a range of the ohmmeter that shows volts
    assert set(kinds(UnpluggedReading)) == {ResistanceReading, DiodeReading}
    for reading in (ohms(1), DiodeReading(red="L", black="N", volts=0.5)):
        assert "unplugged" in reading.where
