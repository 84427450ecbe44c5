"""Where in the appliance a shock is possible: which ends of which parts."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass

from lessonlib.appliance.parts import Appliance
from lessonlib.words import listed


@dataclass(frozen=True)
class LiveTerminal:
    """An end of a part that can give a shock. `contact` counts from 1 in a part with several, and
    is 0 in a part with one path."""

    part: str
    contact: int
    node: str

    def __str__(self) -> str:
        """ "S1 at L", or with several contacts "S1.2 at N"."""
        contact = f".{self.contact}" if self.contact else ""
        return f"{self.part}{contact} at {self.node}"


def live_terminals(appliance: Appliance, nodes: Container[str]) -> tuple[LiveTerminal, ...]:
    """Every end of a part on one of `nodes`, in the file's order."""
    return tuple(
        LiveTerminal(part.name, number if len(part.rungs) > 1 else 0, node)
        for part in appliance.parts
        for number, rung in enumerate(part.rungs, 1)
        for node in rung
        if node in nodes
    )


def live_words(appliance: Appliance, live: Sequence[LiveTerminal]) -> str:
    """`live` in few words: "E1 and S1 at L; E2 at both ends"."""
    if not live:
        return "no part is joined to the line"
    nodes: dict[str, dict[str, None]] = {}
    for end in live:
        nodes.setdefault(end.part, {})[end.node] = None
    places: dict[str, list[str]] = {}
    whole = "both ends"
    for part in appliance.parts:
        found, ends = nodes.get(part.name, {}), {node for rung in part.rungs for node in rung}
        if found:
            place = listed(list(found)) if len(found) < len(ends) else ""
            places.setdefault(place, []).append(part.name)
            whole = whole if place or len(ends) == 2 else "all ends"
    words = "; ".join(f"{listed(names)} at {place or whole}" for place, names in places.items())
    if not nodes.keys() <= {part.name for part in appliance.switches}:
        return words
    return f"only the {'switch' if len(nodes) == 1 else 'switches'}, {words}"
