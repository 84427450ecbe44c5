"""Item statistics against scipy, a formula of its own for marks of 0 and 1, and cases by hand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from lessonlib.worksheets.statistics import FEWEST, items, reliability


def test_discrimination_is_the_correlation_with_the_rest_of_the_sheet() -> None:
    shares = np.random.default_rng(5).choice([0, 0.5, 1], size=(40, 6))
    for place, item in enumerate(items(shares)):
        rest = np.delete(shares, place, axis=1).sum(axis=1)
        assert item.discrimination == pytest.approx(stats.pearsonr(shares[:, place], rest)[0])
        assert item.share == pytest.approx(np.mean(shares[:, place]))


def test_reliability_of_right_and_wrong_is_kuder_and_richardsons_formula_20() -> None:
    ability = np.random.default_rng(5).normal(size=(50, 1))
    marks = (ability + np.random.default_rng(6).normal(size=(50, 8)) > 0).astype(float)
    p = marks.mean(axis=0)
    formula = 8 / 7 * (1 - (p * (1 - p)).sum() / marks.sum(axis=1).var())
    assert 0.5 < formula < 0.95
    assert reliability(marks) == pytest.approx(formula)


def test_exercises_that_all_agree_have_reliability_1_and_unrelated_ones_about_0() -> None:
    column = np.tile([0.0, 1.0], 10)[:, None]
    assert reliability(np.hstack([column] * 4)) == pytest.approx(1)
    one, other = np.tile([0.0, 1.0], 10), np.repeat([0.0, 1.0], 10)
    assert reliability(np.column_stack([one, other])) == pytest.approx(0, abs=1e-12)


def test_too_few_trainees_and_equal_marks_give_no_figure() -> None:
    assert reliability(np.eye(FEWEST - 1)) is None
    assert reliability(np.ones((20, 3))) is None
    assert reliability(np.zeros((20, 1))) is None
    assert [each.discrimination for each in items(np.ones((20, 2)))] == [None, None]


def test_a_remark_names_the_hard_the_easy_and_the_one_that_tells_nobody_apart() -> None:
    good = np.repeat([0.0, 1.0], 10)
    against = np.tile([0.0, 1.0], 10)
    hard, easy = np.zeros(20), np.ones(20)
    hard[-1], easy[0] = 1, 0
    shares = np.column_stack([good, good, good, against, hard, easy])
    remarks = [item.remark for item in items(shares)]
    assert remarks[:3] == ["", "", ""]
    assert remarks[3].startswith("tells nobody apart")
    assert remarks[4].startswith("hard")
    assert remarks[5].startswith("easy")
