"""Which guesses a test tells apart, and which test to do first.

A test tells two guesses apart if no reading fits both. Guesses whose ranges overlap, directly or
through others between them, stay together: each guess then belongs to one outcome.
"""

from __future__ import annotations

import numpy as np

from lessonlib.circuit.network import Floats, Indexes
from lessonlib.diagnosis.predicted import Predicted


def groups(low: Floats, high: Floats) -> Indexes:
    """The number of the outcome that each guess (guesses, tests) has in each test, from the lowest
    reading to the highest."""
    order = np.argsort(low, axis=0, kind="stable")
    reached = np.maximum.accumulate(np.take_along_axis(high, order, axis=0), axis=0)
    begins = np.take_along_axis(low, order, axis=0)[1:] > reached[:-1]
    number = np.zeros(low.shape, dtype=np.intp)
    sorted_number = np.zeros(low.shape, dtype=np.intp)
    sorted_number[1:] = np.cumsum(begins, axis=0)
    np.put_along_axis(number, order, sorted_number, axis=0)
    return number


def best_test(predicted: Predicted, guesses: Indexes, opened: bool) -> tuple[int, Indexes] | None:
    """The test that tells most about `guesses` for its trouble, and the outcome of each; None if no
    test tells any of them apart. `opened` once the case is open."""
    low, high = predicted.low[guesses], predicted.high[guesses]
    able = np.flatnonzero(low.max(axis=0) > high.min(axis=0))
    if not len(able):
        return None
    number = groups(low[:, able], high[:, able])
    # rounded, so that the browser, which has another logarithm, finds the same one first
    told = np.round(_information(number) / predicted.trouble[int(opened), able], 9)
    if told.max() <= 0:
        return None
    best = int(np.argmax(told))
    return int(able[best]), number[:, best]


def _information(number: Indexes) -> Floats:
    """What each test (guesses, tests) tells, in bits, where every guess is as likely."""
    count = len(number)
    told = np.zeros(number.shape[1])
    for outcome in range(int(number.max()) + 1):
        share = (number == outcome).sum(axis=0) / count
        told -= share * np.log2(np.where(share > 0, share, 1.0))
    return told
