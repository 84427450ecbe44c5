"""Typed text to a number and a unit."""

import random
import sys

import pytest

from lessonlib.questions.reading import (
    MAX_CHARACTERS,
    TypedQuantity,
    Unread,
    find_unit,
    read_quantity,
    written,
)

SYMBOLS = (
    *("W", "mW", "kW", "MW", "V", "mV", "kV", "A", "µA", "mA", "kA", "Ω", "mΩ", "kΩ", "MΩ", "GΩ"),
    *("J", "kJ", "MJ", "Wh", "kWh", "VA", "kVA", "Hz", "kHz", "s", "ms", "min", "h", "°C", "K"),
    *("bar", "mbar", "bar(g)", "bar(a)", "Pa", "kPa", "g", "kg", "%", "times"),
)


def read(text: str, asked: str | None = None) -> tuple[tuple[float, ...], str | None]:
    reading = read_quantity(text, find_unit(asked) if asked else None)
    assert isinstance(reading, TypedQuantity), f"{text!r} was not read: {reading}"
    return reading.values, reading.unit.symbol if reading.unit else None


def reason(text: str, asked: str | None = None) -> str:
    found = read_quantity(text, find_unit(asked) if asked else None)
    assert isinstance(found, Unread), f"{text!r} was read as {found}"
    return found.reason


@pytest.mark.parametrize(
    ("texts", "value", "unit"),
    [
        # marks and groups; each line is parted at semicolons
        ("1200; 1 200; 1'200; 1’200; 01200; 1200.; 1200,; 1.2e3", 1200, None),
        ("1 200 W; 1\u00a0200 W; 1\u2009200\u2009W; 1\u202f200\u00a0W", 1200, "W"),
        ("1.2 kW; 1,2 kW; 1.2kW; 1,20 kW; +1.2 kW;   1.2\tkW\n", 1.2, "kW"),
        (
            "1.200,5 W; 1,200.5 W; 1'200.5 W; 1 200,5 W; ١٬٢٠٠٫٥ W; १२००.५ W; １２００．５ W",
            1200.5,
            "W",
        ),
        ("1,200,000 W; 1.200.000 W; 1 200 000 W", 1_200_000, "W"),
        (".5 A; ,5 A; 0.5 A; 0,500 A; 0.5A; ٠،٥ A", 0.5, "A"),
        ("-4 A; - 4 A; \u22124 A; \u20134 A; \uff0d4 A; \u20114 A", -4, "A"),
        # powers of ten, and fractions
        ("1.2E3 W; 1.2e+3 W; 1.2·10^3 W; 1.2 x 10^3 W; 1,2 × 10³ W; 1.2*10**3 W", 1200, "W"),
        ("5×10⁻³ A; 5e-3 A; 5 × 10^-3 A; 5 × 10^\u22123 A", 0.005, "A"),
        ("1/2; ½; 1 / 2; 1⁄2; 1∕2", 0.5, None),
        ("2½ kW; 2 1/2 kW; 2 ½ kW", 2.5, "kW"),
        ("1/100; 0.01", 0.01, None),
        ("-3 / 4 A; −¾ A", -0.75, "A"),
        # a letter in place of the decimal mark
        ("52R9; 52r9; 52R9 Ω; 52R9 ohms; 52.9 Ω; 52.9 R; 52.9R", 52.9, "Ω"),
        ("R47; 0R47; R47 ohm; 0.47 Ω", 0.47, "Ω"),
        ("4k7; 4K7; 4k7 ohm; 4K7Ω; 4.7k; 4.7 kOhm; 4.7 KΩ; 4.7 kR", 4.7, "kΩ"),
        ("2M2; 2.2M; 2M2 Ω; 2.2 MOHM; 2.2 megohms; 2.2 Mohm", 2.2, "MΩ"),
        ("4k7 W; 4.7 kW", 4.7, "kW"),
        # before and around the number
        (
            "~500 W; ≈ 500 W; ca. 500 W; c. 500 W; about 500 W; approx. 500 W; Roughly 500 W",
            500,
            "W",
        ),
        ("= 500 W; P=500W; P ≈ 500 W; P = ca. 500 W; P: 500 W; P(E1) = 500 W; R1: 500 W", 500, "W"),
        ('500 W.; "500 W"; “500 W.”; `500 W`; 500 W?; \ufeff500 W; 500\u200bW', 500, "W"),
        # units
        ("53 ohm; 53 \u2126; 53 \u03a9; 53Ohms; 53 OHM", 53, "Ω"),
        ("500mA; 500 MILLIAMPS; 500 milliamps; 500 m A", 500, "mA"),
        ("5 uA; 5 \u00b5A; 5 \u03bcA; 5 microamps", 5, "µA"),
        ("230V; 230 v; 230 Volts; 230 VAC; 230 V a.c.; 230 Vrms; 230 V~; 230 V (r.m.s.)", 230, "V"),
        ("3 kW; 3 KW; 3 kw; 3 Kw; 3 kilowatts; 3 Kilowatt; 3 ㎾; 3 kW each", 3, "kW"),
        ("3 kWh; 3 kilowatt-hours; 3 kilowatt hours; 3 kW·h; 3 KWH", 3, "kWh"),
        ("50 %; 50%; 50 per cent; 50 percent; 50 ٪; 50％", 50, "%"),
        ("20 °C; 20°C; 20 ºC; 20 ℃; 20 C; 20 degrees; 20°; 20 deg C; 20 Celsius", 20, "°C"),
        ("2 bar(g); 2 bar (g); 2 barg; 2 bar gauge; 2 BAR G", 2, "bar(g)"),
        ("2 bar(a); 2 bara; 2 bar abs.; 2 bar absolute", 2, "bar(a)"),
        ("20 psig; 20 psi (gauge); 20 psi(g)", 20, "psi(g)"),
        ("12 min 30 s; 12min30s; 12 min 30; 750 s", 750, "s"),
        ("1 h 05 min; 1h05; 1 hour and 5 minutes; 1 h, 5 min", 65, "min"),
        ("450 each; 450 in total", 450, None),
        ("nothing; none; nil; None.", 0, None),
    ],
)
def test_a_number_and_its_unit_are_read_as_people_write_them(texts, value, unit):
    for text in texts.split(";"):
        assert read(text) == ((pytest.approx(value, rel=1e-15),), unit), text


@pytest.mark.parametrize(
    ("text", "asked", "value", "unit"),
    [
        ("47K", "Ω", 47, "kΩ"),
        ("47K", "K", 47, "K"),
        ("1.2k", "W", 1.2, "kW"),
        ("1.2k", "Ω", 1.2, "kΩ"),
        ("4k7", "W", 4.7, "kW"),
        ("4k7", "mΩ", 4.7, "kΩ"),
        ("4k7", "°C", 4.7, "kΩ"),
        ("80 degrees", "K", 80, "K"),
        ("80 degrees", "°C", 80, "°C"),
        ("80 °C", "K", 80, "°C"),
    ],
)
def test_the_unit_asked_for_decides_where_a_letter_can_be_read_in_two_ways(
    text, asked, value, unit
):
    assert read(text, asked) == ((value,), unit)


def test_milli_and_mega_are_told_apart_by_their_letter():
    assert [read(f"3 {unit}")[1] for unit in ("mW", "MW", "mw", "Mw")] == ["mW", "MW", "mW", "MW"]
    assert read("3 MIN")[1] == "min"
    assert 'the unit "MV"' in reason("3 MV")


def test_a_small_k_alone_is_no_kelvin():
    assert find_unit("k") is None
    assert find_unit("K").symbol == "K"


def test_a_comma_before_three_digits_is_left_open_and_a_point_is_not():
    assert read("1,200 W") == ((1.2, 1200.0), "W")
    assert read("-1,200 W") == ((-1.2, -1200.0), "W")
    assert read("1.200 W") == ((1.2,), "W")
    assert read("0,200 W") == ((0.2,), "W")


@pytest.mark.parametrize(
    ("texts", "why"),
    [
        (["", "   ", '""', ".", "\u200b"], "Nothing is typed"),
        (["nan", "inf W", "NaN W", "e5", "--5 W", "W 500", "<500 W", "twice"], "no number at the"),
        (["<script>alert(1)</script>", "$5", "😀", "\x00", "\ud800", "(5 W)"], "no number at the"),
        (["__import__('os').system('true')", "P = U*I"], "no number at the start"),
        (
            ["9**9 W", "2+3 W", "5 +", "230 x 5 W", "230 V × 5 A", "2 x 450 W"],
            "a calculation. Work",
        ),
        (
            ["1/0", "1/4/2", "1/2.5 A", "5 W / 2", "10/2 A", "4/3", "1/101"],
            "a calculation. Work it",
        ),
        (["500-600 W", "500–600 W", "500 to 600 W", "500 or 600", "500 ± 5 W"], "Write one number"),
        (["500..600 W", "500…600 W", "500 ~ 600 W", "500 W +/- 1 %"], "That is a range"),
        (["5 A 230 V", "5 A, 230 V", "1200 W 5", "1 h 5 h", "12:30 min"], "more than one number"),
        (["3V3", "5 E1", "1_200 W", "1k2.5", "4m7"], "more than one number"),
        (["230 V * 5 A = 1150 W", "U = 230 V, I = 5 A", "1.2 kW = 1200 W"], "That is an equation"),
        (["1e999 W", "-1e999", "1e20 W", "1e9999999999", "9" * 50, "1e-999 W"], "beyond any"),
        (["12 34 W", "1,23.5 W", "1.2.3 W", "1'20", "0 200 W", "1 200'300"], "as one number"),
        (["100 furlongs", "5 foo", "5\x00W", "5 \ud800", "5 😀", "5 W W"], "but not the uni"),
        (["4R7 W", "4k7 kΩ", "4k7 foo", "R47 kΩ", "5 V peak", "5 W dc"], "but not the unit"),
        (["1" * 61, "5 W" + " " * 60, "😀" * 61], "characters long. Write one number"),
    ],
)
def test_what_is_no_number_with_a_unit_is_refused_with_the_reason(texts, why):
    for text in texts:
        assert why in reason(text), text


def test_a_refusal_says_what_was_read_and_which_unit_is_asked_for():
    assert reason("5 foo", "Ω") == 'I read 5, but not the unit "foo". Write it as Ω.'
    assert reason("8 cases") == 'I read 8, but not the unit "cases". Write the number alone.'
    assert reason("1,200 foo").startswith('I read 1.2 or 1200, but not the unit "foo".')


def test_words_for_nothing_are_zero_where_watts_volts_or_amperes_are_asked_for():
    for typed in ("nothing", "None", "nil", "off", "Off.", "no", "no current"):
        for asked in ("W", "kW", "V", "mA", "VA"):
            assert read(typed, asked) == ((0.0,), asked)
    assert (
        reason("none", "°C") == "I see no number at the start. Write it in digits, such as 1.2 °C."
    )
    assert reason("none", "Ω") == (
        "Write 0 Ω if it is as good as a wire, OL if there is no way through."
    )


def test_the_example_in_a_reason_is_in_the_unit_asked_for():
    assert reason("", "Ω") == "Nothing is typed yet. Write one number, such as 1.2 Ω."
    assert reason("500-600 °C", "°C").endswith("Write one number, such as 1.2 °C.")
    assert reason("about", None).endswith("Write it in digits, such as 1.2.")


def test_a_prefix_alone_is_refused_where_the_unit_asked_for_has_none_such():
    for text, asked in (("1.2k", "%"), ("80 k", "K"), ("1.2M", "A"), ("5 G", "W")):
        assert f"Write it as {asked}." in reason(text, asked)


def test_every_symbol_is_found_as_itself_and_behind_a_number():
    for symbol in SYMBOLS:
        unit = find_unit(symbol)
        assert unit is not None, symbol
        assert unit.symbol == symbol
        assert read(f"7{symbol}") == ((7.0,), symbol)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        *((1234.5678, "1234.6 W"), (0.45, "0.45 W"), (1e6, "1000000 W"), (0, "0 W")),
        *((-100, "-100 W"), (-0.0, "0 W"), (2.5e-13, "0.00000000000025 W")),
    ],
)
def test_values_are_written_in_full_digits(value, text):
    assert written(value, "W") == text


def test_what_is_written_is_read_back():
    draw = random.Random(7)
    for _ in range(2_000):
        value = draw.choice((-1, 1)) * 10 ** draw.uniform(-14, 14)
        symbol = draw.choice(("", *SYMBOLS))
        values, unit = read(written(value, symbol))
        # five significant figures are written: half a unit in the fifth is 5e-5 of the value
        assert values == (pytest.approx(value, rel=5.001e-5),)
        assert unit == (symbol or None)
        assert written(values[0], symbol) == written(value, symbol)


# any text at all

FORMS = ("1200", "1,2 kW", "1 200 W", "4k7 ohm", "R47", "½ kW", "1 1/2 h", "1.2 × 10³ W", "P = 5 A")
FORMS += (
    "230 VAC",
    "450 W each",
    "12 min 30 s",
    "2 bar(g)",
    "ca. 20 °C",
    "500-600 W",
    "١٬٢٠٠٫٥",
    '"50 %"',
)
PIECES = (*" .,'/-+*^~=:x×·()eE%<>\"±½³⁻RkMmΩ", "10^", "**", "kW")
PIECES += ("min", "h", "s", "bar", "(g)", "°", "K", "ca.", "to", "1,200", "999", "0", "7", "\u202f")
PIECES += (" rms", " each", "psi", "none")
PIECES += ("\ufdfa", "\x00", "\ud800", "\u202e", "😀", "٣", "e999", "NaN", "P =", "and", "\n")


def any_text(draw: random.Random) -> str:
    """Random code points, a well-formed answer, a form with a few changes, or pieces in a row."""
    kind = draw.randrange(10)
    if kind < 2:
        return "".join(map(chr, draw.choices(range(sys.maxunicode + 1), k=draw.randrange(20))))
    if kind < 5:
        number = (
            f"{draw.uniform(-1e4, 1e4):{draw.choice(('.0f', '.3f', ',.1f', '_.2f', 'e', 'g'))}}"
        )
        digits = str.maketrans(
            "0123456789_", draw.choice(("0123456789 ", "٠١٢٣٤٥٦٧٨٩٬", "०१२३४५६७८९'"))
        )
        lead_in, gap = draw.choice(("", "", "P = ", "~")), draw.choice(("", " ", "\u202f"))
        return lead_in + number.translate(digits) + gap + draw.choice(("", *SYMBOLS))
    if kind < 7:
        signs = list(draw.choice(FORMS))
        for _ in range(draw.randrange(1, 4)):
            place = draw.randrange(len(signs) + 1)
            signs[place : place + draw.randrange(2)] = draw.choice(PIECES)
        return "".join(signs)
    if kind < 9:
        return "".join(draw.choices(PIECES, k=draw.randrange(1, 12)))
    return (draw.choice(PIECES) * MAX_CHARACTERS)[: MAX_CHARACTERS + draw.randrange(-9, 2)]


def test_any_text_is_read_or_refused_without_an_exception():
    draw = random.Random(20)
    asked = [None, *map(find_unit, ("W", "kW", "Ω", "A", "%", "K", "min", "bar"))]
    outcomes = {TypedQuantity: 0, Unread: 0}
    for _ in range(20_000):
        text = any_text(draw)
        found = read_quantity(text, draw.choice(asked))
        outcomes[type(found)] += 1
        if isinstance(found, TypedQuantity):
            assert 1 <= len(found.values) <= 2, repr(text)
            assert all(abs(value) <= 1e15 for value in found.values), repr(text)
        else:
            assert found.reason.isprintable(), repr(text)
            assert len(found.reason) < 250, repr(text)
    assert min(outcomes.values()) > 2_000  # both outcomes are reached, and often


@pytest.mark.parametrize("sign", ["1", "1,", "1 ", "=", "1 111", "e", "1/", "\ufdfa", "x"])
def test_long_repeats_and_a_million_characters_are_no_trouble(sign):
    for length in (MAX_CHARACTERS, 1_000_000):
        found = read_quantity((sign * length)[:length])
        assert isinstance(found, Unread)
