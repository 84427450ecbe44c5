"""Typed text to a number and a unit."""

import random
import string

import pytest

from lessonlib.exercises.reading import Reading, Unread, find_unit, read_quantity, written


def read(text: str) -> tuple[tuple[float, ...], str | None]:
    reading = read_quantity(text)
    assert isinstance(reading, Reading), f"{text!r} was not read: {reading}"
    return reading.values, reading.unit.symbol if reading.unit else None


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("230 V", 230, "V"),
        ("230V", 230, "V"),
        ("1.2 kW", 1.2, "kW"),
        ("1,2 kW", 1.2, "kW"),
        ("1 200 W", 1200, "W"),
        ("1\u202f200 W", 1200, "W"),
        ("1'200 W", 1200, "W"),
        ("1.200,5 W", 1200.5, "W"),
        ("1,200.5 W", 1200.5, "W"),
        ("1.739 A", 1.739, "A"),
        ("0,450 A", 0.450, "A"),
        (".5 A", 0.5, "A"),
        ("1.2e3 W", 1200, "W"),
        ("-4 A", -4, "A"),
        ("\u22124 A", -4, "A"),
        ("P = 400 W", 400, "W"),
        ("about 5 amps", 5, "A"),
        ("52.9 \u2126", 52.9, "Ω"),
        ("52.9 ohms", 52.9, "Ω"),
        ("4.7 KOhm", 4.7, "kΩ"),
        ("400 w.", 400, "W"),
        ("12 kilowatts", 12, "kW"),
        ("5 uA", 5, "µA"),
        ("25%", 25, "%"),
        ("20 °C", 20, "°C"),
        ("3 kWh", 3, "kWh"),
        ("1200", 1200, None),
        ("1/8", 0.125, None),
        ("-3 / 4 A", -0.75, "A"),
    ],
)
def test_a_number_and_its_unit_are_read_as_people_write_them(text, value, unit):
    assert read(text) == ((value,), unit)


def test_milli_and_mega_are_told_apart_by_their_letter():
    assert read("3 mW")[1] == "mW"
    assert read("3 MW")[1] == "MW"
    assert read("3 mw")[1] == "mW"
    assert read("3 Mw")[1] == "MW"


def test_a_comma_before_three_digits_is_left_open():
    assert read("1,200 W") == ((1.2, 1200.0), "W")


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is typed"),
        ("   ", "Nothing is typed"),
        ("ten watts", "no number at the start"),
        ("nan", "no number at the start"),
        ("inf W", "no number at the start"),
        ("9**9 W", "That is a sum"),
        ("1/0", "That is a sum"),
        ("1/4/2", "That is a sum"),
        ("1/2.5 A", "That is a sum"),
        ("1½ A", "That is a sum"),
        ("__import__('os').system('true')", "no number at the start"),
        ("1e999 W", "too large"),
        ("1e20 W", "too large"),
        ("12 34 W", "as one number"),
        ("1,23.5 W", "as one number"),
        ("1.2.3 W", "as one number"),
        ("100 furlongs", 'the unit "furlongs"'),
        ("5 A 230 V", 'the unit "A 230 V"'),
        ("1" * 61, "61 characters"),
    ],
)
def test_what_is_no_number_with_a_unit_is_refused_with_the_reason(text, reason):
    found = read_quantity(text)
    assert isinstance(found, Unread)
    assert reason in found.reason


def test_twenty_thousand_odd_texts_are_read_or_refused_without_an_exception():
    draw = random.Random(20)
    pieces = [
        *string.printable,
        *"Ωµ°−–½²٣१㎾\u00a0\u202f\ufdfa\u0000\ud800",
        "1e",
        "kW",
        "1,200",
        "=",
    ]
    outcomes = set()
    for _ in range(20_000):
        text = "".join(draw.choice(pieces) for _ in range(draw.randrange(0, 70)))
        outcomes.add(type(read_quantity(text)))
    for _ in range(2_000):  # mostly readable ones, so that both outcomes are reached
        text = f"{draw.uniform(-1e4, 1e4):.{draw.randrange(8)}f}{draw.choice(pieces)}W"
        outcomes.add(type(read_quantity(text)))
    assert outcomes == {Reading, Unread}


@pytest.mark.parametrize("text", ["1" * 60, "1," * 30, "1 " * 30, "=" * 60, "1 111" * 12, "e" * 60])
def test_long_repeats_are_no_trouble(text):
    assert isinstance(read_quantity(text), Reading | Unread)


def test_every_unit_reads_back_from_its_own_symbol():
    for symbol in ("W", "kW", "MW", "mW", "V", "mA", "µA", "Ω", "MΩ", "°C", "K", "%", "bar", "Wh"):
        unit = find_unit(symbol)
        assert unit is not None
        assert unit.symbol == symbol


@pytest.mark.parametrize(
    ("value", "text"),
    [(1234.5678, "1234.6 W"), (0.45, "0.45 W"), (1e6, "1000000 W"), (0, "0 W"), (-100, "-100 W")],
)
def test_values_are_written_in_full_digits(value, text):
    assert written(value, "W") == text
