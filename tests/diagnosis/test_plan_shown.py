"""The plan as a drawn tree and as numbered steps: the same tests and endings as its text."""

from __future__ import annotations

import pytest

from lessonlib import appliance_names, load_appliance, read_appliance
from lessonlib.diagnosis.bench_test import CAUTION
from lessonlib.diagnosis.plan import test_plan
from lessonlib.diagnosis.plan_shown import STEP_HEADER, numbered_steps, what_would_tell


@pytest.mark.parametrize("name", appliance_names())
def test_following_the_numbers_on_paper_leads_to_every_ending_once(name: str) -> None:
    plan = test_plan(load_appliance(name))
    at = {number: thens.split("; ") for number, _, thens in numbered_steps(plan)}
    endings, steps, ahead = [], [], ["1"]
    while ahead:
        number = ahead.pop(0)
        steps.append(number)
        thens = [outcome.partition(" → ")[2] for outcome in at[number]]
        ahead = [then.removeprefix("step ") for then in thens if then.startswith("step ")] + ahead
        endings += [then for then in thens if not then.startswith("step ")]
    assert sorted(steps, key=int) == [str(n) for n in range(1, len(plan.tests) + 1)]
    assert sorted(endings) == sorted(" or ".join(leaf.words) for leaf in plan.leaves)
    assert len(STEP_HEADER) == 3


def test_what_would_tell_more_is_said_once() -> None:
    lines = what_would_tell(test_plan(load_appliance("garment-steamer")))
    assert len(lines) == len(set(lines))
    assert any("neon lamp" in line for line in lines)


def test_the_drawn_tree_has_the_caution_every_test_and_every_ending() -> None:
    plan = test_plan(load_appliance("garment-steamer"))
    html = plan._repr_html_()
    assert CAUTION in html
    assert html.count("<li>") == len(plan.leaves) + len(plan.tests) - 1
    for leaf in plan.leaves:
        assert " or ".join(leaf.words) in html


def test_names_are_text_and_never_markup() -> None:
    text = """title = "<b>"
[supply]
voltage_V = 230
[[element]]
name = "<i>"
between = ["L", "N"]
resistance_ohm = 50
"""
    html = test_plan(read_appliance(text))._repr_html_()
    assert html.startswith("<div")  # its style within, so that it goes wherever the tree goes
    assert "<b>" not in html
    assert "<i>" not in html
