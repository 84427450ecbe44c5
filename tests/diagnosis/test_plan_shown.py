"""The plan as a drawn tree and as numbered steps: the same tests and endings as its text."""

from __future__ import annotations

import pytest

from lessonlib import appliance_names, load_appliance, read_appliance
from lessonlib.diagnosis.bench_test import CAUTION
from lessonlib.diagnosis.plan import test_plan
from lessonlib.diagnosis.plan_shown import STEP_HEADER, numbered_steps


@pytest.mark.parametrize("name", appliance_names())
def test_following_the_numbers_on_paper_leads_to_every_ending_once(name: str) -> None:
    plan = test_plan(load_appliance(name))
    rows = numbered_steps(plan)
    assert {len(row) for row in rows} == {len(STEP_HEADER)}
    at: dict[str, list[tuple[str, ...]]] = {}
    for row in rows:
        step = row[0] or step  # noqa: F821  # the rows of a step follow its first
        at.setdefault(step, []).append(row)
    endings, steps, ahead = [], [], ["1"]
    while ahead:
        number = ahead.pop(0)
        steps.append(number)
        thens = [row[-1] for row in at[number]]
        ahead = [then.removeprefix("step ") for then in thens if then.startswith("step ")] + ahead
        endings += [then for then in thens if not then.startswith("step ")]
    assert sorted(steps, key=int) == [str(n) for n in range(1, len(plan.tests) + 1)]
    said = sorted(". ".join((" or ".join(leaf.words), *leaf.would_tell)) for leaf in plan.leaves)
    assert sorted(endings) == said


def test_the_drawn_tree_has_the_caution_every_test_and_every_ending() -> None:
    plan = test_plan(load_appliance("garment-steamer"))
    html = plan._repr_html_()
    assert CAUTION in html
    assert html.count("<li>") == sum(1 for row in numbered_steps(plan))
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
    assert "<b>" not in html
    assert "<i>" not in html
