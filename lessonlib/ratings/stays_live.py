"""What stays live: at "off", behind a contact or fuse that has opened, behind a broken neutral."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.fault import CORD, Fault, as_drawn
from lessonlib.appliance.parts import ThermalFuse
from lessonlib.appliance.settings import setting_words
from lessonlib.appliance.terminals import plug_fuse
from lessonlib.circuit.live import live_words
from lessonlib.ratings.hazard import (
    Hazard,
    Level,
    Way,
    Ways,
    alike,
    beyond_switches,
    both_ways,
    different,
    live_either_way,
)
from lessonlib.words import listed

OFF = "off"
_PULL = "Off is not dead: pull the plug."


def when_off(ways: Ways) -> Iterator[Hazard]:
    """What each "off" leaves live; settings that leave the same share a row."""
    marked_way, turned_way = ways
    appliance = marked_way.appliance
    if not marked_way.off and not marked_way.short[list(marked_way.as_set), 0].all():
        what = "no setting of the switches turns everything off"
        yield Hazard("know", OFF, "in every setting", what, "Only the pulled plug does.")
    for when, index in alike(ways, marked_way.off):
        marked, turned = marked_way.live(index), turned_way.live(index)
        if beyond_switches(appliance, marked):
            what = f"nothing heats, but these stay live: {live_words(appliance, marked)}"
            level: Level = "danger"
            # a plug that goes in either way makes any line the neutral
            line = "" if appliance.supply.reversible_plug else "the switch put into the line, or "
            do = f"Have {line}a switch fitted that cuts both conductors."
            if not {end.part for end in marked} & {part.name for part in appliance.elements}:
                level, do = "know", _PULL  # a lamp or a fuse before the switch
            yield marked_way.row(level, OFF, when, what, do, index)
        elif beyond_switches(appliance, turned):
            words = f"{turned_way.plug}, live: {live_words(appliance, turned)}"
            what = f"only the line is cut; with the {words}"
            yield turned_way.row("know", OFF, when, what, _PULL, index)
        else:
            what = "both conductors are cut behind the switch"
            do = "The switch itself stays live: pull the plug to open it."
            yield marked_way.row("know", OFF, when, what, do, index)


def left_on(ways: Ways) -> Iterator[Hazard]:
    """Single faults with which "off" heats, or leaves more live; those alike share a row. With the
    plug turned, where it can be, only those that do nothing as marked."""
    told: set[int] = set()
    for way in ways if ways[0].appliance.supply.reversible_plug else ways[:1]:
        found: dict[tuple[str, str, str], list[tuple[int, int]]] = {}
        for number, fault in enumerate(way.batch.faults):
            for index in way.off if fault is not None and number not in told else ():
                said = _made_worse(way, index, number)
                if said is not None:
                    found.setdefault((way.words(index), *said), []).append((index, number))
                    told.add(number)
                    break  # one such setting says enough
        plug = f", {way.plug}" if way is not ways[0] else ""
        for (when, what, do), cases in found.items():
            faults = [way.batch.faults[number] for _, number in cases]
            words = " or ".join(str(as_drawn(way.appliance, each)) for each in faults if each)
            yield way.row("know", OFF, f"{when}{plug}, {words}", what, do, *cases[0])


def _made_worse(way: Way, index: int, fault: int) -> tuple[str, str] | None:
    """What a fault does to an "off", and what to do; None where it is no worse than without."""
    if way.short[index, fault]:
        return "the mains is shorted", "A fuse blows: look for the cause before fitting another."
    on = way.heats[index, fault]
    heats = [part.name for part, hot in zip(way.appliance.elements, on, strict=True) if hot]
    if heats:
        verb = "heats" if len(heats) == 1 else "heat"
        return f"{listed(heats)} still {verb}", "Off does nothing: pull the plug."
    live = way.live(index, fault)
    more = way.shocks[index, fault].sum() > way.shocks[index, 0].sum()
    if more and beyond_switches(way.appliance, live):
        return f"nothing heats, live: {live_words(way.appliance, live)}", _PULL
    return None


def when_opened(ways: Ways) -> Iterator[Hazard]:
    """What each contact that opened by itself leaves live, in the worst setting."""
    way = ways[0]
    heating = [index for index in way.as_set if index not in way.off]
    for part in way.appliance.self_acting if heating else ():
        worst = way.most_live([way.opened(index, part.name) for index in heating])
        if way.live(worst):
            about = "fuse" if isinstance(part, ThermalFuse) else "contact"
            when = setting_words(way.appliance, way.batch.settings[worst])
            what = f"still live: {live_either_way(ways, worst)}"
            do = "An open contact is no isolation: pull the plug."
            yield way.row("know", about, when, what, do, worst)


def when_cord_fails(ways: Ways) -> Iterator[Hazard]:
    """What a blown plug fuse or a broken neutral core leaves live, in the worst setting."""
    appliance = ways[0].appliance
    blown = [Fault(CORD, "plug fuse blown")] if plug_fuse(appliance) is not None else []
    kinds = [*blown, Fault(CORD, "neutral core broken")]
    ways = both_ways(appliance, different(ways), kinds)
    for fault, kind in enumerate(kinds):
        told: list[str] = []
        shown: list[tuple[Way, int]] = []
        for way in ways:
            worst = way.most_live(way.as_set, fault)
            live = way.live(worst, fault)
            words = "in the model nothing behind the switches is live"
            if beyond_switches(appliance, live):
                words = f"still live ({way.words(worst)}): {live_words(appliance, live)}"
                shown.append((way, worst))
            told.append(f"{way.plug}: {words}")
        way, worst = (*shown, (ways[0], 0))[0]
        about = "cord" if kind.kind == "neutral core broken" else "fuse"
        do = "It looks dead and is not: pull the plug, and prove dead."
        yield way.row("know", about, str(kind), "; ".join(told), do, worst, fault)
