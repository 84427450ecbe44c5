"""What must hold between the values of a part, and between the parts of an appliance."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from lessonlib.appliance.keys import MAX_DIODES, MAX_PATHS
from lessonlib.appliance.names import alike, letters
from lessonlib.appliance.parts import (
    PART_TYPES,
    TERMINALS,
    Element,
    Part,
    Resistive,
    SelfActing,
    Switch,
    ThermalFuse,
)
from lessonlib.appliance.problems import Problems, meant_or
from lessonlib.errors import shown
from lessonlib.words import listed


def check_part(
    problems: Problems,
    table: str,
    kind: type[Part],
    fields: dict[str, Any],
    kinds: Mapping[str, str],
) -> None:
    """What must hold between the values of one part. `kinds` is the part kind of every name."""
    if issubclass(kind, Resistive):
        _check_resistance(problems, table, kind, fields)
    elif issubclass(kind, Switch):
        _check_positions(problems, table, fields)
    elif issubclass(kind, ThermalFuse):
        _check_place(problems, table, fields, kinds)
    elif issubclass(kind, SelfActing):
        _check_hysteresis(problems, table, fields)


def _check_resistance(
    problems: Problems, table: str, kind: type[Resistive], fields: dict[str, Any]
) -> None:
    """Marked values or the resistance alone; adds `resistance_ohm` to `fields`."""
    first, second = kind.marking
    given = [key for key in (first, second, "resistance_ohm") if key in fields]
    if given == [first, second]:
        fields["resistance_ohm"] = kind.marked_ohm(fields[first], fields[second])
    elif given != ["resistance_ohm"]:
        named = listed(given or [first])
        found = f"only {named}" if len(given) == 1 else named
        found = found if given else "nothing that gives its resistance"
        accepted = f"{first} together with {second}, or resistance_ohm alone"
        step = f"give {first} and {second}, or resistance_ohm, and nothing else"
        problems.add(table, named, found, accepted, step)


def _check_positions(problems: Problems, table: str, fields: dict[str, Any]) -> None:
    """A switch's start and contacts name its own positions; adds `start` to `fields`."""
    positions = fields["positions"]
    fields.setdefault("start", positions[0])
    _report_alike(problems, table, "positions", positions)
    named = ", ".join(f'"{position}"' for position in positions)
    if fields["start"] not in positions:
        step = "use one of the switch's positions"
        problems.add(table, "start", shown(fields["start"]), f"one of {named}", step)
    for number, contact in enumerate(fields["contacts"], 1):
        for position in contact.closed_in:
            if position not in positions:
                place = f"{table} contact {number}"
                step = "use the switch's own positions, spelled the same"
                problems.add(place, "closed_in", shown(position), f"one of {named}", step)


def _check_hysteresis(problems: Problems, table: str, fields: dict[str, Any]) -> None:
    """A self-acting contact opens above where it closes."""
    unit = "bar" if "opens_at_bar" in fields else "C"
    step = (
        "the contact opens on the way up and closes again on the way down: swap the two, or "
        "correct one"
    )
    _check_below(problems, table, fields, f"closes_at_{unit}", f"opens_at_{unit}", step)


def _check_below(
    problems: Problems, table: str, fields: dict[str, Any], key: str, other: str, step: str
) -> None:
    value, limit = fields[key], fields[other]
    if value >= limit:
        found = f"{value:g}, not below {other} = {limit:g}"
        problems.add(table, key, found, f"a number below {other}", step)


def _check_place(
    problems: Problems, table: str, fields: dict[str, Any], kinds: Mapping[str, str]
) -> None:
    """A thermal fuse that is placed on an element names one of the file, and its rise; the holding
    temperature is below the opening one."""
    if fields.get("holds_C") is not None:
        step = "a thermal fuse holds only below where it opens: swap the two, or correct one"
        _check_below(problems, table, fields, "holds_C", "opens_at_C", step)
    on, rise = fields.get("placed_on"), fields.get("rise_K_per_W")
    elements = [name for name, kind in kinds.items() if kind == Element.kind]
    # elements that could not be read have problems of their own
    if on is not None and on not in elements and (elements or not problems):
        found = f"{shown(on)}, a {PART_TYPES[kinds[on]].words}" if on in kinds else shown(on)
        accepted = f"an element's name ({', '.join(elements) or 'there are none'})"
        step = "name an element, or leave placed_on out: the fuse is then on the vessel's wall"
        problems.add(table, "placed_on", found, accepted, meant_or(on, elements, step))
    if (on is None) != (rise is None):
        found = "nothing" if rise is None else f"{rise:g} without placed_on"
        accepted = "placed_on and rise_K_per_W together, or neither"
        step = "name the element with placed_on, or remove rise_K_per_W"
        if rise is None:
            step = "add a line, such as rise_K_per_W = 0.03: kelvin above the vessel, per watt"
        problems.add(table, "rise_K_per_W", found, accepted, step)


def check_size(problems: Problems, tables: Mapping[str, Sequence[Mapping[str, Any]]]) -> bool:
    """Whether parts, contacts and diodes are few enough to read; reports it where they are not."""
    contacts = [item.get("contacts") for item in tables.get("switch", ())]
    paths = sum(len(items) for kind, items in tables.items() if kind != "switch")
    paths += sum(len(each) if isinstance(each, list) else 1 for each in contacts)
    diodes = len(tables.get("diode", ()))
    before = len(problems)
    if paths > MAX_PATHS:
        step = "describe each appliance in a file of its own"
        problems.add("", "", f"{paths:,} parts and contacts", f"at most {MAX_PATHS}", step)
    if diodes > MAX_DIODES:
        step = "describe the appliance with fewer diodes"
        problems.add("[[diode]]", "", f"{diodes:,} diodes", f"at most {MAX_DIODES}", step)
    return len(problems) == before


def check_names(problems: Problems, parts: tuple[Part, ...]) -> None:
    """No two parts, and no two nodes, share a name or have names that look alike."""
    for name, count in Counter(part.name for part in parts).items():
        if count > 1:
            kinds = dict.fromkeys(f"[[{part.kind}]]" for part in parts if part.name == name)
            found, step = f"{shown(name)} used {count} times", "rename all but one of them"
            table, accepted = " and ".join(kinds), "a different name for each part"
            problems.add(table, "name", found, accepted, step)
    _report_alike(problems, "all parts:", "name", [part.name for part in parts])
    nodes = [node for part in parts for rung in part.rungs for node in rung]
    _report_alike(problems, "all parts:", "between", nodes)


def _report_alike(problems: Problems, table: str, key: str, names: Iterable[str]) -> None:
    """Report each of `names` that looks like an earlier one."""
    accepted = "names that differ by more than capitals, blanks and letters of another alphabet"
    step = "spell both the same if you mean the same thing, or rename one of them"
    for name, other in alike(names).items():
        both = f"{shown(other)}{letters(other)} and {shown(name)}{letters(name)}"
        problems.add(table, key, f"{both}, which look alike", accepted, step)


def check_nodes(problems: Problems, parts: tuple[Part, ...]) -> None:
    """The supply is connected, and no wire ends in the air."""
    if problems:
        return  # a part that could not be read would make its neighbours look unconnected
    ends = Counter(node for part in parts for rung in part.rungs for node in rung)
    for terminal in ("L", "N"):
        if not ends[terminal]:
            found, step = f"no part on point {terminal}", "connect the part next to the supply to"
            accepted = "at least one part on L and one on N"
            problems.add("all parts:", "between", found, accepted, f"{step} {terminal}")
    for part in parts:
        for node in dict.fromkeys(node for rung in part.rungs for node in rung):
            if ends[node] == 1 and node not in TERMINALS:
                others = [*TERMINALS, *(each for each in ends if each != node)]
                step = meant_or(node, others, "connect another part to it")
                table, found = part_table(part), f"point {shown(node)} used only once"
                accepted = "each point joined to at least two part ends"
                problems.add(table, "between", found, accepted, step)


def part_table(part: Part) -> str:
    """The place of a part in a report."""
    return f"[[{part.kind}]] {shown(part.name, 30)[1:-1]}"
