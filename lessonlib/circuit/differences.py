"""How a circuit differs from the one asked for, in words, the plainest difference first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import islice

from lessonlib.appliance.parts import SELF_ACTING, Element, Lamp, Part, SelfActing, Switch
from lessonlib.circuit.behaviour import (
    Aspect,
    Behaviour,
    BehaviourRow,
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
    for aspects in (_AT_ONCE, _WITH_A_CONTACT_OPEN):
        if not found:
            told = (tell for needs, tell in aspects if needs <= set(must))
            found = [said for tell in told for said in islice(tell(theirs, ours), 1)]
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
        asked = {_heat(row.shares, ours) for row in ours.rows}
        for row in theirs.rows:
            if _heat(row.shares, theirs) not in asked:
                yield (
                    f"{_with(row)}, the total is right, but the elements share it in another way "
                    "than asked for."
                )
                return


def _of_ends(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    """On the ends of elements, in settings that heat the same in both."""
    for row in theirs.rows:
        alike = _alike(row, theirs, ours)
        given = _with_ends(row, theirs)
        if not alike or Counter(given) in [Counter(_with_ends(other, ours)) for other in alike]:
            continue
        asked = {what for other in alike for what in _with_ends(other, ours)}
        for part, what in zip(theirs.appliance.elements, given, strict=True):
            if what not in asked:
                first_ways = {(ohms, share, ends[0]) for ohms, share, ends in asked}
                ohms, share, ends = what
                way = 1 if (ohms, share, ends[0]) in first_ways else 0
                plug = " and the plug reversed" if way else ""
                yield f"{_with(row)}{plug}, {_ends(part.name, ends[way])} in yours. {_NOT_SO}"
        yield f"{_with(row)}, the ends of your elements are not all what they should be."


def _with_ends(
    row: BehaviourRow, known: Behaviour
) -> list[tuple[str, int, tuple[tuple[str, str], ...]]]:
    return list(zip(map(resistance, known.appliance.elements), row.shares, row.ends, strict=True))


def _ends(name: str, ends: tuple[str, str]) -> str:
    # "between" is enough under a point in a drawing; in a sentence it is not
    first, second = (f"{end} line and neutral" if end == "between" else end for end in ends)
    if first == second:
        return f"both ends of {name} are {first}"
    return f"one end of {name} is {first}, the other {second}"


def _of_off(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    asked = [row.live for row in ours.rows if row.off]
    for row in theirs.rows:
        if row.off and row.live not in asked:
            if any(row.live):
                plug = "" if row.live[0] else " and the plug reversed"
                yield f"{_with(row)}{plug}, nothing heats, but points inside are live in yours."
            else:
                yield f"{_with(row)}, no point inside is live in yours. {_NOT_SO}"


def _of_lamps(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    for row in theirs.rows:
        asked = [sum(other.lit) for other in _alike(row, theirs, ours)]
        if asked and sum(row.lit) not in asked:
            yield f"{_with(row)}, {_glow(theirs, row.lit)} in yours. {_NOT_SO}"


def _of_protection(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    """On what still heats with one contact open, and on where that contact sits."""
    for part, number, row, asked in _openings(theirs, ours):
        shares = row.opened[number].shares
        left = [_heat(other.opened[mate].shares, ours) for other, mate in asked]
        if asked and _heat(shares, theirs) not in left:
            pairs = zip(theirs.appliance.elements, shares, strict=True)
            heating = [element.name for element, share in pairs if share]
            verb = "heat" if len(heating) > 1 else "heats"
            what = f"{listed(heating)} still {verb}" if heating else "nothing heats any more"
            yield f"{_with(row, part.name)}, {what} in yours. {_NOT_SO}"
        ends = row.contact_ends[number]
        places = [other.contact_ends[mate] for other, mate in asked]
        if asked and ends not in places:
            way = 0 if ends[0] not in [place[0] for place in places] else 1
            plug = " and the plug reversed" if way else ""
            yield (
                f"{_with(row)}{plug}, {_ends(part.name, ends[way])} in yours. Between which "
                "parts does it sit in the circuit asked for?"
            )


def _of_guarded_lamps(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    """On the lamps that glow with one contact open."""
    for part, number, row, asked in _openings(theirs, ours):
        lit = row.opened[number].lit
        if asked and sum(lit) not in [sum(other.opened[mate].lit) for other, mate in asked]:
            yield f"{_with(row, part.name)}, {_glow(theirs, lit)} in yours. {_NOT_SO}"


def _of_guarded_ends(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    """On the ends of elements with one contact open: a lamp across it keeps them joined."""
    for part, number, row, asked in _openings(theirs, ours):
        wanted = {end for other, mate in asked for end in other.opened[mate].ends}
        for element, end in zip(theirs.appliance.elements, row.opened[number].ends, strict=True):
            if asked and end not in wanted:
                where = _with(row, part.name)
                yield f"{where}, {_ends(element.name, end)} in yours. {_NOT_SO}"


Opening = tuple[SelfActing, int, BehaviourRow, list[tuple[BehaviourRow, int]]]


def _openings(theirs: Behaviour, ours: Behaviour) -> Iterator[Opening]:
    """Every self-acting contact of `theirs`, by number, in every row; and the rows of `ours` that
    heat the same, with the numbers of the contacts of that kind there."""
    for number, part in enumerate(theirs.appliance.self_acting):
        mates = [
            n for n, other in enumerate(ours.appliance.self_acting) if type(other) is type(part)
        ]
        for row in theirs.rows:
            alike = _alike(row, theirs, ours)
            yield part, number, row, [(other, mate) for other in alike for mate in mates]


def _of_positions(theirs: Behaviour, ours: Behaviour) -> Iterator[str]:
    for row in theirs.rows:
        asked = [_heat(o.shares, ours) for o in ours.rows if named(o) == named(row)]
        if asked and _heat(row.shares, theirs) not in asked:
            yield f"{_with(row)}, yours gives {_watts(row)}. That belongs to another position."


_AT_ONCE = (
    ({"live points"}, _of_ends),
    ({"off is dead"}, _of_off),
    ({"lamps"}, _of_lamps),
    ({"protection"}, _of_protection),
    ({"positions"}, _of_positions),
)
_WITH_A_CONTACT_OPEN = (
    ({"protection", "lamps"}, _of_guarded_lamps),
    ({"protection", "live points"}, _of_guarded_ends),
)
"""What each aspect that must be the same is told by; the first sentence of each is enough."""


def _alike(row: BehaviourRow, theirs: Behaviour, ours: Behaviour) -> list[BehaviourRow]:
    """The rows of `ours` in which the elements give the same as in this row of `theirs`."""
    heat = _heat(row.shares, theirs)
    return [other for other in ours.rows if _heat(other.shares, ours) == heat]


def _heat(shares: tuple[int, ...], known: Behaviour) -> tuple[tuple[str, int], ...]:
    """How much each element gives, whatever its name."""
    return tuple(sorted(zip(map(resistance, known.appliance.elements), shares, strict=True)))


def _full_power(element: Element, volts: float) -> str:
    return format_quantity(volts**2 / float(resistance(element)), "W")


def _watts(row: BehaviourRow) -> str:
    return format_quantity(row.heat_W, "W")


def _with(row: BehaviourRow, opened: str = "") -> str:
    where = [f"{name} at {position}" for name, position in row.setting.items()]
    where += [f"{opened} open"] if opened else []
    return f"With {listed(where)}" if where else "As it is"


def _glow(known: Behaviour, lit: tuple[bool, ...]) -> str:
    names = [lamp.name for lamp, on in zip(known.appliance.lamps, lit, strict=True) if on]
    if not names:
        return "no lamp glows"
    return f"{listed(names)} {'glows' if len(names) == 1 else 'glow'}"
