"""`diagnose`: what all readings together say is wrong.

A fault agrees with a reading if some size of it, with parts as far off their marking as they may
be, gives what the meter showed, as far off as the meter may be. It is a suspect if it agrees with
all readings. A sound appliance is one of the guesses: it may be that no fault is found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from html import escape
from itertools import combinations

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.network import Flags
from lessonlib.diagnosis.at_readings import Shown, shown_at
from lessonlib.diagnosis.bench_test import CAUTION, PLUG_CAUTION, BenchTest, reading_words
from lessonlib.diagnosis.further import further_tests
from lessonlib.diagnosis.joint_heat import joint_heat
from lessonlib.diagnosis.predicted import predict
from lessonlib.diagnosis.ranges import Guess, exact, pair_guesses, single_guesses
from lessonlib.diagnosis.separate import best_test
from lessonlib.diagnosis.typed import Reading, as_test, readings_of, where_words
from lessonlib.errors import SettingError
from lessonlib.meter.alloys import WIRE_C
from lessonlib.tables import Table
from lessonlib.words import counted

# Guesses worked through at once, and suspects that a next test is looked for: our own choice.
_BLOCK = 500
_MOST_TOLD_APART = 60
_MOST_NAMED = 6
_NEAREST = 3


@dataclass(frozen=True)
class Suspect:
    """What agrees with all readings; no faults stand for a sound appliance.

    `agreement` is 1 where every reading is what the file says, and 0 at the limits of what may be.
    `shown` is False where nothing measured so far would show it.
    """

    guess: Guess
    agreement: float
    shown: bool
    reasons: tuple[str, ...]

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults, in the size that agrees best."""
        return self.guess.faults

    @property
    def words(self) -> str:
        """The faults, with all sizes that agree."""
        return self.guess.words


@dataclass(frozen=True)
class RuledOut:
    """What does not agree, and the reading that it is farthest from; `expected` is what it would
    read there."""

    guess: Guess
    reading: Reading
    where: str
    expected: str

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults, in the size that comes nearest."""
        return self.guess.faults

    @property
    def words(self) -> str:
        """The faults in words, without a size: none agrees."""
        return self.guess.unsized

    @property
    def why(self) -> str:
        """The reading against what it would be: "L–N, S1 on: 33.1 Ω, and not open"."""
        return f"{self.where}: read {self.reading.text}, would be {self.expected}"


@dataclass(frozen=True, repr=False)
class Diagnosis(Table):
    """What `readings` say together about `appliance`; a table of suspects, then of what is out.

    `next_test` is the test that would tell most now for its trouble, None where no test tells more.
    `nearest` has what comes nearest where nothing agrees.
    """

    appliance: Appliance
    readings: tuple[Reading, ...]
    suspects: tuple[Suspect, ...]
    ruled_out: tuple[RuledOut, ...]
    contradictions: tuple[str, ...]
    nearest: tuple[RuledOut, ...]
    next_test: BenchTest | None

    @property
    def conclusion(self) -> str:
        """What it comes to, in a sentence."""
        found = [each for each in self.suspects if each.shown]
        hidden = len(self.suspects) - len(found)
        if not found:
            near = _some([each.words for each in self.nearest])
            return f"Nothing modelled explains these readings. Nearest: {near}"
        rest = f". These readings would not show {counted(hidden, 'other fault')}" if hidden else ""
        if not found[0].faults:
            others = [each.words for each in found[1:]]
            also = f". These may read the same: {_some(others)}" if others else ""
            so_far = " so far" if self.next_test else ""
            return f"No fault found{so_far}{also}{rest}"
        if len(found) == 1:
            return f"It is {found[0].words}, if it is one fault only"
        return f"It is one of {len(found)}: {_some([each.words for each in found])}"

    @property
    def caption(self) -> str:
        return f"{self.appliance.title}: what the readings say together"

    @property
    def header(self) -> tuple[str, ...]:
        return ("verdict", "what, and why")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        grouped = {("contradiction", words): ["Measure again"] for words in self.contradictions}
        for near in self.nearest:
            grouped.setdefault(("nearest", near.why), []).append(near.words)
        for one in self.suspects:
            key = (f"fits {100 * one.agreement:.0f} %", "; ".join(one.reasons))
            if not one.shown:
                key = ("not shown yet", "no reading so far would show it")
            grouped.setdefault(key, []).append(one.words)
        for each in self.ruled_out:
            if each not in self.nearest:
                grouped.setdefault(("ruled out", each.why), []).append(each.words)
        return [(verdict, f"{_some(names)} – {why}") for (verdict, why), names in grouped.items()]

    @property
    def would_tell(self) -> tuple[str, ...]:
        """Where no test at the bench tells more: what would, one sentence each."""
        if self.next_test is not None or len(self.suspects) < 2:
            return ()
        faults = [fault for one in self.suspects for fault in one.faults]
        return tuple(f"{line}." for line in further_tests(self.appliance, faults))

    @property
    def what_next(self) -> str:
        """The next test in a sentence, or what would tell more."""
        test = self.next_test
        if not self.suspects:
            return "Do the tests again that contradict each other, and look at the meter's range."
        if test is None:
            return " ".join(("No test at the bench tells more.", *self.would_tell))
        return f"Next test, {test.place}: {test.words}."

    @cached_property
    def heat(self) -> str:
        """What a bad joint among the suspects would do in use, in a sentence; empty for none."""
        shown = [one.guess for one in self.suspects if one.shown]
        if shown and not shown[0].faults:  # nothing speaks for one
            return ""
        corners = [corner for guess in shown for corner in guess.corners]
        return joint_heat(self.appliance, corners)

    @property
    def told(self) -> tuple[str, ...]:
        """The conclusion, what a bad joint would do, and what to do next: a sentence each."""
        return tuple(filter(None, (f"{self.conclusion}.", self.heat, self.what_next)))

    def __str__(self) -> str:
        return "\n".join((f"{CAUTION} {PLUG_CAUTION}", *self.told, "", super().__str__()))

    __repr__ = __str__

    def _repr_html_(self) -> str:
        told = self.told
        return (
            f"<p>{escape(CAUTION)} {PLUG_CAUTION}</p>"
            f"<p><strong>{escape(told[0])}</strong><br>{'<br>'.join(map(escape, told[1:]))}</p>"
            f"{super()._repr_html_()}"
        )


def diagnose(
    appliance: Appliance,
    readings: object,
    *,
    pairs: bool = False,
    wire_C: float = WIRE_C,
    progress: Callable[[float], None] | None = None,
) -> Diagnosis:
    """What `readings` say together: see `readings_of` for the forms they may have.

    Single faults, or with `pairs` two at a time where no single one agrees; `progress` is then
    called with the share that is done. `wire_C` is how hot the wire is at work, degrees Celsius.
    Raises `ReadingError` or `SettingError` (both `ValueError`) for what cannot be a reading of this
    appliance.
    """
    given = readings_of(appliance, readings)
    guesses = tuple(single_guesses(appliance))
    known = shown_at(appliance, given, guesses, wire_C)
    agree = known.agrees(given)
    if pairs and not agree.all(axis=1).any():
        guesses, known, agree = _with_pairs(
            appliance, given, (guesses, known, agree), wire_C, progress
        )
    return _told(appliance, given, guesses, known, agree, wire_C)


Known = tuple[tuple[Guess, ...], Shown, Flags]


def _with_pairs(
    appliance: Appliance,
    readings: Sequence[Reading],
    singles: Known,
    wire_C: float,
    progress: Callable[[float], None] | None,
) -> Known:
    """`singles`, and the pairs that agree with all readings."""
    guesses, known, _ = singles
    every = list(pair_guesses(appliance))
    found, columns = list(guesses), [(known.low, known.usual, known.high)]
    for start in range(0, len(every), _BLOCK):
        block = every[start : start + _BLOCK]
        more = shown_at(appliance, readings, block, wire_C)
        rows = np.flatnonzero(more.agrees(readings).all(axis=1))
        found += [block[row] for row in rows]
        columns.append((more.low[rows], more.usual[rows], more.high[rows]))
        if progress is not None:
            progress(min(1.0, (start + _BLOCK) / len(every)))
    all_known = Shown(*(np.concatenate(each) for each in zip(*columns, strict=True)))
    return tuple(found), all_known, all_known.agrees(readings)


def _told(
    appliance: Appliance,
    readings: tuple[Reading, ...],
    guesses: tuple[Guess, ...],
    known: Shown,
    agree: Flags,
    wire_C: float,
) -> Diagnosis:
    fit = known.fit(readings).mean(axis=1)
    where = [where_words(appliance, reading) for reading in readings]
    everything, apart = np.asarray(agree.all(axis=1)), known.apart(readings)
    misses = np.sum(~agree, axis=1).tolist()
    suspects, out = [], []
    for rows in _same_faults(guesses):
        good = [row for row in rows if everything[row]]
        if good:
            best = max(good, key=lambda row: float(fit[row]))
            guess = replace(
                guesses[best], corners=tuple(c for row in good for c in guesses[row].corners)
            )
            seen = best == 0 or not _same_as_sound(known, best)
            reasons = tuple(_reasons(known, agree, readings, where, best))
            suspects.append(Suspect(guess, float(fit[best]), seen, reasons))
        else:
            best = min(rows, key=lambda row: (misses[row], float(apart[row].sum())))
            worst = int(np.argmax(apart[best]))
            expected = _range_words(known, best, worst, readings[worst])
            away = (misses[best], float(apart[best].sum()))
            out.append((away, RuledOut(guesses[best], readings[worst], where[worst], expected)))
    suspects.sort(key=lambda each: (bool(each.faults), not each.shown, -round(each.agreement, 2)))
    nearest = [] if suspects else sorted(out, key=lambda each: each[0])[:_NEAREST]
    return Diagnosis(
        appliance=appliance,
        readings=readings,
        suspects=tuple(suspects),
        ruled_out=tuple(each for _, each in out),
        contradictions=() if suspects else tuple(_contradictions(readings, where, known, agree)),
        nearest=tuple(each for _, each in nearest),
        next_test=_next_test(appliance, readings, suspects, wire_C),
    )


def _same_faults(guesses: Sequence[Guess]) -> list[list[int]]:
    """Rows of the same faults in other sizes."""
    rows: dict[tuple[Fault, ...], list[int]] = {}
    for row, guess in enumerate(guesses):
        key = tuple(replace(fault, share=None, ohm=None) for fault in guess.faults)
        rows.setdefault(key, []).append(row)
    return list(rows.values())


def _same_as_sound(known: Shown, row: int) -> bool:
    return all(
        np.allclose(values[row], values[0], rtol=1e-6, atol=1e-6)
        for values in (known.low, known.high)
    )


def _range_words(known: Shown, row: int, column: int, reading: Reading) -> str:
    return reading_words(
        float(known.low[row, column]), float(known.high[row, column]), reading.unit
    )


def _reasons(
    known: Shown, agree: Flags, readings: Sequence[Reading], where: Sequence[str], row: int
) -> Iterator[str]:
    """The readings that speak for a guess and against a sound appliance."""
    if row == 0:
        yield "every reading is what a sound appliance may give"
        return
    for column, reading in enumerate(readings):
        if not agree[0, column]:
            yield (
                f"{where[column]}: read {reading.text}, would be "
                f"{_range_words(known, row, column, reading)}; sound, "
                f"{_range_words(known, 0, column, reading)}"
            )
    if agree[0].all():
        yield "every reading is what it may give too"


def _contradictions(
    readings: Sequence[Reading], where: Sequence[str], known: Shown, agree: Flags
) -> Iterator[str]:
    """Readings that cannot be true together, or by themselves."""
    lone = [column for column in range(len(readings)) if not agree[:, column].any()]
    for column in lone:
        value = readings[column].value
        thousand = next(
            (
                words
                for factor, words in ((1e-3, "large"), (1e3, "small"))
                if known.low[0, column] <= value * factor <= known.high[0, column]
            ),
            "",
        )
        ask = (
            f"; about 1000 times too {thousand}: does the meter show a k or an m beside the number?"
            if thousand
            else ""
        )
        yield f"{where[column]}: {readings[column].text} fits nothing that is modelled{ask}"
    for one, other in combinations(range(len(readings)), 2):
        if not {one, other} & set(lone) and not (agree[:, one] & agree[:, other]).any():
            both = f"{where[one]}: {readings[one].text}, and {where[other]}: {readings[other].text}"
            same = where[one] == where[other]
            yield f"{both}: {'the same test cannot give' if same else 'no fault gives'} both"
    if len(readings) > 2:
        for column in range(len(readings)):
            rest = np.delete(agree, column, axis=1).all(axis=1)
            if column not in lone and rest.any():
                yield (
                    f"without {where[column]}: {readings[column].text}, the other readings agree"
                )


def _next_test(
    appliance: Appliance, readings: Sequence[Reading], suspects: Sequence[Suspect], wire_C: float
) -> BenchTest | None:
    """What tells most of the suspects apart, for its trouble, that has not been measured yet; None
    too for an appliance with too many switches to try."""
    if len(suspects) < 2:
        return None
    some = [exact(each.faults) for each in suspects[:_MOST_TOLD_APART]]
    try:
        predicted = predict(appliance, some, wire_C)
    except SettingError:  # too many switches to try them all
        return None
    done = [as_test(appliance, reading) for reading in readings]
    new = np.array([test not in done for test in predicted.tests], dtype=bool)
    if not new.any():
        return None
    opened = any(test is not None and test.place in ("case open", "wire off") for test in done)
    cost = predicted.trouble + np.where(new, 0.0, np.inf)
    found = best_test(replace(predicted, trouble=cost), np.arange(len(some)), opened)
    return None if found is None else predicted.tests[found[0]]


def _some(names: Sequence[str]) -> str:
    more = len(names) - _MOST_NAMED
    rest = f"; and {more} more" if more > 0 else ""
    return f"{'; '.join(names[:_MOST_NAMED])}{rest}"
