"""From readings between lugs to elements: blocks made at random and given back, and what no reading
tells."""

from __future__ import annotations

from itertools import combinations

import networkx as nx
import numpy as np
import pytest

from lessonlib.appliance.reader import read_appliance
from lessonlib.diagnosis.lug_network import Readings, fewest_resistors
from lessonlib.diagnosis.lugs import lugs
from lessonlib.errors import ReadingError
from lessonlib.safety import UNPLUGGED

CHAIN = {("1", "2"): 189.0, ("2", "3"): 52.4, ("1", "3"): 241.4}


def block(rng: np.random.Generator, most_rings: int) -> dict[tuple[str, str], float]:
    """The elements of a random block of 3 to 8 lugs, all joined, in ohms."""
    count = int(rng.integers(3, 9))
    pairs = {(int(rng.integers(lug)), lug) for lug in range(1, count)}
    every = list(combinations(range(count), 2))
    pairs |= {every[at] for at in rng.permutation(len(every))[: rng.integers(most_rings + 1)]}
    return {(str(a), str(b)): round(float(rng.uniform(20, 1000)), 1) for a, b in sorted(pairs)}


def read(elements: dict[tuple[str, str], float]) -> dict[tuple[str, str], float]:
    """The resistance between each two lugs, by networkx."""
    graph = nx.Graph()
    for (one, other), ohm in elements.items():
        graph.add_edge(one, other, ohm=ohm)
    ohm = nx.resistance_distance(graph, weight="ohm")
    return {(one, other): ohm[one][other] for one, other in combinations(sorted(graph), 2)}


def by_meter(
    elements: dict[tuple[str, str], float], rng: np.random.Generator
) -> dict[tuple[str, str], float]:
    """The same as a meter reads it, off by up to 80 % of its 1 % and 3 steps of 0.1 ohm."""
    return {
        pair: ohm + 0.8 * (0.01 * ohm + 0.3) * rng.uniform(-1, 1)
        for pair, ohm in read(elements).items()
    }


def found_in(readings, **leads):
    found = lugs(readings, **leads)
    assert found.contradiction == ""
    return {element.between: element.resistance_ohm for element in found.elements}


def found_exactly(readings):
    """The fewest resistors by a meter that is good to a millionth."""
    names = sorted({lug for pair in readings for lug in pair})
    pairs = tuple((names.index(one), names.index(other)) for one, other in readings)
    ohm = np.array(list(readings.values()))
    found = fewest_resistors(Readings(len(names), pairs, ohm, 1e-6 * ohm + 1e-5))
    assert found.agrees
    ends = [(names[one], names[other]) for one, other in found.pairs]
    return dict(zip(ends, found.ohm, strict=True))


def test_random_blocks_are_given_back_by_exact_readings(wide: bool) -> None:
    rng = np.random.default_rng(11)
    for _ in range(1000 if wide else 200):
        elements = block(rng, most_rings=4)
        if not hidden(elements):
            assert found_exactly(read(elements)) == pytest.approx(elements, rel=1e-4)


def hidden(elements: dict[tuple[str, str], float]) -> bool:
    """Whether all lugs are joined to all others, where a joint inside may read the same."""
    count = len({lug for pair in elements for lug in pair})
    return len(elements) == count * (count - 1) // 2


def test_readings_as_good_as_the_meter_give_a_block_that_reads_the_same(wide: bool) -> None:
    rng = np.random.default_rng(13)
    for rings in (0, 2) * (500 if wide else 60):
        elements = block(rng, most_rings=rings)
        noisy = by_meter(elements, rng)
        found = found_in(noisy)
        for pair, ohm in read(found).items():
            assert abs(ohm - noisy[pair]) <= 0.01 * noisy[pair] + 0.3 + 1e-6
        if not rings:  # an element and its neighbours share the meter's 1 % and 0.3 ohm
            assert found == pytest.approx(elements, rel=0.02, abs=0.6)
        del noisy[sorted(noisy)[rng.integers(len(noisy))]]
        assert lugs(noisy).contradiction == ""  # with a pair left out either


def test_power_is_at_the_mains_voltage_and_the_heats_are_named() -> None:
    rows = lugs(CHAIN).shown_rows
    assert rows == [("1 and 2", "189 Ω", "280 W", "low"), ("2 and 3", "52.4 Ω", "1010 W", "high")]
    row = {(str(lug), str(lug + 1)): 50.0 * lug for lug in range(1, 6)}
    heats = [heat for *_, heat in lugs(read(row)).shown_rows]
    assert heats == ["highest", "4 of 5", "3 of 5", "2 of 5", "lowest"]
    # 100 and 101 ohm are one heat to a meter
    alike = lugs({("1", "2"): 100.0, ("2", "3"): 50.0, ("3", "4"): 101.0}).shown_rows
    assert [heat for *_, heat in alike] == ["low", "high", "low"]
    assert lugs(CHAIN, supply_voltage_V=120).elements[0].power_W == pytest.approx(120**2 / 189)


def test_two_circuits_that_do_not_lead_to_each_other() -> None:
    found = lugs({("1", "2"): 100, ("3", "4"): 50, ("1", "3"): None})
    assert [element.between for element in found.elements] == [("1", "2"), ("3", "4")]
    assert found.to_measure == ()


def test_what_was_not_read_is_asked_for_with_what_it_should_read() -> None:
    assert lugs({("1", "2"): 189, ("2", "3"): 52.4}).to_measure == (
        (("1", "3"), pytest.approx(241.4)),
    )
    assert lugs({("1", "2"): 189, ("3", "4"): 52.4}).to_measure == ((("1", "3"), None),)


def test_lugs_on_one_strap_are_one_point() -> None:
    found = lugs({("1", "2"): 0.2, ("2", "3"): 52.4, ("1", "3"): 52.6})
    assert found.straps == (("1", "2"),)
    assert [element.between for element in found.elements] == [("1", "3")]


def test_what_the_leads_read_is_taken_off_and_leads_turned_round_read_about_the_same() -> None:
    leads = {pair: ohm + 0.4 for pair, ohm in CHAIN.items()}
    assert found_in(leads, leads_ohm=0.4) == pytest.approx(found_in(CHAIN))
    assert found_in(CHAIN | {("2", "1"): 189.4}) == found_in(CHAIN)


def test_a_ring_of_three_may_be_three_from_a_joint_inside_and_both_are_said() -> None:
    found = lugs(dict.fromkeys(CHAIN, 100.0))
    assert [element.resistance_ohm for element in found.elements] == pytest.approx([150] * 3)
    assert "50 Ω to 1, 50 Ω to 2 and 50 Ω to 3" in str(found)


def test_four_from_a_joint_inside_are_four_and_not_the_ring_of_six() -> None:
    four = {pair: 100.0 for pair in combinations("1234", 2)}
    assert [element.resistance_ohm for element in lugs(four).elements] == pytest.approx([50] * 4)


# leaks


def leaking(share: float, leak_ohm: float) -> dict[tuple[str, str], float]:
    """An element of 50 ohms between 1 and 2 that leaks at a place along it."""
    return {
        ("1", "2"): 50.0,
        ("1", "case"): share * 50 + leak_ohm,
        ("2", "case"): (1 - share) * 50 + leak_ohm,
    }


@pytest.mark.parametrize("share", [0.0, 0.33, 0.9])
def test_a_low_leak_is_found_where_it_is(share: float) -> None:
    [leak] = lugs(leaking(share, 5)).leaks
    [(between, low, high)] = leak.places
    assert between == ("1", "2")
    assert low <= share <= high
    assert high - low < 0.05  # 1.6 ohm of 50, twice
    assert leak.ohm == pytest.approx(5, abs=0.8)
    assert "Do not use it" in str(leak)


def test_a_leak_whose_place_is_certain_is_at_one_place_in_words() -> None:
    (leak,) = lugs({("1", "2"): 52.9, ("1", "case"): 0.2, ("2", "case"): 53.0}).leaks
    assert leak.where == "about 0 % of the way from 1 to 2"


def test_a_high_leak_may_be_anywhere_and_that_is_said() -> None:
    [leak] = lugs(leaking(0.3, 2e6)).leaks
    assert leak.where == "somewhere between 1 and 2"
    assert "no insulation test" in str(leak)


def test_much_too_many_ohms_for_an_element_are_a_leak() -> None:
    found = lugs({("1", "2"): 100, ("3", "4"): 50, ("1", "3"): 400_000})
    assert len(found.elements) == 2
    assert "too much for an element" in str(found)


# what cannot be true


def test_one_misreading_among_many_is_named() -> None:
    elements = {("1", "2"): 100.0, ("2", "3"): 50.0, ("3", "4"): 70.0, ("4", "5"): 120.0}
    readings = read(elements)
    for pair, right in readings.items():
        found = lugs(readings | {pair: 3 * right})
        assert found.contradiction
        assert found.elements == ()
        assert pair in [wrong.between for wrong in found.likely_misreadings]


def test_the_reading_that_is_least_far_off_is_the_likeliest() -> None:
    [first, *_] = lugs(CHAIN | {("1", "3"): 260.0}).likely_misreadings
    assert (first.between, first.read_ohm) == (("1", "3"), 260)
    assert first.expected_ohm == pytest.approx(241.4)


@pytest.mark.parametrize(
    ("readings", "said"),
    [
        (
            CHAIN | {("1", "3"): 260.0},
            "1–3 reads 260 Ω, more than 1–2 and 2–3 together (241 Ω). By way of the third",
        ),
        (CHAIN | {("1", "3"): None}, "1–3 reads open, yet the other readings lead from 1 to 3"),
        (CHAIN | {("2", "1"): 52.0}, "The two readings of 1–2 differ"),
        (
            {("1", "2"): 50, ("1", "case"): 1000, ("2", "case"): None},
            "2 reads open to the case, yet 1, which it leads to, does not",
        ),
    ],
)
def test_what_cannot_be_true_together_is_said(readings, said) -> None:
    assert lugs(readings).contradiction.startswith(said)


@pytest.mark.parametrize(
    ("readings", "found", "accepted"),
    [
        ({("1", "2"): 60.0, ("1", "3"): "abc"}, "between 1 and 3: found", "accepted: a number"),
        ({}, "found {}", "a table such as"),
        ({("1", "2"): -3}, "ohm = -3", "0 to 1e+09"),
        ({("1", "2"): float("nan")}, "nan", "0 to 1e+09"),
        ({("1", "2"): "189 ohm"}, "ohm = '189 ohm'", "a number from 0"),
        ({("1", "1"): 3}, "('1', '1')", "two different lugs"),
        ({"12": 3}, "'12'", "two different lugs"),
        ({("1", "case"): 3}, "1 lugs", "2 to 8"),
        ({(str(lug), "x"): 3 for lug in range(9)}, "10 lugs", "2 to 8"),
    ],
)
def test_what_is_no_table_of_readings_is_refused(readings, found, accepted) -> None:
    with pytest.raises(ReadingError) as error:
        lugs(readings)
    assert found in str(error.value)
    assert accepted in str(error.value)


def test_a_voltage_that_no_supply_has_is_refused() -> None:
    with pytest.raises(ReadingError, match="accepted: 1 to 1000 V"):
        lugs(CHAIN, supply_voltage_V=0)


# what it shows


@pytest.mark.parametrize(
    "readings",
    [CHAIN, {("1", "2"): 100, ("3", "4"): 50}, dict.fromkeys(CHAIN, 100.0), {('"<b>', "2"): 50.0}],
)
def test_every_result_warns_is_text_and_starts_a_file_that_can_be_read(readings) -> None:
    found = lugs(readings)
    html = found._repr_html_()
    assert UNPLUGGED in str(found)
    assert UNPLUGGED in html
    assert "<b>" not in html
    started = read_appliance(found.appliance_text)
    assert [part.resistance_ohm for part in started.elements] == pytest.approx(
        [element.resistance_ohm for element in found.elements], rel=1e-3
    )


def test_the_sketch_says_in_words_what_it_shows() -> None:
    html = lugs(CHAIN)._repr_html_()
    assert 'aria-label="Elements between lugs: 1 to 2 189 Ω, 280 W; 2 to 3 52.4 Ω, 1010 W"' in html
