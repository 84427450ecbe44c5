"""What "off" leaves live, and which single fault makes it worse."""

from __future__ import annotations

from collections.abc import Iterator

from lessonlib.appliance.fault import as_drawn
from lessonlib.circuit.live import live_words
from lessonlib.ratings.hazard import Hazard, Level, Way, Ways, alike, beyond_switches
from lessonlib.words import listed

ABOUT = "off"
_PULL = "Off is not dead: pull the plug."


def when_off(ways: Ways) -> Iterator[Hazard]:
    """What each "off" leaves live; settings that leave the same share a row."""
    marked_way, turned_way = ways
    appliance = marked_way.appliance
    if not marked_way.off and not marked_way.short[list(marked_way.as_set), 0].all():
        what = "no setting of the switches turns everything off"
        yield Hazard("know", ABOUT, "in every setting", what, "Only the pulled plug does.")
    for when, index in alike(ways, marked_way.off):
        marked, turned = marked_way.live(index), turned_way.live(index)
        if beyond_switches(appliance, marked):
            what = f"nothing heats, but these stay live: {live_words(appliance, marked)}"
            both = "a switch fitted that cuts both conductors."
            one = "Have the switch put into the line, or "
            # a plug that goes in either way makes any line the neutral
            do = f"Have {both}" if appliance.supply.reversible_plug else f"{one}{both}"
            level: Level = "danger"
            if not {end.part for end in marked} & {part.name for part in appliance.elements}:
                level, do = "know", _PULL  # a lamp or a fuse before the switch
            yield marked_way.row(level, ABOUT, when, what, do, index)
        elif beyond_switches(appliance, turned):
            words = f"{turned_way.plug}, live: {live_words(appliance, turned)}"
            what = f"only the line is cut; with the {words}"
            yield turned_way.row("know", ABOUT, when, what, _PULL, index)
        else:
            what = "both conductors are cut behind the switch"
            do = "The switch itself stays live: pull the plug to open it."
            yield marked_way.row("know", ABOUT, when, what, do, index)


def left_on(ways: Ways) -> Iterator[Hazard]:
    """Single faults with which "off" heats, or leaves more live; those alike share a row. With the
    plug turned, where it can be, only those that do nothing as marked."""
    told: set[int] = set()
    for way in ways if ways[0].appliance.supply.reversible_plug else ways[:1]:
        found: dict[tuple[str, str, str], list[tuple[int, int]]] = {}
        for number, fault in enumerate(way.batch.faults):
            for index in way.off if fault is not None and number not in told else ():
                said = _said(way, index, number)
                if said is not None:
                    found.setdefault((way.words(index), *said), []).append((index, number))
                    told.add(number)
                    break  # one such setting says enough
        plug = f", {way.plug}" if way is not ways[0] else ""
        for (when, what, do), cases in found.items():
            faults = [way.batch.faults[number] for _, number in cases]
            words = " or ".join(str(as_drawn(way.appliance, each)) for each in faults if each)
            yield way.row("know", ABOUT, f"{when}{plug}, {words}", what, do, *cases[0])


def _said(way: Way, index: int, fault: int) -> tuple[str, str] | None:
    """What a fault does to an "off", and what to do; None where it is no worse than without."""
    if way.short[index, fault]:
        return "the mains is shorted", "A fuse blows: look for the cause before fitting another."
    on = way.heats[index, fault]
    heats = [part.name for part, hot in zip(way.appliance.elements, on, strict=True) if hot]
    if heats:
        verb = "heats" if len(heats) == 1 else "heat"
        return f"{listed(heats)} still {verb}", "Off does nothing: pull the plug."
    if way.shocks[index, fault].sum() <= way.shocks[index, 0].sum():
        return None
    live = way.live(index, fault)
    if beyond_switches(way.appliance, live):
        return f"nothing heats, live: {live_words(way.appliance, live)}", _PULL
    return None
