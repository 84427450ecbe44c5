"""What a template draws from: numbers and appliances that depend on the seed alone."""

from __future__ import annotations

import operator
import random
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import TypeVar

from lessonlib.appliance.bundled import appliance_files, load_appliance
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance_file
from lessonlib.appliance.variant import variant
from lessonlib.errors import AnswerError, shown
from lessonlib.progress.records import WHOLE_NUMBERS

T = TypeVar("T")


def as_seed(value: object) -> int:
    """`value` as a seed. Raises `AnswerError` for anything else, before it is recorded."""
    try:
        if isinstance(value, bool):
            raise TypeError
        seed = operator.index(value)  # type: ignore[arg-type]
    except TypeError:
        seed = -1
    if seed not in WHOLE_NUMBERS:
        raise AnswerError(
            f"seed: found {shown(value)}. Accepted: a whole number from 0 to {WHOLE_NUMBERS[-1]}. "
            "Take such a number, or leave the seed out to get numbers of your own."
        )
    return seed


class Draw:
    """A source of choices for one exercise. Two templates draw differently from the same seed."""

    def __init__(self, name: str, seed: int) -> None:
        self._random = random.Random(f"{name}/{seed}")

    def one_of(self, choices: Sequence[T]) -> T:
        """One of `choices`."""
        return self._random.choice(choices)

    def some_of(self, choices: Sequence[T], count: int) -> list[T]:
        """`count` different ones of `choices`, in random order."""
        return self._random.sample(choices, count)

    def shuffled(self, choices: Sequence[T]) -> list[T]:
        """All of `choices`, in random order."""
        return self.some_of(choices, len(choices))

    def number(self, low: float, high: float, step: float) -> float:
        """A number from `low` to `high`, both included, on a grid of `step`."""
        steps = round((high - low) / step)
        return round(low + step * self._random.randint(0, steps), 9)

    def appliance(
        self, name: str, changes: Mapping[str, Mapping[str, object]] | None = None
    ) -> Appliance:
        """A bundled appliance, or one of one's own, with other numbers: `changes` maps a part's
        name, "supply" or "vessel" to new values by key, as in {"E1": {"power_W": 900}}."""
        appliance = bundled(name) if name in appliance_files() else load_appliance(name)
        return variant(appliance, changes) if changes else appliance


@lru_cache(maxsize=32)
def bundled(name: str) -> Appliance:
    """The appliance as it comes with the workbook: a copy that somebody has edited could give two
    slips the same value."""
    return read_appliance_file(appliance_files()[name])
