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
        # marks and groups
        (["1200", "1 200", "1'200", "1’200", "01200", "1200.", "1200,", "1.2e3"], 1200, None),
        (["1 200 W", "1\u00a0200 W", "1\u2009200\u2009W", "1\u202f200\u00a0W"], 1200, "W"),
        (["1.2 kW", "1,2 kW", "1.2kW", "1,20 kW", "+1.2 kW", "  1.2\tkW\n"], 1.2, "kW"),
        (["1.200,5 W", "1,200.5 W", "1'200.5 W", "1 200,5 W", "1\u202f200.5 W"], 1200.5, "W"),
        (["1,200,000 W", "1.200.000 W", "1 200 000 W", "12,00,000 W"], None, "W"),
        ([".5 A", ",5 A", "0.5 A", "0,500 A", "0.5A", "٠،٥ A"], 0.5, "A"),
        (["-4 A", "- 4 A", "\u22124 A", "\u20134 A", "\uff0d4 A", "\u20114 A"], -4, "A"),
        # powers of ten
        (
            [
                *("1.2e3 W", "1.2E3 W", "1.2e+3 W", "1.2·10^3 W", "1.2 x 10^3 W", "1.2X10^3 W"),
                *("1,2 × 10³ W", "1.2*10**3 W", "1.2⋅10^3 W", "12 × 10² W", "0.12×10⁴ W"),
            ],
            1200,
            "W",
        ),
        (["10³ W", "10^3 W", "1e3 W"], 1000, "W"),
        (["5×10⁻³ A", "5e-3 A", "5 × 10^-3 A", "5 × 10^\u22123 A"], 0.005, "A"),
        # fractions
        (["1/2", "½", "1 / 2", "1⁄2", "1∕2"], 0.5, None),
        (["½ kW", "1/2 kW", "½kW", "⅟2 kW"], 0.5, "kW"),
        (["2½ kW", "2 1/2 kW", "2 ½ kW"], 2.5, "kW"),
        (["1 1/2 kW", "1½ kW"], 1.5, "kW"),
        (["1/100", "0.01"], 0.01, None),
        (["-3 / 4 A", "−¾ A"], -0.75, "A"),
        # a letter in place of the decimal mark
        (["52R9", "52r9", "52R9 Ω", "52R9 ohms", "52.9 Ω", "52.9 R", "52.9R"], 52.9, "Ω"),
        (["R47", "0R47", "R47 ohm", "0.47 Ω"], 0.47, "Ω"),
        (["4k7", "4K7", "4k7 ohm", "4K7Ω", "4.7k", "4.7 kOhm", "4.7 KΩ", "4.7 kR"], 4.7, "kΩ"),
        (["2M2", "2.2M", "2M2 Ω", "2.2 MOHM", "2.2 megohms", "2.2 Mohm"], 2.2, "MΩ"),
        (["1G5", "1.5 GΩ"], 1.5, "GΩ"),
        (["4L7", "4.7 mΩ", "4.7 milliohm", "4.7 mohm"], 4.7, "mΩ"),
        (["4k7 W", "4.7 kW"], 4.7, "kW"),
        # before and around the number
        (
            [
                *[
                    "~500 W",
                    "≈500 W",
                    "≈ 500 W",
                    "ca. 500 W",
                    "ca 500 W",
                    "c. 500 W",
                    "about 500 W",
                ],
                *("approx. 500 W", "c. 500 W", "Roughly 500 W", "=500 W", "= 500 W", "P = 500 W"),
                *(
                    "P=500W",
                    "P ≈ 500 W",
                    "P = ca. 500 W",
                    "P: 500 W",
                    "P(E1) = 500 W",
                    "P_tot = ~500 W",
                ),
                *("total power = 500 W", "R1: 500 W", "x == 500 W", "P := 500 W"),
                *("500 W.", '"500 W"', "'500 W'", "“500 W.”", "`500 W`", "500 W?", "500 W!"),
                *("\ufeff500 W", "500\u200bW", "\u202e500 W\u202c"),
            ],
            500,
            "W",
        ),
        # units
        (["53 ohm", "53 \u2126", "53 \u03a9", "53Ohms", "53 OHM"], 53, "Ω"),
        (["500mA", "500 MILLIAMPS", "500 milliamps", "500 m A"], 500, "mA"),
        (["5 uA", "5 \u00b5A", "5 \u03bcA", "5 microamps"], 5, "µA"),
        (["230V", "230 v", "230 Volts", "230 VOLT"], 230, "V"),
        (["3 kW", "3 KW", "3 kw", "3 Kw", "3 kilowatts", "3 Kilowatt", "3 ㎾"], 3, "kW"),
        (["3 W", "3 w", "3 Watt", "3 WATTS"], 3, "W"),
        (["3 kWh", "3 kilowatt-hours", "3 kilowatt hours", "3 kW·h", "3 KWH"], 3, "kWh"),
        (["50 %", "50%", "50 per cent", "50 percent", "50 ٪", "50％"], 50, "%"),
        (
            [
                *["20 °C", "20°C", "20 ºC", "20 ℃", "20 C", "20 degrees", "20°", "20 deg C"],
                *["20 Celsius"],
            ],
            20,
            "°C",
        ),
        (["20 K", "20 kelvin"], 20, "K"),
        (["2 bar(g)", "2 bar (g)", "2 barg", "2 bar gauge", "2 BAR G"], 2, "bar(g)"),
        (["2 bar(a)", "2 bara", "2 bar abs.", "2 bar absolute"], 2, "bar(a)"),
        # times
        (["12 min", "12 minutes", "12 mins."], 12, "min"),
        (["12 min 30 s", "12min30s", "12:30 min", "12m30s", "12 min 30", "750 s"], 750, "s"),
        (["1 h 05 min", "1h05", "1:05 h", "1 hour and 5 minutes", "1 h, 5 min"], 65, "min"),
        (["1 h 1 min 1.5 s"], 3661.5, "s"),
        # what is added to a unit
        (["230 VAC", "230V AC", "230 V a.c.", "230 V rms", "230 V r.m.s.", "230 Vrms"], 230, "V"),
        (["230 V~", "230 V (r.m.s.)", "230 V AC rms", "230 volts AC", "230 VAC each"], 230, "V"),
        (["5 A rms", "5 A AC", "5 amps a.c."], 5, "A"),
        (["450 W each", "450 W (each)", "450W in total", "450 watts total."], 450, "W"),
        (["450 each", "450 in total"], 450, None),
        # units of elsewhere
        (["20 psi", "20 PSI"], 20, "psi"),
        (["20 psig", "20 psi (gauge)", "20 psi(g)"], 20, "psi(g)"),
        (["20 psia", "20 psi absolute"], 20, "psi(a)"),
        (["212 °F", "212°F", "212 deg F", "212 degrees F", "212 Fahrenheit", "212 ºF"], 100, "°C"),
        # in words
        (["five amps", "Five A", "5 A"], 5, "A"),
        (["twelve hundred watts", "one thousand two hundred W", "Twelve Hundred W"], 1200, "W"),
        (["a hundred and five volts", "one hundred five V", "one-hundred-and-five V"], 105, "V"),
        (["fifty-two point nine ohms", "Fifty two point nine Ω"], 52.9, "Ω"),
        (["one point two kW", "one point two zero kilowatts"], 1.2, "kW"),
        (["half a kilowatt", "a half kW", "half of a kW", "about half a kilowatt"], 0.5, "kW"),
        (["two and a half kW", "two and one half kilowatts"], 2.5, "kW"),
        (
            ["a quarter", "a quarter.", "a-quarter", "A Quarter", "one quarter", "quarter"],
            0.25,
            None,
        ),
        (["three quarters", "three-quarters", "Three quarters"], 0.75, None),
        (["a third", "one third", "One-third."], 1 / 3, None),
        (["zero", "nothing", "none", "nil", "None."], 0, None),
        (["zero watts", "0 W"], 0, "W"),
        (["minus five degrees", "-5 °C"], -5, "°C"),
        (["three times", "three-fold"], 3, "times"),
        # digits of other scripts
        (["١٬٢٠٠٫٥ W", "१२००.५ W", "１２００．５ W", "１ ２００，５Ｗ", "๑๒๐๐.๕ W"], 1200.5, "W"),
        (["१,२०,००० W", "120,000.0 W"], 120000, "W"),
    ],
)
def test_a_number_and_its_unit_are_read_as_people_write_them(texts, value, unit):
    for text in texts:
        values, found = read(text)
        if value is None:  # millions, grouped in four ways
            value = 1_200_000
        assert (values, found) == ((pytest.approx(value, rel=1e-15),), unit), text


@pytest.mark.parametrize(
    ("text", "asked", "value", "unit"),
    [
        ("47K", "Ω", 47, "kΩ"),
        ("47K", "K", 47, "K"),
        ("47K", "W", 47, "K"),
        ("1.2k", "W", 1.2, "kW"),
        ("1.2k", "kW", 1.2, "kW"),
        ("1.2k", "mA", 1.2, "kA"),
        ("1.2k", "Ω", 1.2, "kΩ"),
        ("4k7", "W", 4.7, "kW"),
        ("4k7", "mΩ", 4.7, "kΩ"),
        ("4k7", "°C", 4.7, "kΩ"),
        ("R47", "W", 0.47, "Ω"),
        ("2M2", "Ω", 2.2, "MΩ"),
        ("80 degrees", "K", 80, "K"),
        ("80 degrees", "°C", 80, "°C"),
        ("80 degrees", "W", 80, "°C"),
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
        (
            ["Time 12:30 min", "tenths", "third", "hundred W", "oneness", "twice", "?W", "W 500"],
            "no number at the start",
        ),
        (["nan", "inf W", "-infinity", "NaN W", "e5", "--5 W", "P = U"], "no number at the start"),
        (
            ["<b>5</b>", "<script>alert(1)</script>", "$5", "😀", "\x00", "\ud800", "(5 W)"],
            "no num",
        ),
        (["__import__('os').system('true')", "exec", "P = U*I"], "no number at the start"),
        (
            ["9**9 W", "9^9", "2+3 W", "5 +", "230*5", "230 x 5 W", "230 V × 5 A"],
            "a calculation. Work",
        ),
        (["300 + 700", "2 x 450 W", "5 % of 230 W"], "a calculation. Work it out first, then"),
        (
            [
                *["1/0", "1/4/2", "1/2.5 A", "1,200/3", "5 W / 2", "10/2 A", "4/3", "230/529 A"],
                *["1/101"],
            ],
            "such as 1.2. Only a fraction below one, such as 1/3, counts as a number.",
        ),
        (
            ["500-600 W", "500–600 W", "500 W - 600 W", "500 to 600 W", "500 or 600"],
            "Write one number",
        ),
        (["500..600 W", "500…600 W", "500 ~ 600 W", "500 ± 5 W", "500 W +/- 1 %"], "That is a ran"),
        (["<500 W", "> 500 W", "≤ 500 W", ">= 500 W"], "a limit. Write one number"),
        (["5 A 230 V", "5 A, 230 V", "1200 W 5", "1 h 5 h", "1.5 h 5 min"], "more than one number"),
        (["3V3", "5 E1", "1_200 W", "1k2.5"], "more than one number"),
        (["230 V * 5 A = 1150 W", "U = 230 V, I = 5 A", "1.2 kW = 1200 W"], "That is an equation"),
        (["1e999 W", "-1e999", "1e20 W", "1e9999999999", "9" * 50, "10^99"], "too large"),
        (["1e-999 W", "-1e-20 A"], "too small"),
        (
            ["12 34 W", "1,23.5 W", "1.2.3 W", "1 1/2/3", "5 6/2", "1'20", "0 200 W", "1 200'300"],
            "as one number",
        ),
        (
            ["100 furlongs", "5 foo", "5\x00W", "5 \ud800", "5 😀", "5 W W"],
            "but not the uni",
        ),
        (["4m7", "4n7", "4µ7", "4p7", "1F5"], "is a capacitance"),
        (["4R7 W", "4L7 V", "4k7 kΩ", "4k7 foo", "R47 kΩ"], "does not fit after it"),
        (["12:30", "1:4", "12:75 min", "12:5 min", "12:30 W"], "minutes and seconds, hours and"),
        (["1" * 61, "5 W" + " " * 60, "😀" * 61], "characters long. Write one number"),
    ],
)
def test_what_is_no_number_with_a_unit_is_refused_with_the_reason(texts, why):
    for text in texts:
        found = read_quantity(text)
        assert isinstance(found, Unread), f"{text!r} was read as {found}"
        assert why in found.reason, text


def test_a_refusal_says_what_was_read_and_which_unit_is_asked_for():
    assert reason("5 foo", "Ω") == 'I read 5, but not the unit "foo". Write it as Ω.'
    assert reason("8 cases") == 'I read 8, but not the unit "cases". Write the number alone.'
    assert reason("1,200 foo").startswith('I read 1.2 or 1200, but not the unit "foo".')
    assert reason("4R7 W").startswith('I read "4R7" as 4.7 Ω, and "W" does not fit after it.')


@pytest.mark.parametrize("typed", ["nothing", "None", "nil", "off", "Off.", "no", "no current"])
@pytest.mark.parametrize("asked", ["W", "kW", "V", "mA", "VA"])
def test_words_for_nothing_are_zero_where_watts_volts_or_amperes_are_asked_for(typed, asked):
    assert read(typed, asked) == ((0.0,), asked)


def test_elsewhere_words_for_nothing_hear_how_to_write_zero():
    assert reason("none", "°C") == "If you mean zero, write 0 °C."
    assert reason("off") == "If you mean zero, write 0."
    assert reason("none", "Ω") == (
        "Write 0 Ω if it is as good as a wire, OL if there is no way through."
    )


def test_a_share_in_words_is_asked_what_it_is_a_share_of_unless_a_share_is_asked_for():
    said = '"a quarter" of what? Work it out. Write one number, such as 1.2 W.'
    assert reason("a quarter", "W") == said
    assert read("a quarter", "%") == ((0.25,), None)
    assert read("1/4", "W") == ((0.25,), None)
    assert read("two and a half", "A") == ((2.5,), None)


def test_a_bare_f_is_a_degree_only_where_a_temperature_is_asked_for():
    assert read("212 F", "°C") == ((pytest.approx(100),), "°C")
    assert 'not the unit "F"' in reason("212 F", "W")


def test_what_is_added_to_a_unit_must_belong_there():
    for typed in ("5 W rms", "5 W AC", "5 V dc", "5 V peak", "5 Vp", "5 each W"):
        assert "but not the unit" in reason(typed), typed


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
    for _ in range(5_000):
        value = draw.choice((-1, 1)) * 10 ** draw.uniform(-14, 14)
        symbol = draw.choice(("", *SYMBOLS))
        values, unit = read(written(value, symbol))
        # five significant figures are written: half a unit in the fifth is 5e-5 of the value
        assert values == (pytest.approx(value, rel=5.001e-5),)
        assert unit == (symbol or None)
        assert written(values[0], symbol) == written(value, symbol)


# any text at all

FORMS = ("1200", "1,2 kW", "1 200 W", "4k7 ohm", "R47", "½ kW", "1 1/2 h", "1.2 × 10³ W", "P = 5 A")
FORMS += ("two and a half kW", "one hundred and five V", "230 VAC", "450 W each", "212 °F")
FORMS += ("12 min 30 s", "12:30 min", "2 bar(g)", "ca. 20 °C", "500-600 W", "١٬٢٠٠٫٥", '"50 %"')
PIECES = (*" .,'/-+*^~=:x×·()eE%<>\"±½³⁻RkMmΩ", "10^", "**", "kW")
PIECES += ("min", "h", "s", "bar", "(g)", "°", "K", "ca.", "to", "1,200", "999", "0", "7", "\u202f")
PIECES += ("a ", "half ", "twelve ", "hundred ", "ſeven", " rms", " each", "psi", "°F", "none")
PIECES += ("\ufdfa", "\x00", "\ud800", "\u202e", "😀", "٣", "e999", "NaN", "P =", "and ", "\n")


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


def test_a_hundred_thousand_texts_are_read_or_refused_without_an_exception():
    draw = random.Random(20)
    asked = [None, *map(find_unit, ("W", "kW", "Ω", "A", "%", "K", "min", "bar"))]
    outcomes = {TypedQuantity: 0, Unread: 0}
    for _ in range(100_000):
        text = any_text(draw)
        found = read_quantity(text, draw.choice(asked))
        outcomes[type(found)] += 1
        if isinstance(found, TypedQuantity):
            assert 1 <= len(found.values) <= 2, repr(text)
            assert all(abs(value) <= 1e15 for value in found.values), repr(text)
        else:
            assert found.reason.isprintable(), repr(text)
            assert len(found.reason) < 250, repr(text)
    assert min(outcomes.values()) > 10_000  # both outcomes are reached, and often


@pytest.mark.parametrize("sign", ["1", "1,", "1 ", "=", "1 111", "e", "1/", "\ufdfa", "x"])
def test_long_repeats_and_a_million_characters_are_no_trouble(sign):
    for length in (MAX_CHARACTERS, 1_000_000):
        found = read_quantity((sign * length)[:length])
        assert isinstance(found, Unread)
