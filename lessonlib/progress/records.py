"""The records: a `Try` for each answer, a `Predicted` for each choice made beforehand, and one
`Trainee`. Each is written as JSON."""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field, fields
from datetime import UTC, datetime
from typing import Any, Literal, get_args

Verdict = Literal["right", "wrong", "unread"]

WHOLE_NUMBERS = range(2**63)  # accepted as seed or lesson
TEXT_LIMIT = 200  # characters; longer texts are cut
ANSWER_LIMIT = 8000  # of an answer, which can be an appliance file, and of a reason


def _new_key() -> str:
    return secrets.token_hex(8)


def _now_utc() -> str:
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


@dataclass(frozen=True)
class _Writable:
    """Cuts long texts and makes them valid Unicode, as any other would hold up all later records.
    Raises `ValueError` for a value that is no text, and no whole number in range."""

    def __post_init__(self) -> None:
        for name, value in vars(self).items():
            if isinstance(value, str):
                text = value.encode("utf-8", "replace").decode("utf-8")
                limit = ANSWER_LIMIT if name in ("answer", "reason") else TEXT_LIMIT
                text = text if len(text) <= limit else text[: limit - 1] + "…"
                object.__setattr__(self, name, text)
            elif value is not None and (not isinstance(value, int) or value not in WHOLE_NUMBERS):
                raise ValueError(f"{name} cannot be recorded")


@dataclass(frozen=True)
class Try(_Writable):
    """One answer to an exercise. `slip` is the name of the
    slip it matched. `worked_shown`: the worked answer had been shown before. `at_utc` is the time,
    as in 2026-11-25T09:30:00Z. `key` shows whether two records are the same one, written twice."""

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


@dataclass(frozen=True)
class Predicted(_Writable):
    """One choice made before a try. `name` is that of the prediction, `choice` the option, and
    `reason` the trainee's own, if one was given."""

    name: str
    choice: str
    reason: str = ""
    at_utc: str = field(default_factory=_now_utc)
    key: str = field(default_factory=_new_key)


@dataclass(frozen=True)
class Trainee(_Writable):
    """Whose file it is: `seed` is for this trainee's exercises. A file has one."""

    seed: int
    at_utc: str = field(default_factory=_now_utc)
    key: str = "trainee"


Record = Try | Predicted | Trainee
_KINDS: dict[frozenset[str], type[Record]] = {
    frozenset(each.name for each in fields(kind)): kind for kind in get_args(Record)
}


@dataclass(frozen=True)
class Kept:
    """All records of one trainee, in the order in which they were made."""

    records: tuple[Record, ...] = ()

    @property
    def seed(self) -> int | None:
        """The trainee's seed; None until one is drawn."""
        return next((one.seed for one in self.records if isinstance(one, Trainee)), None)

    @property
    def tries(self) -> tuple[Try, ...]:
        return tuple(one for one in self.records if isinstance(one, Try))

    @property
    def predictions(self) -> tuple[Predicted, ...]:
        return tuple(one for one in self.records if isinstance(one, Predicted))

    def with_records(self, records: Iterable[Record]) -> Kept:
        """With these records added; of two with the same key the first counts."""
        by_key: dict[str, Record] = {}
        for record in (*self.records, *records):
            by_key.setdefault(record.key, record)
        return Kept(tuple(by_key.values()))


def as_json(record: Record) -> str:
    """A record as one line of plain ASCII that begins with its key."""
    return json.dumps({"key": record.key, **vars(record)})


def from_json(found: Any) -> Record:
    """The record that was written as that JSON. Raises `ValueError` for any other."""
    kind = _KINDS.get(frozenset(found)) if isinstance(found, dict) else None
    if kind is None or found.get("verdict", "right") not in get_args(Verdict):
        raise ValueError("no record")
    return kind(**found)
