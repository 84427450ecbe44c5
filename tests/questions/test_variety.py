"""How varied the exercises of lessons 8 and 11 are: nobody should meet one again, or guess it."""

from __future__ import annotations

import pytest

from lessonlib.questions.answers import Points
from lessonlib.questions.bank import BANK
from lessonlib.questions.exercise import Template

SEEDS = range(400)
TEMPLATES = [template for lesson in (8, 11) for template in BANK[lesson]]


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.name)
def test_it_has_thirty_variants_and_none_is_rarely_right(template: Template) -> None:
    exercises = [template.draw(seed) for seed in SEEDS]
    variants = {(one.text, one.answer.written(one.answer.value)) for one in exercises}
    assert len(variants) >= 30
    if isinstance(exercises[0].answer, Points):
        nothing = sum(not one.answer.value for one in exercises)
        assert nothing <= 0.3 * len(SEEDS)  # drawn once in four, and what chance adds
