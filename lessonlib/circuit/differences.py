"""How a circuit differs from the one asked for, in words, the plainest difference first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import NamedTuple

from lessonlib.appliance.parts import SELF_ACTING, Element, Lamp, Part, SelfActing, Switch
from lessonlib.circuit.behaviour import (
    Aspect,
    Behaviour,
    BehaviourRow,
    State,
    marks,
    named,
    positions,
    resistance,
)
from lessonlib.quantities import format_quantity
from lessonlib.words import listed, plural

_NOT_SO = "In the circuit asked for it is not like that."


def differences(theirs: Behaviour, ours: Behaviour, must: tuple[Aspect, ...]) -> list[str]:
    """Sentences on what only one of the two does; at least one.

    Where parts or powers differ, the differences that follow from them are left out, and so are
    those with a contact open where others are found.
    """
    found = list(_of_parts(theirs, ours, must)) or list(_of_powers(theirs, ours))
    for opened in (False, True):
        if not found and (not opened or "protection" in must):
            tellers = [tell for aspect, tell in _TELLERS[opened].items() if aspect in must]
            moments = list(_moments(theirs, ours, opened))
            found = [said for tell in tellers for said in islice(tell(theirs, ours, moments), 1)]
    return found or [
        "Each setting fits by itself, but they do not fit together: compare which part does what "
        "from one setting to the next."
    ]


def _of_parts(theirs: Behaviour, ours: Behaviour, must: tuple[Aspect, ...]) -> Iterator[str]:
    volts, wanted = theirs.appliance.supply.voltage_V, ours.appliance.supply.voltage_V
    if f"{volts:.4g}" != f"{wanted:.4g}":
        yield f"Your supply has {volts:g} V. Is that the voltage given?"
    counted: list[type[Part]] = [Element]
    if "lamps" in must:
        counted.append(Lamp)
    if "protection" in must or "marks" in must:
        counted += SELF_ACTING
    if "positions" in must:
        counted.append(Switch)
    for kind in counted:
        given, asked = (len(each.appliance.of_type(kind)) for each in (theirs, ours))
        if given != asked:
            one = "element" if kind is Element else kind.words
            count = f"{given or 'no'} {plural(one) if given > 1 else one}"
            yield f"Yours has {count}. Count the {plural(one)} asked for."
    if len(theirs.appliance.elements) == len(ours.appliance.elements):
        left = Counter(map(resistance, ours.appliance.elements))
        left.subtract(map(resistance, theirs.appliance.elements))
        for part in theirs.appliance.elements:
            if left[resistance(part)] < 0:
                yield (
                    f"Your {part.name} has {resistance(part)} Ω, which gives "
                    f"{_full_power(part, volts)} on {volts:g} V. That is none of the elements "
                    "asked for, or one too many of them: compare power and voltage."
                )
                break
    if "marks" in must and len(theirs.appliance.self_acting) == len(ours.appliance.self_acting):
        wanted_marks = [(type(contact), marks(contact)) for contact in ours.appliance.self_acting]
        for contact in theirs.appliance.self_acting:
            if (type(contact), marks(contact)) not in wanted_marks:
                yield f"Your {contact.name} {marks(contact)}. Compare that with what is asked for."
    if "positions" in must:
        known = [positions(switch) for switch in ours.appliance.switches]
        for switch in theirs.appliance.switches:
            if positions(switch) not in known:
                yield (
                    f"Your {switch.name} has the positions {listed(switch.positions)}. Call them "
                    "what the description calls them."
                )


def _of_powers(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    shorted = next((row for row in theirs.rows if row.short), None)
    if shorted and not any(row.short for row in ours.rows):
        yield f"{_with(shorted)}, your circuit short-circuits the supply: {shorted.short}."
        return
    wanted = {_watts(row) for row in ours.rows if not row.short}
    given = {_watts(row): row for row in theirs.rows if not row.short}
    missing = list(dict.fromkeys(_watts(r) for r in ours.rows if _watts(r) not in given))
    extra = [watts for watts in given if watts not in wanted]
    if missing:
        yield f"Your circuit never gives {listed(missing, 'or')}."
    if extra:
        yield f"{_with(given[extra[0]])}, it gives {extra[0]}, which is not asked for."
    if not (missing or extra):
        asked = {_heat(row.state, ours) for row in ours.rows}
        for row in theirs.rows:
            if _heat(row.state, theirs) not in asked:
                yield (
                    f"{_with(row)}, the total is right, but the elements share it in another way "
                    "than asked for."
                )
                return


class Moment(NamedTuple):
    """A setting of `theirs`, perhaps with one contact open, and the states of `ours` where the
    elements give the same in that setting."""

    where: str
    state: State
    asked: list[State]


def _moments(theirs: Behaviour, ours: Behaviour, opened: bool) -> Iterator[Moment]:
    for row in theirs.rows:
        alike = _alike(row, theirs, ours)
        if alike and not opened:
            yield Moment(_with(row), row.state, [other.state for other in alike])
        for number, part in enumerate(theirs.appliance.self_acting if opened else ()):
            asked = [other.opened[mate] for other in alike for mate in _mates(part, ours)]
            if asked:
                yield Moment(_with(row, part.name), row.opened[number], asked)


def _mates(part: SelfActing, ours: Behaviour) -> list[int]:
    """The numbers of the contacts of that kind in `ours`."""
    return [n for n, one in enumerate(ours.appliance.self_acting) if type(one) is type(part)]


def _of_ends(theirs: Behaviour, ours: Behaviour, moments: Iterable[Moment]) -> Iterator[str]:
    """On the ends of elements: a lamp across an open contact keeps them joined."""
    for where, state, others in moments:
        given = _with_ends(state, theirs)
        asked = [_with_ends(other, ours) for other in others]
        if Counter(given) in map(Counter, asked):
            continue
        every = {what for each in asked for what in each}
        for part, (ohms, share, ends) in zip(theirs.appliance.elements, given, strict=True):
            if (ohms, share, ends) not in every:
                way = int((ohms, share, ends[0]) in {(*what[:2], what[2][0]) for what in every})
                plug = " and the plug reversed" if way else ""
                yield f"{where}{plug}, {_ends(part.name, ends[way])} in yours. {_NOT_SO}"
        yield f"{where}, the ends of your elements are not all what they should be."


def _with_ends(
    state: State, known: Behaviour
) -> list[tuple[str, int, tuple[tuple[str, str], ...]]]:
    ohms = map(resistance, known.appliance.elements)
    return list(zip(ohms, state.shares, state.ends, strict=True))


def _ends(name: str, ends: tuple[str, str]) -> str:
    # "between" is enough under a point in a drawing; in a sentence it is not
    first, second = (f"{end} line and neutral" if end == "between" else end for end in ends)
    if first == second:
        return f"both ends of {name} are {first}"
    return f"one end of {name} is {first}, the other {second}"


def _of_off(theirs: Behaviour, ours: Behaviour, _: object) -> Iterator[str]:
    asked = [row.live for row in ours.rows if row.off]
    for row in theirs.rows:
        if row.off and row.live not in asked:
            if any(row.live):
                plug = "" if row.live[0] else " and the plug reversed"
                yield f"{_with(row)}{plug}, nothing heats, but points inside are live in yours."
            else:
                yield f"{_with(row)}, no point inside is live in yours. {_NOT_SO}"


def _of_lamps(theirs: Behaviour, _: object, moments: Iterable[Moment]) -> Iterator[str]:
    for where, state, asked in moments:
        if sum(state.lit) not in [sum(other.lit) for other in asked]:
            pairs = zip(theirs.appliance.lamps, state.lit, strict=True)
            glow = _do([lamp.name for lamp, on in pairs if on], "glow", "no lamp glows")
            yield f"{where}, {glow} in yours. {_NOT_SO}"


def _of_protection(theirs: Behaviour, ours: Behaviour, _: object) -> Iterator[str]:
    """On what still heats with one contact open, and on where that contact sits."""
    for where, state, others in _moments(theirs, ours, opened=True):
        if _heat(state, theirs) not in [_heat(other, ours) for other in others]:
            pairs = zip(theirs.appliance.elements, state.shares, strict=True)
            names = [element.name for element, share in pairs if share]
            heat = _do(names, "still heat", "nothing heats any more")
            yield f"{where}, {heat} in yours. {_NOT_SO}"
    for row in theirs.rows:
        alike = _alike(row, theirs, ours)
        for part, ends in zip(theirs.appliance.self_acting, row.contact_ends, strict=True):
            places = [other.contact_ends[mate] for other in alike for mate in _mates(part, ours)]
            if places and ends not in places:
                way = int(ends[0] in [place[0] for place in places])
                plug = " and the plug reversed" if way else ""
                yield (
                    f"{_with(row)}{plug}, {_ends(part.name, ends[way])} in yours. Between which "
                    "parts does it sit in the circuit asked for?"
                )


def _of_positions(theirs: Behaviour, ours: Behaviour, _: object) -> Iterator[str]:
    for row in theirs.rows:
        asked = [_heat(o.state, ours) for o in ours.rows if named(o) == named(row)]
        if asked and _heat(row.state, theirs) not in asked:
            yield f"{_with(row)}, yours gives {_watts(row)}. That belongs to another position."


_Teller = Callable[[Behaviour, Behaviour, Iterable[Moment]], Iterator[str]]
_TELLERS: tuple[dict[Aspect, _Teller], ...] = (
    {
        "live points": _of_ends,
        "off is dead": _of_off,
        "lamps": _of_lamps,
        "protection": _of_protection,
        "positions": _of_positions,
    },
    {"lamps": _of_lamps, "live points": _of_ends},
)
"""What each aspect that must be the same is told by, with all contacts closed and with one open;
the first sentence of each is enough."""


def _alike(row: BehaviourRow, theirs: Behaviour, ours: Behaviour) -> list[BehaviourRow]:
    """The rows of `ours` in which the elements give the same as in this row of `theirs`."""
    heat = _heat(row.state, theirs)
    return [other for other in ours.rows if _heat(other.state, ours) == heat]


def _heat(state: State, known: Behaviour) -> tuple[tuple[str, int], ...]:
    """How much each element gives, whatever its name."""
    ohms = map(resistance, known.appliance.elements)
    return tuple(sorted(zip(ohms, state.shares, strict=True)))


def _full_power(element: Element, volts: float) -> str:
    return format_quantity(volts**2 / float(resistance(element)), "W")


def _watts(row: BehaviourRow) -> str:
    return format_quantity(row.heat_W, "W")


def _with(row: BehaviourRow, opened: str = "") -> str:
    where = [f"{name} at {position}" for name, position in row.setting.items()]
    where += [f"{opened} open"] if opened else []
    return f"With {listed(where)}" if where else "As it is"


def _do(names: list[str], verb: str, nobody: str) -> str:
    """ "E1 glows", "E1 and E2 glow", or that nobody does."""
    return f"{listed(names)} {verb}{'s' if len(names) == 1 else ''}" if names else nobody
