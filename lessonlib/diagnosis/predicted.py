"""What each test shows with each fault, at least and at most.

Arrays are (guesses, tests). Values are ohms, or volts on the diode range; a value at the top of the
meter's range, `TOP`, is "open". The range of a value has in it what the parts may be (`pairs`) and
how far off a usual hand meter and its leads may be.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, Element, Part
from lessonlib.appliance.settings import Setting, complete, settings
from lessonlib.appliance.terminals import Terminal, metalwork, terminals
from lessonlib.circuit.network import Floats, Indexes
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.bench_test import TURN, BenchTest, bench_test, trouble
from lessonlib.diagnosis.ranges import Guess
from lessonlib.errors import ReadingError, SettingError, shown
from lessonlib.meter.expected import LEADS_OHM
from lessonlib.meter.pairs import Pairs, pairs

TOP = {"Ω": 20e6, "V": 2.0}
"""Where a usual meter's highest ohms range, and its diode range, end: typical, no source."""

# Current of a diode range, and the drop of a silicon diode at it: typical, no source.
_DIODE_A = (0.0005, 0.0015)
_DROP_V = (0.3, 0.9)
USUAL_DIODE_A, USUAL_DROP_V = 0.001, 0.6

# Cases times pairs of points held at once, some hundred megabytes: our own choice.
_MOST = 20_000_000

# A usual meter: 1 % and 3 steps of the last digit, of which there are 2000 in a range. Typical, no
# source; `ResistanceReading` has the same.
_SHARE = 0.0115
_STEPS = {"Ω": 0.3, "V": 0.003}


@dataclass(frozen=True, eq=False)
class Predicted:
    """Each of `tests` with each of `guesses`, in `low` and `high`."""

    guesses: tuple[Guess, ...]
    tests: tuple[BenchTest, ...]
    low: Floats
    high: Floats
    trouble: Floats  # (2, tests): before the case is open, and after


def seen(low: Floats, high: Floats, unit: str) -> tuple[Floats, Floats]:
    """What a usual meter may show where the true value is from `low` to `high`."""
    top, step = TOP[unit], _STEPS[unit]
    leads = LEADS_OHM if unit == "Ω" else 0.0
    with np.errstate(invalid="ignore"):
        least = np.where(low < top, np.maximum(low * (1 - _SHARE) - step, 0.0), top)
        most = np.where(high < top, high * (1 + _SHARE) + step + leads, top)
    return np.minimum(least, top), np.minimum(most, top)


def predict(appliance: Appliance, guesses: Sequence[Guess]) -> Predicted:
    """Every test at the bench with every guess; of tests that show the same whatever is wrong, the
    one that is the least trouble."""
    chosen = settings(appliance)
    every = _points(appliance, len(chosen) * len(guesses))
    found = pairs(appliance, chosen, [guess.corners for guess in guesses], every)
    where, low, high = _columns(found, len(chosen))
    setting, red, black, _ = where.T
    places = [[trouble(appliance, (one, other)) for other in every] for one in every]
    turned = np.array([_turned(appliance, each) for each in chosen])
    cost = np.array(places)[red, black].T + TURN * turned[setting]
    # across one part, or from a pin, is easier said than between two ends of wires
    owner = {str(end): f"{end.part} {end.contact}" for end in terminals(appliance)}
    owners = np.array([owner.get(point, "") for point in every])
    said = cost[0] + (owners[red] != owners[black])
    telling = np.flatnonzero(low.max(axis=1) > high.min(axis=1))
    kept = telling[_least(low[telling], high[telling], said[telling])]
    tests = [_test(appliance, where[number], every, chosen) for number in kept]
    alone = list(_alone(appliance, guesses))
    return Predicted(
        tuple(guesses),
        (*tests, *(each[0] for each in alone)),
        np.column_stack([low[kept].T, *(each[1] for each in alone)]),
        np.column_stack([high[kept].T, *(each[2] for each in alone)]),
        np.column_stack([cost[:, kept], *(each[3] for each in alone)]),
    )


def _points(appliance: Appliance, cases: int) -> tuple[str, ...]:
    """Where the plan may measure: everywhere, or in a large appliance not at each end of each part.

    Raises `SettingError` where that is too much as well.
    """
    every = points(appliance)
    if cases * len(every) ** 2 > _MOST:
        ends = {str(end) for end in terminals(appliance)}
        every = tuple(point for point in every if point not in ends)
    if cases * len(every) ** 2 > _MOST:
        raise SettingError(
            f"{appliance.title} has {cases:,} cases between {len(every)} points; accepted: up to "
            f"{_MOST // len(every) ** 2:,}. Give diagnose the readings you have, or describe part "
            "of it as an appliance of its own."
        )
    return every


def _columns(found: Pairs, settings: int) -> tuple[Indexes, Floats, Floats]:
    """Ohms between all points, red before black, or both ways round where a diode may conduct; and
    there the diode range too. Setting, red, black, and whether on the diode range (tests, 4); and
    what each (tests, guesses) shows at least and at most."""
    count = len(found.points)
    shape = (settings, -1, count, count)
    one_way = np.any(found.forward.reshape(shape) > 0, axis=1)
    turns = one_way | np.swapaxes(one_way, 1, 2)
    first = np.triu(np.ones(turns.shape, dtype=bool), 1)
    ohms, volts = (found.least_ohm, found.most_ohm), diode_volts(found)
    parts = []
    for unit, ends, some in (("Ω", ohms, first), ("Ω", ohms, turns & ~first), ("V", volts, turns)):
        at = setting, red, black = np.nonzero(some)
        low, high = (values.reshape(shape)[setting, :, red, black] for values in ends)
        where = np.stack((*at, np.full(len(red), unit == "V")), axis=1)
        parts.append((where, *seen(low, high, unit)))
    wheres, lows, highs = zip(*parts, strict=True)
    return np.concatenate(wheres), np.concatenate(lows), np.concatenate(highs)


def _test(
    appliance: Appliance,
    where: Indexes,
    points: Sequence[str],
    chosen: Sequence[dict[str, str]],
    unhooked: str = "",
) -> BenchTest:
    """One of `_columns` as it is done at the bench."""
    setting, red, black, diode = where.tolist()
    return bench_test(
        appliance,
        points[red],
        points[black],
        chosen[setting],
        diode_range=bool(diode),
        unhooked=unhooked,
    )


def diode_volts(found: Pairs) -> tuple[Floats, Floats]:
    """Least and most that a diode range shows between every two points: the drops of the diodes on
    the way and of what is in series, or less if what lies beside them takes the current."""
    least_A, most_A = _DIODE_A
    drop = [found.forward * volts for volts in _DROP_V]
    low = np.minimum(found.blocked_ohm * least_A, found.least_ohm * least_A + drop[0])
    return low, np.minimum(found.most_ohm * most_A, found.forward_ohm * most_A + drop[1])


def _turned(appliance: Appliance, setting: Setting) -> int:
    return sum(setting[part.name] != part.start for part in appliance.switches)


def _least(low: Floats, high: Floats, cost: Floats) -> Indexes:
    """Of the tests (tests, guesses) that are the same to four figures, the one of least cost; in
    rising cost."""
    digits = np.rint(4000 * np.log(np.concatenate((low, high), axis=1) + 1e-3)).astype(np.int32)
    kept: dict[bytes, int] = {}
    for number in np.argsort(cost, kind="stable"):
        kept.setdefault(digits[number].tobytes(), int(number))
    return np.array(list(kept.values()), dtype=np.intp)


def _alone(
    appliance: Appliance, guesses: Sequence[Guess]
) -> Iterator[tuple[BenchTest, Floats, Floats, Floats]]:
    """Each part by itself, with its wires off: only its own faults show."""
    for part, unhooked, points_of in by_itself(appliance):
        own = [k for k, g in enumerate(guesses) if part.name in {f.part for f in g.faults}]
        positions = part.positions if part in appliance.switches else ("",)
        chosen = [complete(appliance, {part.name: each} if each else {}) for each in positions]
        loose = unhook(appliance, unhooked)
        corners = [((),), *(guesses[number].corners for number in own)]
        ranges = [[(*corner, *loose) for corner in some] for some in corners]
        found = pairs(appliance, chosen, ranges, points_of)
        for where, *ends in zip(*_columns(found, len(chosen)), strict=True):
            low, high = (np.full(len(guesses), shows[0]) for shows in ends)
            low[own], high[own] = (shows[1:] for shows in ends)
            test = _test(appliance, where, points_of, chosen, unhooked)
            before_after = np.array(trouble(appliance, points_of, unhooked))
            yield test, low, high, before_after + TURN * _turned(appliance, test.setting)


def by_itself(appliance: Appliance) -> Iterator[tuple[Part, str, tuple[str, ...]]]:
    """Every part or contact, what it is called when its wires are off, and the points to try then:
    its ends, and the metalwork for an element."""
    ends = terminals(appliance)
    for first, second in zip(ends[::2], ends[1::2], strict=True):
        part = appliance.part(first.part)
        metal = (metalwork(appliance),) if isinstance(part, Element) else ()
        yield part, _wired(first), (str(first), str(second), *metal)


def unhook(appliance: Appliance, part: str) -> tuple[Fault, ...]:
    """The wires taken off both ends of `part`, or of its contact "S1.2", for a test; none
    for "". Raises `ReadingError` for anything else."""
    if part and part not in unhookable(appliance):
        raise ReadingError(
            f"found {shown(part)} unhooked; accepted: a part or a contact, that is "
            f"{', '.join(unhookable(appliance))}. Use one of these names."
        )
    return tuple(
        Fault(end.part, "wire off", end.contact or 1, end.node)
        for end in terminals(appliance)
        if _wired(end) == part
    )


def unhookable(appliance: Appliance) -> tuple[str, ...]:
    """What wires can be taken off for a test: every part, or each of its contacts."""
    return tuple(name for _, name, _ in by_itself(appliance))


def _wired(end: Terminal) -> str:
    return str(end).removesuffix(f" at {end.node}")
