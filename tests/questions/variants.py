"""The different questions that an exercise can draw, each once, in place of many seeds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from typing import Any

from lessonlib.questions.answers import Choice
from lessonlib.questions.bank import find
from lessonlib.questions.draw import Draw
from lessonlib.questions.exercise import Exercise


class _Path:
    """Stands in for the random numbers of a draw: `number` says which way it goes at each fork."""

    def __init__(self, number: int) -> None:
        self.left = number
        self.forks: list[int] = []

    def _way(self, ways: int) -> int:
        self.forks.append(ways)
        self.left, way = divmod(self.left, ways)
        return way

    def choice(self, items: Sequence[Any]) -> Any:
        return items[self._way(len(items))]

    def randint(self, low: int, high: int) -> int:
        return low + self._way(high - low + 1)

    def sample(self, items: Sequence[Any], count: int) -> list[Any]:
        """Up to four items in every order; more only turned, each of them first once."""
        left, taken = list(items), []
        while left and len(taken) < count:
            place = self._way(len(left)) if len(items) <= 4 or not taken else 0
            left = [*left[place:], *left[:place]]
            taken.append(left.pop(0))
        return taken


def _drawn(name: str, number: int) -> tuple[Exercise, int]:
    draw, path = Draw(name, 0), _Path(number)
    draw._random = path  # type: ignore[assignment]
    return find(name).make(draw), math.prod(path.forks)


@cache
def variants(name: str, most: int = 24) -> tuple[Exercise, ...]:
    """Variants of an exercise, `most` different ones at most, spread evenly over what it can draw
    at each fork: all of them where there are no more."""
    count = max(_drawn(name, number)[1] for number in (0, 1, 2, 3, 5, 9))  # forks lead to forks
    step = max(1, count // most)
    while math.gcd(step, count) > 1:
        step += 1
    found: dict[tuple[str, ...], Exercise] = {}
    for place in range(min(count, 4 * most)):
        exercise, _ = _drawn(name, place * step % count)
        found.setdefault(question(exercise), exercise)
        if len(found) == most:
            break
    return tuple(found.values())


def question(exercise: Exercise) -> tuple[str, ...]:
    """What makes two exercises different: the text, what is offered, and the answer."""
    answer = exercise.answer
    offered = sorted(answer.options) if isinstance(answer, Choice) else ()
    return exercise.text, *offered, answer.written(answer.value)
