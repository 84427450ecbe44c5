"""What readings together say: hidden faults, examples in words, and readings that cannot be."""

import random
from itertools import pairwise

import pytest

from lessonlib import (
    CurrentReading,
    DiodeReading,
    PowerReading,
    ResistanceReading,
    appliance_names,
    diagnose,
    load_appliance,
    possible_faults,
    resistance,
    solve,
)
from lessonlib import test_plan as plan_for
from lessonlib.appliance.fault import find_fault
from lessonlib.appliance.settings import settings
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.bench_test import bench_test
from lessonlib.diagnosis.ranges import exact
from lessonlib.diagnosis.typed import readings_of
from lessonlib.errors import LessonlibError, ReadingError, SettingError
from lessonlib.safety import AT_BENCH, AT_PLUG
from tests.diagnosis.bench import Bench
from tests.networks import contact, diode, element, rig

URN = load_appliance("tea-urn")
MELTER = load_appliance("wax-melter")


def suspects(appliance, readings, **options):
    """Words of what agrees and would show, without sizes."""
    found = diagnose(appliance, readings, **options).suspects
    return {one.guess.unsized for one in found if one.shown}


def some_readings(bench, rng, count):
    """Readings at points and in settings drawn at random, at the pins in every setting first."""
    every, chosen = points(bench.appliance), settings(bench.appliance)
    at = [("L", "N", setting) for setting in chosen]
    at += [(*rng.sample(every, 2), rng.choice(chosen)) for _ in range(count)]
    return [
        bench.read(bench_test(bench.appliance, red, black, setting)) for red, black, setting in at
    ]


@pytest.mark.parametrize("name", appliance_names())
def test_the_hidden_fault_is_never_ruled_out(name, wide):
    appliance, rng = load_appliance(name), random.Random(name)
    every = (None, *possible_faults(appliance))
    for fault in rng.sample(every, 20 if wide else 5):
        found = diagnose(appliance, some_readings(Bench(appliance, fault, rng), rng, 4))
        wanted = exact(() if fault is None else (fault,)).unsized
        assert wanted in [one.guess.unsized for one in found.suspects]
        assert not found.contradictions


def test_a_dead_urn_has_six_suspects_and_a_knob_halves_them():
    dead = diagnose(URN, "L to N = OL")
    cord = {"plug fuse blown", "cord: line core broken", "cord: neutral core broken"}
    of_E1 = {"E1 open", "E1 at L: wire off", "E1 at N: wire off"}
    assert {one.words for one in dead.suspects} == cord | of_E1
    assert dead.conclusion.startswith("It is one of 6: plug fuse blown; ")
    assert dead.next_test.words == "L to N, S1 on"
    assert dead.what_next == "Next test, at the plug: L to N, S1 on."
    turned = "L to N = OL\nL to N = 44 at S1 on"
    assert suspects(URN, turned) == of_E1
    assert suspects(URN, "L to N = OL\nL to N = OL at S1 on") == cord
    assert suspects(URN, f"{turned}\nE1 at L to E1 at N = OL") == {"E1 open"}
    assert diagnose(URN, f"{turned}\nE1 at L to E1 at N = OL").conclusion == (
        "It is E1 open, if it is one fault only"
    )


def test_once_the_case_is_open_a_test_inside_is_little_trouble():
    # otherwise it would be the plug's fuse, as in the urn below
    inside = diagnose(MELTER, "L to fed = OL at S1 on")
    assert "plug fuse blown" in {one.words for one in inside.suspects}
    assert inside.next_test.place == "case open"
    assert diagnose(URN, "L to N = OL\nL to N = OL at S1 on").next_test.place == "in the plug"


def test_each_verdict_has_its_reading_and_its_reason():
    found = diagnose(URN, "L to N = OL")
    assert found.suspects[0].reasons == (
        "L to N, S1 off: read open, would be open; sound, 100 to 150 Ω",
    )
    out = {one.words: one for one in found.ruled_out}
    assert out["no fault found"].why == "L to N, S1 off: read open, would be 100 to 150 Ω"
    assert out["E1 shorted"].why == "L to N, S1 off: read open, would be 0 Ω"
    ruled = {one.guess.unsized for one in found.ruled_out}
    known = {one.guess.unsized for one in found.suspects}
    assert not ruled & known
    assert len(ruled | known) == 1 + len(possible_faults(URN))


def test_a_sound_urn_has_no_fault_found_and_says_what_was_not_looked_at():
    found = diagnose(URN, ["L to N = 132", "L to N = 33.1 at S1 on", "L to PE = OL at S1 on"])
    assert found.suspects[0].words == "no fault found"
    assert found.suspects[0].agreement > 0.9
    assert found.conclusion.startswith("No fault found so far. These may read the same: E1 at L: ")
    assert [one.words for one in found.suspects if not one.shown] == ["earth wire off"]
    assert found.conclusion.endswith("These readings would not show 1 other fault")


@pytest.mark.parametrize(
    ("appliance", "readings", "words"),
    [
        (URN, "L to N = 66\nL to N = 26.4 at S1 on", "E1 part shorted, 30 to 75 % left"),
        (
            URN,
            "L to PE = 20k\nL to N = 132\nE2 at boost to case = OL with E2 unhooked",
            "E1 leaking to its sheath, 10 to 100 kΩ",
        ),
        (
            MELTER,
            "L to N = 96 at S1 on, S2 full\nL to S1 at L = 30",
            "S1 at L: bad joint, 10 to 50 Ω",
        ),
    ],
)
def test_sizes_are_told_as_far_as_the_readings_go(appliance, readings, words):
    assert diagnose(appliance, readings).suspects[0].words == words


def test_a_diode_on_both_ranges():
    full = "L to N = 66 at S1 on, S2 full\n"
    gone = suspects(MELTER, f"{full}diode range L to N = OL at S1 on")
    assert {"D1 open", "D1 reversed"} <= gone
    assert not {"no fault found", "D1 shorted"} & gone
    back = suspects(MELTER, f"{full}diode range N to L = 0.61 V at S1 on")
    assert back == {"D1 reversed"}
    through = suspects(MELTER, f"{full}N to L = 66 at S1 on\ndiode range L to N = 0.07 at S1 on")
    assert through == {"D1 shorted", "S2 welded"}


def test_readings_at_the_plug_and_at_the_bench_go_together():
    weak = solve(URN, {"S1": "on"}, fault="E1 open").power_W
    both = [
        PowerReading(power_W=weak, setting={"S1": "on"}, supply_voltage_V=230),
        CurrentReading(current_A=5.2, setting={"S1": "on"}),
        ResistanceReading(red="L", black="N", ohm=None),
    ]
    assert suspects(URN, both) == {"E1 open", "E1 at L: wire off", "E1 at N: wire off"}
    shorted = diagnose(URN, PowerReading(power_W=400))
    [why] = [one.why for one in shorted.ruled_out if one.words == "E1 shorted"]
    assert why.endswith("would be a short circuit")


def test_two_faults_are_found_where_no_single_one_agrees():
    readings = (
        "L to N = OL\nL to N = OL at S1 on\nL to plug fuse = 0.1\n"
        "E1 at L to E1 at N = OL\nL to S1 at L = 0.2\nN to E1 at N = OL"
    )
    assert not diagnose(URN, readings).suspects
    done = []
    words = suspects(URN, readings, pairs=True, progress=done.append)
    assert done[-1] == 1.0
    assert "cord: neutral core broken and E1 open" in words
    assert all("cord: neutral core broken" in each for each in words)


def test_readings_that_contradict_each_other_are_named():
    twice = diagnose(URN, ["L to N = 132", "L to N = 50"])
    assert twice.suspects == ()
    assert twice.contradictions[0] == (
        "L to N, S1 off: 132 Ω ± 1.6 Ω, and L to N, S1 off: 50 Ω ± 0.8 Ω: "
        "the same test cannot give both"
    )
    odd = diagnose(URN, "L to N = 132\nL to N = 33 at S1 on\nN to L = OL at S1 on")
    assert any(
        each == "without N to L, S1 on: open, the other readings agree"
        for each in odd.contradictions
    )
    assert odd.conclusion.startswith("Nothing modelled explains these readings. Nearest: ")
    assert len(odd.nearest) == 3
    assert odd.next_test is None
    assert "contradict" in odd.what_next


def test_a_thousand_times_too_much_is_asked_about():
    assert diagnose(URN, "L to N = 132000").contradictions == (
        "L to N, S1 off: 132 kΩ ± 1.3 kΩ fits nothing that is modelled; about 1000 times too large:"
        " does the meter show a k or an m beside the number?",
    )


def test_a_bad_joint_is_told_with_the_heat_it_would_make():
    steamer = load_appliance("garment-steamer")
    found = diagnose(steamer, "fed to top = 3")
    # joints from 2 to 10 ohm give 3; 230 V over 35.24 + 10 ohm is 5.08 A, and 10 ohm make 258 W
    said = "In use such a bad joint or contact would make up to 260 W of heat, enough to start a"
    assert found.heat.startswith(f"{said} fire. Leave it unplugged")
    assert found.heat in str(found)
    assert diagnose(steamer, "L to N = 35.2 at S1 on").heat == ""  # nothing speaks for one
    assert diagnose(URN, "L to N = OL").heat == ""


def test_it_shows_as_one_table_with_the_caution_and_the_next_test():
    found = diagnose(URN, "L to N = OL")
    text = str(found).splitlines()
    assert text[:3] == [f"{AT_BENCH} {AT_PLUG}", f"{found.conclusion}.", found.what_next]
    assert text[4] == found.caption
    html = found._repr_html_()
    assert "<table" in html
    assert html.count("Next test") == 1


def test_elements_side_by_side_are_told_apart_with_the_wires_of_one_off():
    parts = element("E1", "L", "N", 100) + element("E2", "L", "N", 100)
    assert diagnose(rig(parts), "L to PE = 20k").next_test.place == "wire off"


@pytest.mark.parametrize(
    ("appliance", "words"),
    [(URN, "E2 at N: wire off"), (MELTER, "D1 reversed"), (MELTER, None)],
)
def test_one_next_test_after_the_other_leads_to_the_fault(appliance, words):
    bench = Bench(appliance, words and find_fault(appliance, words), random.Random(words))
    readings = [bench.read(bench_test(appliance, "L", "N", settings(appliance)[0]))]
    found = diagnose(appliance, readings)
    while found.next_test is not None:
        assert len(readings) < 30
        readings.append(bench.read(found.next_test))
        found = diagnose(appliance, readings)
    left = [one.words for one in found.suspects]
    assert (words or "no fault found") in left
    assert all("open" not in one and "wire off" not in one for one in left if one != words)
    if appliance is MELTER:
        assert found.what_next.endswith("tells more.") == (len(left) < 2)
        assert ("F1: cold, it reads as a sound one" in found.what_next) == (words is None)


def test_an_appliance_with_too_many_switches_is_diagnosed_without_a_next_test():
    nodes = ["L", *(f"n{number}" for number in range(16))]
    chain = "".join(contact(f"S{k}", pair) for k, pair in enumerate(pairwise(nodes)))
    many = rig(chain + element("E1", nodes[-1], "N"))
    everything_on = ", ".join(f"S{k} on" for k in range(16))
    found = diagnose(many, f"L to N = OL at {everything_on}")
    assert "E1 open" in {one.words for one in found.suspects}
    assert found.next_test is None
    with pytest.raises(SettingError, match="65,536 settings of 16 parts"):
        plan_for(many)


def test_a_point_with_the_name_of_an_end_is_refused():
    odd = rig(element("E1", "L", "E2 at N") + element("E2", "E2 at N", "N"))
    with pytest.raises(ReadingError, match="found a point named 'E2 at N'"):
        diagnose(odd, "L to N = 200")
    assert resistance(odd, red="L", black="N").ohm == pytest.approx(200)  # no end is needed
    assert resistance(odd, red="L", black="PE").ohm is None
    twice = rig(
        contact("S1", ("L", "a"), ("L", "N")) + element("S1.1", "L", "a") + element("E1", "a", "N")
    )
    with pytest.raises(ReadingError, match="two ends of the same name"):
        diagnose(twice, "L to N = 200")


OPEN_ON = ResistanceReading(red="L", black="N", ohm=None, setting={"S1": "on"})

# --- typed readings -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "reading"),
    [
        ("L to N = 33.1", ResistanceReading(red="L", black="N", ohm=33.1)),
        ("L–N=33,1 ohm", ResistanceReading(red="L", black="N", ohm=33.1)),
        ("L - N = 1.2 k", ResistanceReading(red="L", black="N", ohm=1200)),
        ("L/N = 4.7 MΩ", ResistanceReading(red="L", black="N", ohm=4.7e6)),
        ("L to N = O.L at S1 on", OPEN_ON),
        ("E1 at L to E1 at N = open", ResistanceReading(red="E1 at L", black="E1 at N", ohm=None)),
        (
            "E2 at boost to case = 20k at S1 on with E2 unhooked",
            ResistanceReading(
                red="E2 at boost", black="case", ohm=20e3, setting={"S1": "on"}, unhooked="E2"
            ),
        ),
        ("diode range L to N = 0.55 V", DiodeReading(red="L", black="N", volts=0.55)),
        ("power = 1.2 kW at S1 on", PowerReading(power_W=1200, setting={"S1": "on"})),
        ("current = 5.2 A", CurrentReading(current_A=5.2)),
    ],
)  # fmt: skip
def test_a_reading_is_read_as_it_is_typed(line, reading):
    assert readings_of(URN, line) == (reading,)
    assert readings_of(URN, [line, line]) == (reading, reading)


@pytest.mark.parametrize(
    ("given", "error", "words"),
    [
        ("L to N = -5", ReadingError, "found '-5' in .*a number from 0.*Swap the leads"),
        ("L to N = 12 V", ReadingError, "in V; accepted: ohms.*Never measure volts inside"),
        ("power = 12 V", ReadingError, "in V; accepted"),
        ("power = OL", ReadingError, "accepted: a number for power"),
        ("L to N 33", ReadingError, "without a =; accepted: a line such as"),
        ("L = 33", ReadingError, "accepted: two points"),
        ("L to X = 33", ReadingError, "no point 'X'; accepted: L, N, PE, plug fuse, case, boost"),
        ("L to L = 33", ReadingError, "both leads on L"),
        ("L to N = about 33", ReadingError, "found 'about 33'"),
        ("L to N = 33 at S1", SettingError, "accepted: a switch with its position"),
        ("L to N = 33 at S1 high", SettingError, "no position 'high'"),
        ("L to N = 33 at S9 on", SettingError, "no part 'S9'"),
        ("L to N = 33 with E9 unhooked", ReadingError, "'E9' unhooked; accepted: .*E1, E2, S1"),
        ("", ReadingError, "found no readings; accepted: one or more"),
        (None, ReadingError, "found None; accepted: a line such as"),
        ({("L", "N"): 33}, ReadingError, "accepted: a line"),
        (("L", "N", 33), ReadingError, "found 'L', without a ="),
        (PowerReading(power_W=5, supply_voltage_V=12), ReadingError, "pull the plug"),
    ],
)  # fmt: skip
def test_what_is_no_reading_says_what_is(given, error, words):
    with pytest.raises(error, match=f"(?s){words}") as caught:
        diagnose(URN, given)
    assert isinstance(caught.value, LessonlibError)


def test_points_with_blanks_and_bars_in_their_names_are_found():
    odd = rig(element("E1", "L", "to and fro") + diode("D 1", "to and fro", "N"))
    [reading] = readings_of(odd, "L to to and fro = 100")
    assert (reading.red, reading.black) == ("L", "to and fro")
    [reading] = readings_of(odd, "E1 at to and fro to D 1 at N = OL")
    assert (reading.red, reading.black) == ("E1 at to and fro", "D 1 at N")
