"""What is recorded: one `Try` for each answer, one `Predicted` for each choice made beforehand."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field, fields
from datetime import UTC, datetime
from typing import Literal

from lessonlib.errors import shown

Verdict = Literal["right", "wrong", "unread"]

WHOLE_NUMBERS = range(2**63)  # that the file can hold, and that are seeds
TEXT_LIMIT = 200  # characters; what a trainee types is kept no longer than this


def _new_key() -> str:
    return secrets.token_hex(8)


def _now_utc() -> str:
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


@dataclass(frozen=True)
class Try:
    """One answer to an exercise. `lesson` is 0 where it belongs to none; `slip` is the name of the
    slip it matched. `worked_shown`: the worked answer had been shown before. `at_utc` is the time,
    as in 2026-11-25T09:30:00Z. `key` tells a record that is written twice from two records."""

    exercise: str
    lesson: int
    objective: str
    seed: int
    verdict: Verdict
    slip: str | None
    answer: str
    worked_shown: bool
    at_utc: str = field(default_factory=_now_utc)
    key: str = field(default_factory=_new_key)

    def __post_init__(self) -> None:
        _clean(self)


@dataclass(frozen=True)
class Predicted:
    """One choice made before a try. `name` is the prediction's name, `choice` its option."""

    name: str
    choice: str
    at_utc: str = field(default_factory=_now_utc)
    key: str = field(default_factory=_new_key)

    def __post_init__(self) -> None:
        _clean(self)


Record = Try | Predicted


@dataclass(frozen=True)
class Kept:
    """Everything that is kept of one trainee, in the order in which it was recorded. `seed` is None
    as long as none has been drawn."""

    seed: int | None = None
    tries: tuple[Try, ...] = ()
    predictions: tuple[Predicted, ...] = ()

    @property
    def records(self) -> tuple[Record, ...]:
        """Tries, then predictions."""
        return (*self.tries, *self.predictions)

    def with_records(self, records: tuple[Record, ...]) -> Kept:
        """These records too; one that is there already counts once."""
        by_key = {record.key: record for record in (*self.records, *records)}
        return Kept(
            self.seed,
            tuple(record for record in by_key.values() if isinstance(record, Try)),
            tuple(record for record in by_key.values() if isinstance(record, Predicted)),
        )


def _clean(record: Record) -> None:
    """Make every value one that can be written, since one that cannot would keep all records after
    it waiting too: texts are shortened, and what is no character in them is replaced; what is no
    whole number becomes 0."""
    for each in fields(record):
        value = getattr(record, each.name)
        if each.name in ("lesson", "seed"):
            value = int(value) if isinstance(value, int) and value in WHOLE_NUMBERS else 0
        elif each.name == "worked_shown":
            value = bool(value)
        elif value is not None or each.name != "slip":
            text = value if isinstance(value, str) else shown(value, TEXT_LIMIT)
            text = text.encode("utf-8", "replace").decode("utf-8")
            value = text if len(text) <= TEXT_LIMIT else text[: TEXT_LIMIT - 1] + "…"
        object.__setattr__(record, each.name, value)
