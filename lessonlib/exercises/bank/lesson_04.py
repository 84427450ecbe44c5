"""Exercises of lesson 4: what each switch position does, and what it leaves live."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from lessonlib.appliance.parts import Appliance, Element
from lessonlib.appliance.reader import read_appliance
from lessonlib.electric.meter import resistance
from lessonlib.electric.solution import Solution, solve, solve_all
from lessonlib.exercises.answers import CellTable, Choice, CircuitFile, Number, OneSetting, Points
from lessonlib.exercises.draw import Draw
from lessonlib.exercises.exercise import Exercise, Slip, Template
from lessonlib.exercises.reading import written

_EVERY = "list every setting of an appliance with its power and its live points"
_SAME = "say whether two wirings of the same parts give the same settings"
_BEHIND = "explain how a point behind an open contact can still be live"
_WHERE = 'say where a switch must sit for "off" to mean off'

_ONE_WAY = "D. Psillos, in Connecting Research in Physics Education (ICPE), chapter E4"
_NOT_APART = "Engelhardt and Beichner, Am. J. Phys. 72 (2004), as quoted"


def _kettle_table(draw: Draw) -> Exercise:
    simmer_W, boil_W = draw.number(300, 600, 50), draw.number(1000, 1600, 100)
    kettle = draw.appliance("soup-kettle", {"E1": {"power_W": simmer_W}, "E2": {"power_W": boil_W}})
    turned = draw.one_of(["simmer", "boil"])
    settings = [("off", turned), ("on", "simmer"), ("on", "boil")]

    def row(now: Solution) -> tuple[float, ...]:
        """Without the lamp, as the text says."""
        first_W, second_W = (now.part[name].power_W or 0.0 for name in ("E1", "E2"))
        return tuple(round(value, 9) for value in (first_W, second_W, (first_W + second_W) / 230))

    solved = solve_all(kettle, [{"S1": first, "S2": second} for first, second in settings])
    off, simmer, boil = right = tuple(map(row, solved))
    both = tuple(map(sum, zip(simmer, boil, strict=True)))
    return Exercise(
        text=(
            f"The soup kettle's elements are marked {simmer_W:g} W (E1, simmer) and {boil_W:g} W "
            "(E2, boil), both at 230 V, and it is on 230 V. What do they give, and which current "
            f"does the kettle draw, first with S1 off and S2 at {turned}, then with S1 on and S2 "
            "at simmer, then at boil? Leave out the lamp's 0.6 W."
        ),
        answer=CellTable(
            rows=tuple(f"S1 {first}, S2 {second}" for first, second in settings),
            columns=(("E1", "W"), ("E2", "W"), ("current", "A")),
            value=right,
            because="three figures, 2 % for rounding; with the lamp, a row has 0.2 % more",
        ),
        slips=(
            Slip(
                "s1-left-out",
                (simmer if turned == "simmer" else boil, simmer, boil),
                thought="S2 is taken to feed its element, wherever S1 stands",
                why="S2 gets the line from fed, and fed gets it through S1.",
                attempt="Set S1 to off in the panel and turn S2: does anything change?",
            ),
            Slip(
                "boil-adds",
                (off, simmer, both),
                thought="boil is taken to add its element to the one that simmers",
                why="Each contact of S2 is closed in one position only.",
                attempt="Turn S2 to boil in the panel and read the power of E1.",
            ),
            Slip(
                "outputs-exchanged",
                (off, boil, simmer),
                thought="the two outputs of S2 are exchanged",
                why="E1 lies behind simmer, and E2 behind boil.",
                attempt="Follow the closed contact of S2 in the drawing to its element.",
            ),
        ),
        hints=(
            "Without S1 nothing reaches S2. With it, S2 has one output closed.",
            "Each row has one element at its marked power or none. Divide the power by 230 V.",
        ),
        worked=(
            "S1 off: nothing flows, whatever S2 says.",
            f"S2 simmer: E1 alone, {simmer_W:g} W ÷ 230 V = {written(simmer_W / 230, 'A')}.",
            f"S2 boil: E2 alone, {boil_W:g} W ÷ 230 V = {written(boil_W / 230, 'A')}.",
        ),
        appliance=kettle,
        setting={"S1": "on", "S2": "simmer"},
    )


_INSIDE = ("simmer", "boil", "fed")


def _live(found: Solution) -> frozenset[str]:
    return frozenset(name for name in _INSIDE if found.node[name].condition == "live")


def _kettle_points(draw: Draw) -> Exercise:
    kettle = draw.appliance("soup-kettle")
    setting = {"S1": draw.one_of(["off", "on"]), "S2": draw.one_of(["simmer", "boil"])}
    swapped = draw.one_of([False, True])
    burnt = draw.one_of([None, "E1", "E2"])
    fault = f"{burnt} open" if burnt else None
    now, sound = solve_all(kettle, [setting], faults=(fault, None), reversed_plug=swapped)
    right = _live(now)
    line = "N" if swapped else "L"
    lead = "The lead swaps line and neutral" if swapped else "Line and neutral are as marked"
    elements = f"{burnt} has burnt through" if burnt else "Both elements are sound"
    return Exercise(
        text=(
            f"The soup kettle: S1 is {setting['S1']}, S2 stands at {setting['S2']}. {lead}. "
            f"{elements}. Which points inside are live?"
        ),
        answer=Points(right, _INSIDE),
        slips=tuple(_point_slips(now, sound)),
        hints=(
            f"Put your finger on {line}: that is the line here. How far do you get?",
            "You may pass closed contacts, and sound elements that carry no current. The lamp "
            "joins fed to N too.",
        ),
        worked=(
            f"The line comes in at {line}.",
            f"S1 is {'closed' if setting['S1'] == 'on' else 'open'}; S2 joins fed to "
            f"{setting['S2']}.",
            "An element or a lamp joins its ends where it carries no current. E1 lies between "
            f"simmer and N, E2 between boil and N, H1 between fed and N"
            f"{f', but {burnt} is open' if burnt else ''}.",
            f"Live inside: {', '.join(name for name in _INSIDE if name in right) or 'none'}.",
        ),
        appliance=kettle,
        setting=setting,
    )


def _point_slips(now: Solution, sound: Solution) -> Iterator[Slip]:
    """Each way of thinking, where it gives a wrong answer that no earlier one gave."""
    kettle, setting, swapped = now.appliance, now.setting, now.reversed_plug
    turned = solve(kettle, setting, reversed_plug=not swapped, fault=now.fault)
    carrying = {
        node
        for part in (*kettle.of_kind("element"), *kettle.of_kind("lamp"))
        if now.part[part.name].current_A
        for node in part.rungs[0]
    }
    right = _live(now)
    line, neutral = ("N", "L") if swapped else ("L", "N")
    found = {right}
    for slip in (
        Slip(
            "no-current-no-danger",
            right & carrying,
            thought="a point is taken as live only where a current flows",
            why="Live means joined to the line, with or without a current.",
            attempt="Set the kettle like this in the panel, and read the words beside 0 W.",
            source=_NOT_APART,
        ),
        *(_off_slips(setting["S2"], swapped) if setting["S1"] == "off" else _ON_SLIPS),
        Slip(
            "wrong-conductor",
            _live(turned),
            thought=f"{neutral} is taken for the line",
            why=f"Here {line} carries the line, and {neutral} is the neutral.",
            attempt="Turn the plug round in the panel, and watch which words turn over.",
        ),
        Slip(
            "fault-left-out",
            _live(sound),
            thought="the burnt element is taken as sound",
            why="Burnt through, it joins its two ends no longer.",
            attempt="Choose the fault in the panel, and read the word at its end again.",
        ),
    ):
        if slip.value not in found:
            found.add(slip.value)
            yield slip


def _off_slips(position: str, swapped: bool) -> tuple[Slip]:
    if not swapped:
        return (
            Slip(
                "s2-feeds-by-itself",
                frozenset({position}),
                thought="S2 is taken to feed its output by itself",
                why="S2 lies behind S1, and S1 is open.",
                attempt="Begin at L in the drawing: what is the first contact that you meet?",
            ),
        )
    return (
        Slip(
            "open-contact-guards",
            frozenset({"fed", position}),
            thought="one output is taken as cut off, since S2 is open towards it",
            why="The open contact parts it from fed only. It has an element of its own.",
            attempt="Begin at N in the drawing, and go through each sound element in turn.",
            source=_ONE_WAY,
        ),
    )


_ON_SLIPS = (
    Slip(
        "on-means-all-live",
        frozenset(_INSIDE),
        thought="S1 on is taken to make everything inside live",
        why="S2 parts one of the points from fed, and then its element decides.",
        attempt="Ask for each point: through what is it joined to L, through what to N?",
    ),
)


def _warmer_on_the_meter(draw: Draw) -> Exercise:
    low_W, high_W = draw.number(200, 400, 50), draw.number(600, 900, 50)
    warmer = draw.appliance("plate-warmer", {"E1": {"power_W": low_W}, "E2": {"power_W": high_W}})
    red, black, position = draw.one_of(
        [
            *(("low", "high", position) for position in ("low", "off", "high")),
            ("L", "high", "low"),
            ("L", "low", "high"),
            ("L", "high", "off"),
            ("L", "low", "off"),
        ]
    )
    ohm = resistance(warmer, {"S1": position}, red=red, black=black).ohm
    ohms = {end: _ohms(warmer, name) for end, name in (("low", "E1"), ("high", "E2"))}
    first, second = ohms.values()
    one = Slip(
        "one-element-only",
        ohms[black],
        thought=f"only the element at {black} is counted",
        why=f"That element goes from {black} to N, and the other probe is at {red}.",
        attempt="Walk from one probe to the other in the drawing, and name all that you pass.",
    )
    far = "low" if black == "high" else "high"
    other = Slip(
        "other-element-only",
        ohms[far],
        thought=f"only the element at {far} is counted",
        why=f"That element goes from {far} to N, and the other probe is at {black}.",
        attempt="Walk from one probe to the other in the drawing, and name all that you pass.",
    )
    series = Slip(
        "open-contact-passed",
        first + second,
        thought="the way is taken through both elements, as if S1 were closed",
        why="One probe is at L. With S1 off, nothing joins L to anything inside.",
        attempt="Look at S1 in the drawing: which of its contacts at L is closed?",
    )
    side_by_side = Slip(
        "side-by-side",
        first * second / (first + second),
        thought="the two elements are taken side by side, as if both ran from probe to probe",
        why="With S1 off no current can leave the probe at L."
        if ohm is None
        else "Between these probes the meter's current meets them one after the other.",
        attempt="Draw the warmer anew with the two probes at its ends, left and right.",
    )
    no_way = Slip(
        "no-way-seen",
        math.inf,
        thought="no way is seen, because the plug is out or a contact is open",
        why="The two elements meet at N, and for that N needs no plug.",
        attempt=f"Start at {black} in the drawing: through which part can you leave it?",
        source=_ONE_WAY,
    )
    worked = (
        "With S1 off, L is joined to nothing: open, OL."
        if ohm is None
        else f"The way: E1 and E2, one after the other, through N: {written(first, 'Ω')} + "
        f"{written(second, 'Ω')} = {written(ohm, 'Ω')}."
    )
    return Exercise(
        text=(
            f"A plate warmer with E1 ({low_W:g} W, between low and N) and E2 ({high_W:g} W, "
            f"between high and N), both marked at 230 V, is unplugged. S1 stands at {position}. An "
            f"ohmmeter lies between {red} and {black}. What does it show? Take the elements cold "
            "as hot; an open path is OL."
        ),
        answer=Number(
            math.inf if ohm is None else ohm,
            "Ω",
            because="three figures, and 2 % for rounding on the way; the slips are 15 % apart",
        ),
        slips=(one, series, side_by_side) if ohm is None else (one, other, side_by_side, no_way),
        hints=(
            "Go from probe to probe, through closed contacts and through elements. L and N of the "
            "pulled plug are points like any other.",
            "An element's resistance is 230 V squared, divided by the power marked on it.",
        ),
        worked=(
            f"E1: 230² ÷ {low_W:g} = {written(first, 'Ω')}. "
            f"E2: 230² ÷ {high_W:g} = {written(second, 'Ω')}.",
            worked,
        ),
        appliance=warmer,
        setting={"S1": position},
    )


def _ohms(appliance: Appliance, name: str) -> float:
    part = appliance.part(name)
    assert isinstance(part, Element)
    return part.resistance_ohm


def _urn_off(draw: Draw) -> Exercise:
    keep_W, boost_W = draw.number(300, 600, 50), draw.number(900, 1500, 100)
    swapped = draw.one_of([False, True])
    urn = draw.appliance("tea-urn", {"E1": {"power_W": keep_W}, "E2": {"power_W": boost_W}})
    now = solve(urn, {"S1": "off"}, reversed_plug=swapped)
    word = now.node["boost"].condition
    other = "live" if word == "neutral" else "neutral"

    def option(watts: float | None, condition: str) -> str:
        return f"boost is {condition}, and the urn draws {watts:.0f} W"

    line, neutral = ("N", "L") if swapped else ("L", "N")
    wrong = (
        Slip(
            "off-taken-at-its-word",
            option(0, word),
            thought="the word off is believed",
            why="S1 lies before E2 only. E1 has no switch at all.",
            attempt="Look at the drawing, with S1 off: which contact lies between E1 and L?",
        ),
        Slip(
            "wrong-conductor",
            option(now.power_W, other),
            thought=f"boost is taken to be joined to L, or {neutral} to be the line",
            why=f"E2 joins boost to N, and the line is at {line} here.",
            attempt="Compare state_table(urn) with state_table(urn, reversed_plug=True): what is "
            "live at off?",
        ),
        Slip(
            "one-wire-is-enough",
            option(keep_W + boost_W, word),
            thought="both elements are counted, since E2 is joined to N",
            why="A current needs a way back, and S1 has parted E2 from L.",
            attempt="Read the current of E2 in panel(urn) with S1 off.",
            source=_ONE_WAY,
        ),
    )
    lead = "The lead swaps line and neutral" if swapped else "Line and neutral are as marked"
    right = option(now.power_W, word)
    return Exercise(
        text=(
            f"A tea urn: E1 ({keep_W:g} W) lies between L and N, E2 ({boost_W:g} W) between boost "
            f"and N, and S1 joins L to boost when on. {lead}, on 230 V, and S1 is off. What does "
            "the urn draw, and what is boost?"
        ),
        answer=Choice(right, tuple(draw.shuffled([right, *(slip.value for slip in wrong)]))),
        slips=wrong,
        hints=(
            "Which elements have a way from L to N that does not pass S1?",
            "Boost hangs on one conductor through E2, which carries no current.",
        ),
        worked=(
            f"E1 lies between L and N without a switch: {keep_W:g} W.",
            "E2 has no way back and carries nothing, so boost has the potential of N.",
            f"N is the {'line' if swapped else 'neutral'} here, so boost is {word}.",
        ),
        appliance=urn,
        setting={"S1": "off"},
    )


_SAME_THREE = "just the same three"
_BOTH_TOO = "the same three, and both elements at once"
_NO_OFF = "two of the three: it cannot be off"
_BOTH_INSTEAD = "two of the three, and both at once in place of E2 alone"

_WIRINGS = {
    "One selector with low, off and high joins L to E1 at low, and L to E2 at high": """
  { name = "S1", positions = ["low", "off", "high"], contacts = [
    { between = ["L", "a"], closed_in = ["low"] },
    { between = ["L", "b"], closed_in = ["high"] }] }""",
    "Two separate on-off switches join L to E1 and L to E2": """
  { name = "S1", positions = ["off", "on"], contacts = [
    { between = ["L", "a"], closed_in = ["on"] }] },
  { name = "S2", positions = ["off", "on"], contacts = [
    { between = ["L", "b"], closed_in = ["on"] }] }""",
    "A change-over switch joins L to E1 at low, and L to E2 at high; there is no other switch": """
  { name = "S1", positions = ["low", "high"], contacts = [
    { between = ["L", "a"], closed_in = ["low"] },
    { between = ["L", "b"], closed_in = ["high"] }] }""",
    "An on-off switch joins L to E1, and a second one goes on from there to E2": """
  { name = "S1", positions = ["off", "on"], contacts = [
    { between = ["L", "a"], closed_in = ["on"] }] },
  { name = "S2", positions = ["off", "on"], contacts = [
    { between = ["a", "b"], closed_in = ["on"] }] }""",
}


def _other_wiring(draw: Draw) -> Exercise:
    low_W, high_W = draw.number(300, 600, 50), draw.number(700, 1500, 100)
    words = draw.one_of(list(_WIRINGS))
    other = read_appliance(
        f"""\
title = "The other wiring"
supply.voltage_V = 230
element = [
  {{ name = "E1", between = ["a", "N"], power_W = {low_W:g}, voltage_V = 230 }},
  {{ name = "E2", between = ["b", "N"], power_W = {high_W:g}, voltage_V = 230 }}]
switch = [{_WIRINGS[words]}]
"""
    )
    given = {
        (bool(now.part["E1"].power_W), bool(now.part["E2"].power_W)) for now in solve_all(other)
    }
    asked = {(False, False), (True, False), (False, True)}
    right = (
        _SAME_THREE
        if given == asked
        else _BOTH_TOO
        if given > asked
        else _NO_OFF
        if given < asked
        else _BOTH_INSTEAD
    )
    both = (True, True) in given
    whys = {
        _SAME_THREE: (
            "taken-as-the-same",
            "the same parts are taken to give the same settings",
            "One of the two wirings can do something that the other cannot.",
        ),
        _BOTH_TOO: (
            "both-and-all-the-rest",
            "the new wiring is taken to do all that the old one does, and more",
            "It can feed both at once, but not each of them alone."
            if both
            else "In no position are both elements joined to L.",
        ),
        _NO_OFF: (
            "no-off-seen",
            "no setting is seen that parts both elements from L",
            "There is one in which every contact is open.",
        ),
        _BOTH_INSTEAD: (
            "e1-comes-with-e2",
            "E1 is taken to be on whenever E2 is",
            "L can reach E2 while the contact to E1 is open.",
        ),
    }
    return Exercise(
        text=(
            f"The soup kettle has three settings for E1 ({low_W:g} W) and E2 ({high_W:g} W): off, "
            f"E1 alone, E2 alone. Somebody rewires it. {words}. What can it do then?"
        ),
        answer=Choice(right, tuple(draw.shuffled(list(whys)))),
        slips=tuple(
            Slip(
                name,
                option,
                thought=thought,
                why=why,
                attempt="Write down every setting of the new wiring: which elements has L reached?",
            )
            for option, (name, thought, why) in whys.items()
            if option != right
        ),
        hints=(
            "Make the table of the new wiring: positions multiplied, a row for each.",
            "Compare the pairs of powers row by row, not the number of rows.",
        ),
        worked=(
            "Its settings, by power: "
            + "; ".join(
                f"E1 {low_W * first:g} W, E2 {high_W * second:g} W"
                for first, second in sorted(given)
            )
            + ".",
            f"The kettle has: off, E1 alone, E2 alone. So it can do {right}.",
        ),
    )


_POINTS = ("a", "middle", "b")


def _rail_position(draw: Draw) -> Exercise:
    right = draw.one_of(["low", "medium", "high"])
    swapped = draw.one_of([False, True])
    rail = draw.appliance("towel-rail")
    heating = ("low", "medium", "high")
    solved = solve_all(rail, [{"S1": name} for name in heating], reversed_plug=swapped)
    every = {
        position: tuple(found.node[name].condition for name in _POINTS)
        for position, found in zip(heating, solved, strict=True)
    }
    words = every[right]
    said = ", ".join(f"{name} is {word}" for name, word in zip(_POINTS, words, strict=True))
    return Exercise(
        text=(
            "In the towel rail E1 lies between a and middle, E2 between middle and b. S1 joins L "
            "to a at low, medium and high, middle to N at medium and high, b to L at high, and b "
            "to N at low. It is drawn at off, and whether the lead swaps line and neutral is not "
            f"known. The model says: {said}. Where does S1 stand?"
        ),
        answer=OneSetting(rail, ({"S1": right},), ("S1",)),
        slips=tuple(_rail_slips(right, every, swapped)),
        hints=(
            "Begin with a: in three positions S1 joins it to L. So a tells you how the lead is.",
            "Then middle and b: which of them are joined to L, which to N, and which through an "
            "element only?",
        ),
        worked=(
            f"In every position but off, a is joined to L. It is {words[0]}: so the lead is "
            f"{'swapped' if swapped else 'as marked'}.",
            f"Middle is {words[1]} and b is {words[2]}: only {right} does that.",
        ),
        appliance=rail,
        setting={"S1": "off"},
    )


def _rail_slips(right: str, every: Mapping[str, tuple[str, ...]], swapped: bool) -> Iterator[Slip]:
    """The other two positions in which it heats: what fits at them, and what does not; and off."""
    turned = ", reversed_plug=True" if swapped else ""
    for position, others in every.items():
        if position == right:
            continue
        triples = list(zip(_POINTS, every[right], others, strict=True))
        fits = [name for name, word, other in triples if word == other]
        misfits = [f"{name} {other}" for name, word, other in triples if word != other]
        yield Slip(
            f"{position}-fits-in-part",
            {"S1": position},
            thought=f"only {' and '.join(fits)} {'is' if len(fits) == 1 else 'are'} looked at",
            why=f"With that lead, {position} would make {' and '.join(misfits)}.",
            attempt=f"Show state_table(rail{turned}), and hold its row {position} against the "
            "three words.",
        )
    yield Slip(
        "off-fits-nowhere",
        {"S1": "off"},
        thought="the rail is taken to be off",
        why="With S1 off every contact is open, and all three would be floating.",
        attempt="Set S1 to off in panel(rail), and read the three words.",
    )


def _plate_warmer(watts: tuple[float, float], end: str, contacts: str) -> str:
    """The file, with the elements' far end and the contacts that `contacts` adds to the two."""
    return f"""\
title = "Plate warmer, to be rewired"
supply = {{ voltage_V = 230, reversible_plug = true }}
element = [
  {{ name = "E1", between = ["low", "{end}"], power_W = {watts[0]:g}, voltage_V = 230 }},
  {{ name = "E2", between = ["high", "{end}"], power_W = {watts[1]:g}, voltage_V = 230 }}]
[[switch]]
name = "S1"
positions = ["low", "off", "high"]
contacts = [
  {{ between = ["L", "low"], closed_in = ["low"] }},
  {{ between = ["L", "high"], closed_in = ["high"] }}{contacts}]
"""


def _plate_warmer_file(draw: Draw) -> Exercise:
    watts = (draw.number(200, 400, 50), draw.number(600, 900, 50))
    start = _plate_warmer(watts, "N", "")
    third = ',\n  {{ between = ["{}", "N"], closed_in = [{}] }}'
    in_neutral = start.replace('"L"', '"N"').replace('", "N"], power', '", "L"], power')
    right, unchanged, short, in_off, neutral_only = map(
        read_appliance,
        (
            _plate_warmer(watts, "end", third.format("end", '"low", "high"')),
            start,
            _plate_warmer(watts, "N", third.format("L", '"off"')),
            _plate_warmer(watts, "end", third.format("end", '"off"')),
            in_neutral,
        ),
    )
    return Exercise(
        text=(
            f"Rewire the plate warmer ({watts[0]:g} W and {watts[1]:g} W at 230 V): off must leave "
            "nothing inside live, whichever way the lead is, and low and high must give what they "
            "give now. S1 stays the only switch. It may have further contacts, and a contact may "
            "be closed in two positions."
        ),
        answer=CircuitFile(right, start_text=start, must=("off is dead", "positions")),
        slips=(
            Slip(
                "one-pole-only",
                unchanged,
                thought="off parts the inside from L, and leaves it joined to N",
                why="If the lead swaps them, N is the line.",
                attempt="Show state_table of your file, with reversed_plug=True: is off dead?",
            ),
            Slip(
                "short-in-off",
                short,
                thought="a contact between L and N is closed at off",
                why="That joins the supply to itself: a short circuit.",
                attempt="Show state_table of your file, and read the row off.",
            ),
            Slip(
                "closed-when-off",
                in_off,
                thought="the contact to N is closed at off and open at low and high",
                why="It opens when heat is wanted, and then no current has a way back.",
                attempt="Show state_table of your file: what do low and high give?",
            ),
            Slip(
                "moved-to-neutral",
                neutral_only,
                thought="off leaves something inside joined to L",
                why="With a lead that swaps nothing, L is the line.",
                attempt="Show state_table of your file, and read the live points of the row off.",
            ),
        ),
        hints=(
            "Through which conductor is the inside joined to the supply when S1 is off?",
            "Give the elements' common end a node of its own, and a contact from there to N.",
        ),
        worked=(
            'One way: both elements end at a node of its own, such as "end", in place of "N".',
            'A third contact joins "end" to "N", closed in low and high.',
            "At off all three are open, and the inside floats, whichever way the lead is.",
        ),
    )


EXERCISES = (
    Template("kettle-state-table", 4, "same circuit", _EVERY, _kettle_table),
    Template("kettle-live-points", 4, "same circuit", _BEHIND, _kettle_points),
    Template("warmer-on-the-ohmmeter", 4, "new circuit", _BEHIND, _warmer_on_the_meter),
    Template("urn-that-is-off", 4, "new circuit", _WHERE, _urn_off),
    Template("kettle-wired-anew", 4, "new circuit", _SAME, _other_wiring),
    Template("rail-from-its-words", 4, "find or design", _EVERY, _rail_position),
    Template("plate-warmer-file", 4, "find or design", _WHERE, _plate_warmer_file),
)
