"""`diagnose`: what all readings together say is wrong.

A fault agrees with a reading if some size of it, with parts as far off their marking as they may
be, gives what the meter showed, as far off as the meter may be. It is a suspect if it agrees with
all readings. A sound appliance is one of the guesses: it may be that no fault is found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.network import Flags
from lessonlib.diagnosis.at_readings import Shown, shown_at
from lessonlib.diagnosis.bench_test import BenchTest, reading_words
from lessonlib.diagnosis.predicted import predict
from lessonlib.diagnosis.ranges import Guess, exact, pair_guesses, single_guesses
from lessonlib.diagnosis.separate import best_test
from lessonlib.diagnosis.suspects import Diagnosis, RuledOut, Suspect
from lessonlib.diagnosis.typed import Reading, as_test, readings_of, where_words
from lessonlib.errors import SettingError
from lessonlib.meter.alloys import WIRE_C

# Guesses worked through at once, and suspects that a next test is looked for: our own choice.
_BLOCK = 500
_MOST_TOLD_APART = 60
_NEAREST = 3


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
