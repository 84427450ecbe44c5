"""Numbers that lines of data cannot draw or work out: a function for each question, by its name.

- `live_points`  what is live: cases in which nothing, some or all of the points are
- `faults`       faults, and what a meter shows of them
- `wirings`      several wirings side by side
- `design`       which part is good enough, by the published limits
- `other`        everything else

A parameter `draw` is the `Draw` of the question, any other the value of that name in its lines.
What a function returns are more names. A name that is a slip's, with _ for -, is its value;
`circuit` takes the place of the one above, and `wirings`, pairs of label and appliance, are drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from lessonlib.questions.numbers import design, faults, live_points, other, wirings


def numbers_for(question: str) -> Callable[..., Mapping[str, Any]]:
    """The function for the question of that name. Raises `AttributeError` where there is none."""
    name = question.replace("-", "_")
    function: Callable[..., Mapping[str, Any]]
    rooms = (live_points, faults, design, wirings)
    room = next((each for each in rooms if hasattr(each, name)), other)
    function = getattr(room, name)
    return function
