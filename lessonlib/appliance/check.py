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
from lessonlib.appliance.problems import Problems, near
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
        problems.add(
            table,
            named,
            found if given else "nothing that gives its resistance",
            f"{first} together with {second}, or resistance_ohm alone",
            f"give {first} and {second}, or resistance_ohm, and nothing else",
        )


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
    opens, closes = fields[f"opens_at_{unit}"], fields[f"closes_at_{unit}"]
    if closes >= opens:
        problems.add(
            table,
            f"closes_at_{unit}",
            f"{closes:g}, not below opens_at_{unit} = {opens:g}",
            f"a number below opens_at_{unit}",
            "the contact opens on the way up and closes again on the way down: swap the two, or "
            "correct one",
        )


def _check_place(
    problems: Problems, table: str, fields: dict[str, Any], kinds: Mapping[str, str]
) -> None:
    """A thermal fuse that is placed on an element names one of the file, and its rise; the holding
    temperature is below the opening one."""
    opens, holds = fields["opens_at_C"], fields.get("holds_C")
    if holds is not None and holds >= opens:
        problems.add(
            table,
            "holds_C",
            f"{holds:g}, not below opens_at_C = {opens:g}",
            "a number below opens_at_C",
            "a thermal fuse holds only below where it opens: swap the two, or correct one",
        )
    on, rise = fields.get("placed_on"), fields.get("rise_K_per_W")
    elements = [name for name, kind in kinds.items() if kind == Element.kind]
    # elements that could not be read have problems of their own
    if on is not None and on not in elements and (elements or not problems):
        meant = near(on, elements)
        problems.add(
            table,
            "placed_on",
            f"{shown(on)}, a {PART_TYPES[kinds[on]].words}" if on in kinds else shown(on),
            f"an element's name ({', '.join(elements) or 'there are none'})",
            f'did you mean "{meant}"?'
            if meant
            else "name an element, or leave placed_on out: the fuse is then on the vessel's wall",
        )
    if (on is None) != (rise is None):
        problems.add(
            table,
            "rise_K_per_W",
            "nothing" if rise is None else f"{rise:g} without placed_on",
            "placed_on and rise_K_per_W together, or neither",
            "add a line, such as rise_K_per_W = 0.03: kelvin above the vessel, per watt"
            if rise is None
            else "name the element with placed_on, or remove rise_K_per_W",
        )


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
            problems.add(
                " and ".join(kinds),
                "name",
                f"{shown(name)} used {count} times",
                "a different name for each part",
                "rename all but one of them",
            )
    _report_alike(problems, "all parts:", "name", [part.name for part in parts])
    nodes = [node for part in parts for rung in part.rungs for node in rung]
    _report_alike(problems, "all parts:", "between", nodes)


def _report_alike(problems: Problems, table: str, key: str, names: Iterable[str]) -> None:
    """Report each of `names` that looks like an earlier one."""
    for name, other in alike(names).items():
        problems.add(
            table,
            key,
            f"{shown(other)}{letters(other)} and {shown(name)}{letters(name)}, which look alike",
            "names that differ by more than capitals, blanks and letters of another alphabet",
            "spell both the same if you mean the same thing, or rename one of them",
        )


def check_nodes(problems: Problems, parts: tuple[Part, ...]) -> None:
    """The supply is connected, and no wire ends in the air."""
    if problems:
        return  # a part that could not be read would make its neighbours look unconnected
    ends = Counter(node for part in parts for rung in part.rungs for node in rung)
    for terminal in ("L", "N"):
        if not ends[terminal]:
            problems.add(
                "all parts:",
                "between",
                f"no part on point {terminal}",
                "at least one part on L and one on N",
                f"connect the part next to the supply to {terminal}",
            )
    for part in parts:
        for node in dict.fromkeys(node for rung in part.rungs for node in rung):
            if ends[node] == 1 and node not in TERMINALS:
                meant = near(node, [*TERMINALS, *(n for n in ends if n != node)])
                problems.add(
                    f"[[{part.kind}]] {shown(part.name, 30)[1:-1]}",
                    "between",
                    f"point {shown(node)} used only once",
                    "each point joined to at least two part ends",
                    f'did you mean "{meant}"?' if meant else "connect another part to it",
                )
