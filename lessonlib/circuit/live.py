"""Where in the appliance a shock is possible: which ends of which parts."""

from __future__ import annotations

from collections.abc import Container, Sequence

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.terminals import Terminal, terminals
from lessonlib.words import listed


def live_terminals(appliance: Appliance, nodes: Container[str]) -> tuple[Terminal, ...]:
    """Every end of a part on one of `nodes`, in the file's order."""
    return tuple(end for end in terminals(appliance) if end.node in nodes)


def live_words(appliance: Appliance, live: Sequence[Terminal]) -> str:
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
