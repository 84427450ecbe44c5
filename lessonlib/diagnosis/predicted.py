"""What each test shows with each fault, at least and at most.

Arrays are (guesses, tests). Values are ohms, or volts on the diode range; a value at the top of the
meter's range, `TOP`, is "open". The range of a value has in it what the parts may be (`pairs`) and
how far off a usual hand meter and its leads may be.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, Element, Part
from lessonlib.appliance.settings import complete, settings
from lessonlib.appliance.terminals import Terminal, metalwork, plug_fuse, terminals
from lessonlib.circuit.network import Flags, Floats, Indexes
from lessonlib.circuit.opened import points
from lessonlib.diagnosis.bench_test import TURN, BenchTest, bench_test, place_of, trouble
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


class _Columns(NamedTuple):
    """Tests as arrays: setting number, points, whether on the diode range; and what each (tests,
    guesses) shows at least and at most."""

    setting: Indexes
    red: Indexes
    black: Indexes
    diode: Flags
    low: Floats
    high: Floats

    def test(
        self,
        number: int,
        appliance: Appliance,
        points: Sequence[str],
        chosen: Sequence[dict[str, str]],
        unhooked: str = "",
    ) -> BenchTest:
        """One of them as it is done at the bench."""
        return bench_test(
            appliance,
            points[self.red[number]],
            points[self.black[number]],
            chosen[self.setting[number]],
            diode_range=bool(self.diode[number]),
            unhooked=unhooked,
        )


def seen(low: Floats, high: Floats, unit: str) -> tuple[Floats, Floats]:
    """What a usual meter may show where the true value is from `low` to `high`."""
    top, step = TOP[unit], _STEPS[unit]
    leads = LEADS_OHM if unit == "Ω" else 0.0
    with np.errstate(invalid="ignore"):
        least = np.where(low < top, np.maximum(low * (1 - _SHARE) - step, 0.0), top)
        most = np.where(high < top, high * (1 + _SHARE) + step + leads, top)
    return np.minimum(least, top), np.minimum(most, top)


def predict(appliance: Appliance, guesses: Sequence[Guess], wire_C: float) -> Predicted:
    """Every test at the bench with every guess; of tests that show the same whatever is wrong, the
    one that is the least trouble."""
    chosen = settings(appliance)
    every = _points(appliance, len(chosen) * len(guesses))
    found = pairs(appliance, chosen, [guess.corners for guess in guesses], every, wire_C)
    columns = _columns(found, len(chosen), len(guesses))
    low, high = columns.low.T, columns.high.T
    cost = _trouble(appliance, chosen, every, columns)
    # across one part, or from a pin, is easier said than between two ends of wires
    fine = _plain(appliance, every)[columns.red, columns.black]
    telling = np.flatnonzero(low.max(axis=0) > high.min(axis=0))
    kept = telling[_least(low[:, telling], high[:, telling], (cost[0] + ~fine)[telling])]
    tests = [columns.test(number, appliance, every, chosen) for number in kept]
    alone = list(_alone(appliance, guesses, wire_C))
    return Predicted(
        tuple(guesses),
        (*tests, *(each[0] for each in alone)),
        np.column_stack([low[:, kept], *(each[1] for each in alone)]),
        np.column_stack([high[:, kept], *(each[2] for each in alone)]),
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


def _columns(found: Pairs, settings: int, guesses: int) -> _Columns:
    """Ohms between all points, red before black, or both ways round where a diode may conduct;
    and there the diode range too."""
    count = len(found.points)
    first, second = np.triu_indices(count, 1)

    def columns(
        ends: tuple[Floats, Floats], unit: str, setting: Indexes, red: Indexes, black: Indexes
    ) -> _Columns:
        low, high = (
            values.reshape(settings, guesses, count, count)[setting, :, red, black]
            for values in ends
        )
        on_diode_range = np.full(len(red), unit == "V")
        return _Columns(setting, red, black, on_diode_range, *seen(low, high, unit))

    ohms = (found.least_ohm, found.most_ohm)
    setting = np.repeat(np.arange(settings), len(first))
    parts = [columns(ohms, "Ω", setting, np.tile(first, settings), np.tile(second, settings))]
    turns = (found.forward > 0).reshape(settings, guesses, count, count).any(axis=1)
    setting, red, black = np.nonzero(turns | np.swapaxes(turns, 1, 2))
    back = red > black
    parts.append(columns(ohms, "Ω", setting[back], red[back], black[back]))
    parts.append(columns(diode_volts(found), "V", setting, red, black))
    return _Columns(*(np.concatenate(each) for each in zip(*parts, strict=True)))


def diode_volts(found: Pairs) -> tuple[Floats, Floats]:
    """Least and most that a diode range shows between every two points: the drops of the diodes on
    the way and of what is in series, or less if what lies beside them takes the current."""
    least_A, most_A = _DIODE_A
    drop = [found.forward * volts for volts in _DROP_V]
    low = np.minimum(found.blocked_ohm * least_A, found.least_ohm * least_A + drop[0])
    return low, np.minimum(found.most_ohm * most_A, found.forward_ohm * most_A + drop[1])


def _trouble(
    appliance: Appliance,
    chosen: Sequence[dict[str, str]],
    every: Sequence[str],
    columns: _Columns,
) -> Floats:
    """(2, tests): the trouble of each test before the case is open, and after."""
    turned = np.array([_turned(appliance, each) for each in chosen])[columns.setting]
    places = [[place_of(appliance, (one, other)) for other in every] for one in every]
    # one lead in the plug and the other inside: both have to be open
    in_plug = np.array([point == plug_fuse(appliance) for point in every])
    both = np.array([[place == "case open" for place in row] for row in places])
    more = 2.0 * (both & (in_plug[:, None] | in_plug))
    costs = np.array(
        [
            [[trouble(place, 0, opened) for place in row] for row in places]
            for opened in (False, True)
        ]
    )
    return np.asarray((costs + more)[:, columns.red, columns.black] + TURN * turned)


def _turned(appliance: Appliance, setting: dict[str, str]) -> int:
    return sum(setting[part.name] != part.start for part in appliance.switches)


def _plain(appliance: Appliance, every: Sequence[str]) -> Flags:
    """Pairs of points that are the two ends of one part, or no ends at all."""
    owner = {str(end): f"{end.part} {end.contact}" for end in terminals(appliance)}
    owners = [owner.get(point, "") for point in every]
    return np.array([[one == other for other in owners] for one in owners])


def _least(low: Floats, high: Floats, cost: Floats) -> Indexes:
    """Of the columns that are the same to four figures, the one of least cost; in rising cost."""
    digits = np.rint(4000 * np.log(np.concatenate((low, high)) + 1e-3)).astype(np.int32)
    rows = np.ascontiguousarray(digits.T)
    order = np.argsort(cost, kind="stable")
    kept: dict[bytes, int] = {}
    for number in order:
        kept.setdefault(rows[number].tobytes(), int(number))
    return np.array(list(kept.values()), dtype=np.intp)


def _alone(
    appliance: Appliance, guesses: Sequence[Guess], wire_C: float
) -> Iterator[tuple[BenchTest, Floats, Floats, Floats]]:
    """Each part by itself, with its wires off: only its own faults show."""
    for part, unhooked, points_of in by_itself(appliance):
        own = [0, *(k for k, g in enumerate(guesses) if part.name in {f.part for f in g.faults})]
        positions = part.positions if part in appliance.switches else ("",)
        chosen = [complete(appliance, {part.name: each} if each else {}) for each in positions]
        loose = unhook(appliance, unhooked)
        ranges = [
            [(*corner, *loose) for corner in (guesses[number].corners if number else ((),))]
            for number in own
        ]
        found = pairs(appliance, chosen, ranges, points_of, wire_C)
        columns = _columns(found, len(chosen), len(own))
        for number, setting in enumerate(columns.setting):
            low, high = (
                np.full(len(guesses), ends[number, 0]) for ends in (columns.low, columns.high)
            )
            low[own[1:]], high[own[1:]] = columns.low[number, 1:], columns.high[number, 1:]
            turned = _turned(appliance, chosen[setting])
            cost = [trouble("wire off", turned, opened) for opened in (False, True)]
            test = columns.test(number, appliance, points_of, chosen, unhooked)
            yield test, low, high, np.array(cost)


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
