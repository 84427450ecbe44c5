"""A trainee's progress: tries, predictions, what is right so far, and what to do next.

It is kept in the file `progress.jsonl` of the trainee's own folder, which the start command has
marked (`store` says how). Elsewhere, such as in a checkout of the project, it is kept in memory and
lost when the process ends.

Recording and reading never raise, whatever is in that place. What cannot be written is kept in
memory and written with the next record; `note` says so.
"""

from __future__ import annotations

import os
import secrets
import threading
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

from lessonlib.progress.place import FILE_NAME, KeepingTrouble
from lessonlib.progress.records import Kept, Predicted, Record, Trainee, Try
from lessonlib.progress.store import Store
from lessonlib.progress.summary import Suggestion, Summary, slip_of, suggested, summarised
from lessonlib.words import counted

PLACE = "HEATER_PROGRESS"  # environment variable: the path of the file
_FOLDER_MARK = ".heater-workbook.json"  # what the start command leaves in a trainee's folder
_PATIENCE_S = 3.0  # for another notebook to finish its record
_SEED_IN_MEMORY = 1  # so that lessons without a trainee always look the same


class Progress:
    """The progress kept in the file at `path`, or in memory where that is None."""

    def __init__(self, path: Path | None = None) -> None:
        self._store = Store(path) if path is not None else None
        self._turn = threading.RLock()
        self._waiting: tuple[Record, ...] = ()
        self._known = Kept()
        self._trouble = ""
        self._repairs_said = 0
        self._at_hand: dict[str, int] = {}

    @property
    def path(self) -> Path | None:
        """The file; None where it is kept in memory."""
        return self._store.path if self._store is not None else None

    def record(self, record: Try | Predicted) -> None:
        """Record an answer, or a choice made before a try. Never raises: see `note`."""
        with self._turn:
            if isinstance(record, Try):
                self._at_hand[record.exercise] = record.seed
            self._waiting = (*self._waiting, record)
            self._write()

    def prediction(self, name: str) -> Predicted | None:
        """The last choice recorded under that name; None without one."""
        made = [each for each in self._kept().predictions if each.name == name]
        return made[-1] if made else None

    def records(self) -> tuple[Try | Predicted, ...]:
        """Every answer and every choice, in order."""
        return tuple(one for one in self._kept().records if not isinstance(one, Trainee))

    def tries(self, exercise: str | None = None) -> tuple[Try, ...]:
        """The tries at that exercise, or all of them, in order."""
        return tuple(one for one in self._kept().tries if exercise in (None, one.exercise))

    def take_up(self, exercise: str, seed: int) -> None:
        """Remember, while this process runs, the seed of an exercise that is being worked on."""
        self._at_hand[exercise] = seed

    def seed_at_hand(self, exercise: str) -> int:
        """The seed of that exercise that was worked on last; without one, the trainee's own."""
        if exercise in self._at_hand:
            return self._at_hand[exercise]
        tried = self.tries(exercise)
        return tried[-1].seed if tried else self.trainee_seed

    def summary(self, told: Callable[[Try], str] = slip_of) -> Summary:
        """What is right and which objectives are met, by lesson, and the slips made, which `told`
        puts into words."""
        return summarised(self.tries(), told)

    def suggestion(self, lessons: Mapping[str, int]) -> Suggestion:
        """What to do next. `lessons` has the lesson of each exercise, by name."""
        return suggested(self.tries(), lessons)

    @property
    def trainee_seed(self) -> int:
        """This trainee's own seed, drawn once for each file; 1 when kept in memory."""
        seed = self._kept().seed
        if seed is None and self._store is not None:
            self._write()
            seed = self._kept().seed
        return _SEED_IN_MEMORY if seed is None else seed

    @property
    def note(self) -> str:
        """What went wrong with the file, and what happens to the records; empty if nothing."""
        return " ".join((*self._repairs, *self._not_kept()))

    def news(self) -> str:
        """`note` without the repairs already told: this goes beside each reply."""
        told, self._repairs_said = self._repairs_said, len(self._repairs)
        return " ".join((*self._repairs[told:], *self._not_kept()))

    @property
    def _repairs(self) -> list[str]:
        return self._store.repairs if self._store is not None else []

    def _not_kept(self) -> list[str]:
        if not self._trouble:
            return []
        return [
            f"Your progress is not being kept. {self._trouble} You can go on. What you do is "
            f"remembered until this notebook stops (so far {counted(len(self._waiting), 'record')})"
            ", and is written to the file as soon as that works again."
        ]

    def _write(self) -> None:
        """Write the records that wait; they go on waiting where that fails."""
        if self._store is None:
            return
        with self._turn:
            # the trainee's own seed if it has been read before; else six digits, to be read out
            seed = self._known.seed or 100_000 + secrets.randbelow(900_000)
            records = (Trainee(seed), *self._waiting)
            try:
                self._store.add(records, self._patience_s())
            except KeepingTrouble as trouble:
                self._trouble = str(trouble)
            else:
                self._known = self._known.with_records(self._waiting)
                self._waiting, self._trouble = (), ""

    def _kept(self) -> Kept:
        """What is in the file, or was when it could last be read, and what waits."""
        with self._turn:
            if self._store is not None:
                try:
                    self._known = self._store.read(self._patience_s())
                    if not self._waiting:
                        self._trouble = ""
                except KeepingTrouble as trouble:
                    self._trouble = str(trouble)
                    if trouble.kept is not None:
                        self._known = trouble.kept.with_records(self._known.records)
            return self._known.with_records(self._waiting)

    def _patience_s(self) -> float:
        """Long at first, but short after a failure, so that a lesson is not held up each time."""
        return 0.1 if self._trouble else _PATIENCE_S


@cache
def progress_here() -> Progress:
    """The progress of the trainee in whose folder this process runs; always the same object."""
    return Progress(_place())


def _place() -> Path | None:
    """Where to keep progress: as `HEATER_PROGRESS` says, or in the trainee's folder."""
    named = os.environ.get(PLACE)
    if named:
        return Path(os.path.expanduser(named))  # "~name" of no known user stays as it is
    try:
        here = Path.cwd()
    except OSError:  # the current folder has been removed
        return None
    for folder in (here, *here.parents):
        if os.path.isfile(folder / _FOLDER_MARK):
            return folder / FILE_NAME
    return None
