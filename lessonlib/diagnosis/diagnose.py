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
from lessonlib.diagnosis.at_readings import Shown, shown_at
from lessonlib.diagnosis.bench_test import BenchTest
from lessonlib.diagnosis.predicted import predict
from lessonlib.diagnosis.ranges import Guess, exact, pair_guesses, single_guesses
from lessonlib.diagnosis.separate import best_test
from lessonlib.diagnosis.suspects import Diagnosis, RuledOut, Suspect
from lessonlib.diagnosis.typed import Reading, as_test, readings_of, where_words
from lessonlib.errors import SettingError
from lessonlib.meter.readings import PlugReading

# Guesses worked through at once, and suspects that a next test is looked for: our own choice.
_BLOCK = 500
_MOST_TOLD_APART = 60
_NEAREST = 3


def diagnose(
    appliance: Appliance,
    readings: object,
    *,
    pairs: bool = False,
    progress: Callable[[float], None] | None = None,
) -> Diagnosis:
    """What `readings` say together: see `readings_of` for the forms they may have.

    Single faults, or with `pairs` two at a time where no single one agrees; `progress` is then
    called with the share that is done. Raises `ReadingError` or `SettingError` (both `ValueError`)
    for what cannot be a reading of this appliance.
    """
    given = readings_of(appliance, readings)
    guesses = list(single_guesses(appliance))
    known = shown_at(appliance, given, guesses)
    if pairs and not known.agrees().all(axis=1).any():
        every = list(pair_guesses(appliance))
        for start in range(0, len(every), _BLOCK):
            block = every[start : start + _BLOCK]
            more = shown_at(appliance, given, block)
            fits = np.flatnonzero(more.agrees().all(axis=1))
            guesses += [block[row] for row in fits]
            known = Shown(given, np.concatenate((known.values, more.values[:, fits]), axis=1))
            if progress is not None:
                progress(min(1.0, (start + _BLOCK) / len(every)))
    where = [where_words(appliance, reading) for reading in given]
    agree, fit, apart = known.agrees(), known.fit(), known.apart()
    misses = np.sum(~agree, axis=1).tolist()
    suspects, out = [], []
    for rows in _same_faults(guesses):
        good = [row for row in rows if not misses[row]]
        if good:
            best = max(good, key=lambda row: float(fit[row]))
            corners = tuple(corner for row in good for corner in guesses[row].corners)
            guess = replace(guesses[best], corners=corners)
            shows = best == 0 or not _same_as_sound(known, best)
            reasons = tuple(_reasons(known, where, best))
            suspects.append(Suspect(guess, float(fit[best]), shows, reasons))
        else:
            away = {row: (misses[row], float(apart[row].sum())) for row in rows}
            best = min(rows, key=lambda row: away[row])
            worst = int(np.argmax(apart[best]))
            read, would = given[worst].text, known.words(best, worst)
            why = f"{where[worst]}: read {read}, would be {would}"
            out.append((away[best], RuledOut(guesses[best], why)))
    suspects.sort(key=lambda each: (bool(each.faults), not each.shown, -round(each.agreement, 2)))
    nearest = [] if suspects else sorted(out, key=lambda each: each[0])[:_NEAREST]
    return Diagnosis(
        appliance=appliance,
        readings=given,
        suspects=tuple(suspects),
        ruled_out=tuple(each for _, each in out),
        contradictions=() if suspects else tuple(_contradictions(known, where)),
        nearest=tuple(each for _, each in nearest),
        next_test=_next_test(appliance, given, suspects),
    )


def _same_faults(guesses: Sequence[Guess]) -> list[list[int]]:
    """Rows of the same faults in other sizes."""
    rows: dict[tuple[Fault, ...], list[int]] = {}
    for row, guess in enumerate(guesses):
        key = tuple(replace(fault, share=None, ohm=None) for fault in guess.faults)
        rows.setdefault(key, []).append(row)
    return list(rows.values())


def _same_as_sound(known: Shown, row: int) -> bool:
    ends = known.values[[0, 2]]
    return np.allclose(ends[:, row], ends[:, 0], rtol=1e-6, atol=1e-6)


def _reasons(known: Shown, where: Sequence[str], row: int) -> Iterator[str]:
    """The readings that speak for a guess and against a sound appliance."""
    against = np.flatnonzero(~known.agrees()[0]).tolist()
    if row == 0:
        yield "every reading is what a sound appliance may give"
    elif not against:
        yield "every reading is what it may give too"
    for column in against:
        read, would = known.readings[column].text, known.words(row, column)
        yield f"{where[column]}: read {read}, would be {would}; sound, {known.words(0, column)}"


def _contradictions(known: Shown, where: Sequence[str]) -> Iterator[str]:
    """Readings that cannot be true together, or by themselves."""
    agree, readings = known.agrees(), known.readings
    said = [f"{at}: {reading.text}" for at, reading in zip(where, readings, strict=True)]
    possible = np.flatnonzero(agree.any(axis=0)).tolist()
    for column, reading in enumerate(readings):
        if column not in possible:
            low, _, high = known.values[:, 0, column]
            ask = ""
            for factor, size in ((1e-3, "large"), (1e3, "small")):
                if low <= reading.value * factor <= high:
                    ask = (
                        f"; about 1000 times too {size}: does the meter show a k or an m beside "
                        "the number?"
                    )
            yield f"{said[column]} fits nothing that is modelled{ask}"
    for one, other in combinations(possible, 2):
        if not (agree[:, one] & agree[:, other]).any():
            why = "the same test cannot give" if where[one] == where[other] else "no fault gives"
            yield f"{said[one]}, and {said[other]}: {why} both"
    for column in possible if len(readings) > 2 else ():
        if np.delete(agree, column, axis=1).all(axis=1).any():
            yield f"without {said[column]}, the other readings agree"


def _next_test(
    appliance: Appliance, readings: Sequence[Reading], suspects: Sequence[Suspect]
) -> BenchTest | None:
    """What tells most of the suspects apart, for its trouble, that has not been measured yet; None
    too for an appliance with too many switches to try."""
    if len(suspects) < 2:
        return None
    some = [exact(each.faults) for each in suspects[:_MOST_TOLD_APART]]
    try:
        predicted = predict(appliance, some)
    except SettingError:  # too many switches to try them all
        return None
    done = [as_test(appliance, one) for one in readings if not isinstance(one, PlugReading)]
    new = np.array([test not in done for test in predicted.tests], dtype=bool)
    if not new.any():
        return None
    opened = any(test.place in ("case open", "wire off") for test in done)
    cost = predicted.trouble + np.where(new, 0.0, np.inf)
    found = best_test(replace(predicted, trouble=cost), np.arange(len(some)), opened)
    return None if found is None else predicted.tests[found[0]]
