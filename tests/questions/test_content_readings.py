"""Heating runs, meters, waves and lists in lines of data; a file of one's own."""

from __future__ import annotations

import math

import pytest

from lessonlib import predict
from lessonlib.appliance.bundled import load_appliance
from lessonlib.circuit.solution import solve
from lessonlib.circuit.waveform import waveform
from lessonlib.errors import AnswerError
from lessonlib.heat.run import heat_up
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.bank import find
from lessonlib.questions.marking import mark
from tests.questions.test_content import made

STEAMER = "circuit = garment-steamer, at S1 on\n"


def test_a_heating_run_says_when_how_hot_and_how_it_cycles() -> None:
    run = heat_up(load_appliance("garment-steamer"), {"S1": "on"}, minutes=30)
    assert run.cycle is not None
    data = f"{STEAMER}run = heated for 30 minutes at S1 on\nanswer = run.ready_s in s"
    found = made(data, "{run.cycle.mean_heat_W: W}, {run.first_s.opens: s}, {run.hottest_C.F1:.1f}")
    assert found.answer.value == run.time_to_ready_s
    cycle_W, opens_s, hottest_C = found.text.split(", ")
    assert float(cycle_W[:-2]) == pytest.approx(run.cycle.mean_heat_W, rel=1e-4)
    assert float(opens_s[:-2]) == pytest.approx(run.time_to_ready_s, rel=1e-4)
    assert float(hottest_C) == pytest.approx(run.hottest_place_C("F1"), abs=0.06)


def test_a_run_may_have_a_fault_and_says_nothing_of_what_did_not_happen() -> None:
    data = f"{STEAMER}run = heated for 240 minutes at S1 on, fault P1 welded\nanswer = 1 in W"
    assert made(data, "{'vents' in run.first_s}, {'closes' in run.first_s}").text == "yes, no"
    with pytest.raises(AnswerError, match="nothing called 'closes'"):
        made(data, "{run.first_s.closes: s}")


def test_a_wave_has_what_a_meter_makes_of_it() -> None:
    melter = {"S1": "on", "S2": "half"}
    wave = waveform(solve(load_appliance("wax-melter"), melter), "E1").voltage
    data = "circuit = wax-melter, at S1 on, S2 half\nwave = voltage across E1\n"
    found = made(f"{data}answer = wave.averaging_meter in V")
    assert wave is not None
    assert found.answer.value == wave.averaging_meter


def test_an_open_way_reads_ol_in_a_text_too() -> None:
    data = "circuit = wax-melter\nopen = ohms from L to N at S1 off\nanswer = 1 in W"
    assert made(data, "{open: Ω}, {round(open): Ω}").text == "OL, OL"


def test_steam_and_air_are_those_of_the_heat_engine() -> None:
    assert work_out("steam_C(0)", {}) == pytest.approx(100, abs=0.1)
    assert work_out("saturated_C(1 + 0.013)", {}) == pytest.approx(100, abs=0.1)
    assert work_out("steam_C(0.6, 2000) < steam_C(0.6)", {})
    assert work_out("air_bar(1000)", {}) == pytest.approx(0.899, abs=0.001)
    assert work_out("round(x) == x", {"x": math.inf})


def test_things_stand_in_order_of_their_values_and_are_joined_as_asked() -> None:
    data = 'a = "last"\nb = "first"\nrow = a at 2, b at 1, the smallest first\nanswer = order row'
    found = made(data, "{row: and }; {row}?\n- late = {a}; {b}\n  Say: No.")
    assert found.text == "first and last; first, last?"
    assert found.answer.value == ("first", "last")
    assert mark(found, ["last", "first"]).reply.endswith("No.")


def test_a_what_if_slip_can_be_held_against_what_the_question_has() -> None:
    data = "volts = one of 230\nx_W = volts / 2\nmore = x_W > asked.x_W\nanswer = x_W in W"
    found = made(data, "Q? {more}\n- s = with volts = 400\n  Say: {then.more}, {then.x_W} W.")
    assert found.text == "Q? no"
    assert mark(found, "200 W").reply.endswith("yes, 200 W.")


def test_slips_of_ones_own_that_cannot_be_told_apart_are_refused_before_they_are_asked(
    tmp_path, monkeypatch
) -> None:
    text = (
        "# Lesson 2\n## mine\nnew circuit: say it\n\n    a = from 1 to 9 by 1\n"
        "    answer = 10 in W\n\nQ?\n- s = {}\n  Say: No.\n- t = 30\n  Say: No.\n"
    )
    monkeypatch.chdir(tmp_path)
    (tmp_path / "questions").mkdir()
    (tmp_path / "questions" / "mine.md").write_text(text.format("a"), "utf-8")
    assert find("mine").draw(0).answer.value == 10
    (tmp_path / "questions" / "mine.md").write_text(text.format("a + 5"), "utf-8")
    with pytest.raises(AnswerError, match=r"mine\.md, line 2, mine: found 10 W for the answer and"):
        find("mine")  # of some of the numbers it draws
    (tmp_path / "questions" / "mine.md").write_text("no heading")
    assert predict("half-voltage").question  # ours is asked all the same
    with pytest.raises(AnswerError, match=r"mine\.md, line 1"):
        predict("a-question-of-mine")
