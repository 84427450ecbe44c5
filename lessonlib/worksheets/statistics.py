"""How hard an exercise is, whether it tells trainees apart, and how reliable the whole is.

Classical item statistics: share of the points as difficulty, the correlation of an exercise with
the rest of the sheet as discrimination, Cronbach's alpha (Psychometrika 16, 1951, 297) as
reliability, which for marks of 0 and 1 is Kuder and Richardson's formula 20. From memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FEWEST = 10
"""Trainees below which discrimination and reliability say nothing: common practice, no source."""

HARD, EASY, APART = 0.3, 0.9, 0.2
"""Share of points below and above which an exercise is called hard and easy, and the least
discrimination: R. L. Ebel's rule of thumb, from memory."""


@dataclass(frozen=True)
class Item:
    """`share` of the points that the class got, 0 to 1; `discrimination`, -1 to 1, None where all
    got the same or there are fewer than `FEWEST`."""

    share: float
    discrimination: float | None

    @property
    def remark(self) -> str:
        """What that says about the exercise, in words; empty where nothing."""
        if self.share < HARD:
            return "hard for this class"
        if self.discrimination is not None and self.discrimination < APART:
            return "tells nobody apart: those good at the rest do no better here"
        return "easy for this class" if self.share > EASY else ""


def items(shares: NDArray[np.float64]) -> tuple[Item, ...]:
    """One for each column. `shares` has a row for each trainee: shares of the points, 0 to 1."""
    total = shares.sum(axis=1)
    return tuple(Item(float(one.mean()), _correlation(one, total - one)) for one in shares.T)


def reliability(shares: NDArray[np.float64]) -> float | None:
    """Cronbach's alpha; None for fewer than `FEWEST` trainees, one exercise, or equal totals."""
    count = shares.shape[1]
    spread = float(shares.sum(axis=1).var())
    if len(shares) < FEWEST or count < 2 or spread < 1e-12:  # rounding only
        return None
    alone = float(shares.var(axis=0).sum())
    return float(count / (count - 1) * (1 - alone / spread))


def _correlation(one: NDArray[np.float64], other: NDArray[np.float64]) -> float | None:
    if len(one) < FEWEST or one.std() < 1e-9 or other.std() < 1e-9:  # rounding only
        return None
    return float(np.corrcoef(one, other)[0, 1])
