"""`test_plan`: every test in the order that tells most for the least trouble, as a tree.

It starts at the plug with the case closed. What no test tells apart stays together in a leaf. Which
faults share a leaf does not depend on the order of the tests: a test that splits a set of faults
splits any part of it at least as finely.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.network import Indexes
from lessonlib.diagnosis.bench_test import BenchTest, reading_words
from lessonlib.diagnosis.further import further_tests
from lessonlib.diagnosis.predicted import TOP, Predicted, predict
from lessonlib.diagnosis.ranges import plain_guesses
from lessonlib.diagnosis.separate import best_test
from lessonlib.meter.readings import outward
from lessonlib.safety import AT_BENCH
from lessonlib.words import counted, listed


@dataclass(frozen=True)
class Leaf:
    """Where the plan ends: `faults` that no test of it tells apart, one of which it is; with
    `sound`, or nothing that a test can find. `would_tell` has a line for each thing that would
    tell more."""

    faults: tuple[Fault, ...]
    sound: bool
    would_tell: tuple[str, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """What it may be, one line each."""
        first = ("no fault found",) if self.sound else ()
        return (*first, *map(str, self.faults))


@dataclass(frozen=True)
class Outcome:
    """Readings from `low` to `high`, in `unit` (infinite for open), and what they lead to. In words
    they have as many `figures` as it takes to tell them from the step's others."""

    low: float
    high: float
    unit: str
    then: Step | Leaf
    figures: int = 2

    @property
    def text(self) -> str:
        """The readings in words: "open", "29 to 37 Ω", "at most 1.3 Ω"."""
        return reading_words(self.low, self.high, self.unit, self.figures)


@dataclass(frozen=True)
class Step:
    """A test, and its outcomes from the lowest reading to the highest."""

    test: BenchTest
    outcomes: tuple[Outcome, ...]


def nodes(root: Step | Leaf) -> Iterator[Step | Leaf]:
    """`root`, and every test and every ending below it, in the order of the text."""
    yield root
    if isinstance(root, Step):
        for outcome in root.outcomes:
            yield from nodes(outcome.then)


@dataclass(frozen=True, repr=False)
class TestPlan:
    """A tree of tests for an unplugged appliance. It finds single faults."""

    __test__ = False  # pytest looks for classes of this name

    appliance: Appliance
    root: Step | Leaf

    @cached_property
    def leaves(self) -> tuple[Leaf, ...]:
        """All leaves, in the order of the text."""
        return tuple(node for node in nodes(self.root) if isinstance(node, Leaf))

    @cached_property
    def tests(self) -> tuple[BenchTest, ...]:
        """All tests of the plan, in the order of the text."""
        return tuple(node.test for node in nodes(self.root) if isinstance(node, Step))

    @property
    def caption(self) -> str:
        """What this is, in a line."""
        return (
            f"{self.appliance.title}, unplugged and cold: {counted(len(self.tests), 'test')}, "
            f"{counted(len(self.leaves), 'ending')}"
        )

    @property
    def text(self) -> str:
        """The whole plan, one line for each outcome, indented below its test."""
        return "\n".join([self.caption, AT_BENCH, *_lines(self.root, "")])

    def __str__(self) -> str:
        return self.text

    __repr__ = __str__

    def _repr_html_(self) -> str:
        from lessonlib.diagnosis.plan_shown import plan_html  # imports this module

        return plan_html(self)


def test_plan(appliance: Appliance) -> TestPlan:
    """The plan of tests for `appliance`: a tree, from the plug inwards.

    Raises `SettingError` for an appliance with too many switches, and `ReadingError` for one whose
    points and ends of parts share a name.
    """
    return planned(appliance, predict(appliance, plain_guesses(appliance)))


test_plan.__test__ = False  # type: ignore[attr-defined]  # pytest looks for functions of this name


def planned(appliance: Appliance, predicted: Predicted) -> TestPlan:
    """The plan that follows from what every test shows with every fault."""
    every = np.arange(len(predicted.guesses))
    return TestPlan(appliance, _node(appliance, predicted, every, opened=False))


def _node(
    appliance: Appliance, predicted: Predicted, guesses: Indexes, opened: bool
) -> Step | Leaf:
    found = best_test(predicted, guesses, opened)
    if found is None:
        faults = tuple(f for number in guesses for f in predicted.guesses[number].faults)
        sound = any(not predicted.guesses[number].faults for number in guesses)
        more = further_tests(appliance, faults) if len(guesses) > 1 else ()
        return Leaf(faults, sound, more)
    column, outcome = found
    test = predicted.tests[column]
    opened = opened or test.place in ("case open", "wire off")
    outcomes = []
    for each in range(int(outcome.max()) + 1):
        some = guesses[outcome == each]
        low, high = predicted.low[some, column].min(), predicted.high[some, column].max()
        top = TOP[test.unit]
        least, most = (math.inf if end >= top else float(end) for end in (low, high))
        then = _node(appliance, predicted, some, opened)
        outcomes.append(Outcome(least, most, test.unit, then))
    figures = 3 if any(_meet(one, other) for one, other in pairwise(outcomes)) else 2
    return Step(test, tuple(replace(each, figures=figures) for each in outcomes))


def _meet(lower: Outcome, higher: Outcome) -> bool:
    """Whether a reading could be taken for either, once both are rounded outwards."""
    return outward(lower.high, 1) >= outward(higher.low, 0)


def _lines(node: Step | Leaf, indent: str) -> Iterator[str]:
    if isinstance(node, Step):
        yield f"{indent}{node.test.place}: {node.test.words}"
        for outcome in node.outcomes:
            if isinstance(outcome.then, Leaf):
                yield f"{indent}  {outcome.text} → {'; '.join(outcome.then.words)}"
                yield from (f"{indent}      {line}" for line in outcome.then.would_tell)
            else:
                yield f"{indent}  {outcome.text}:"
                yield from _lines(outcome.then, f"{indent}    ")
    else:
        yield f"{indent}{listed(node.words, 'or')}"
