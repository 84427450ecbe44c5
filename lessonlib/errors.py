"""How things go wrong: every error says what was found, what is accepted, and the next step.

Each error subclasses the built-in error that a caller would think of catching.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


def shown(value: object, limit: int = 60) -> str:
    """`value` for a message: one line of at most `limit` characters."""
    try:
        text = repr(value)
    except Exception:  # a hostile or broken __repr__ must not replace the real error
        # Python refuses to write out an integer of more than some thousand digits
        text = "a huge number" if isinstance(value, int) else f"<{type(value).__name__}>"
    return text if len(text) <= limit else text[: limit - 1] + "…"


class LessonlibError(Exception):
    """Anything this library refuses to do."""

    def _render_traceback_(self) -> list[str]:
        """What a notebook shows: the message alone, which says what to do next."""
        return [f"{type(self).__name__}: {self}"]


@dataclass(frozen=True)
class Problem:
    """One thing wrong in an appliance file."""

    file: str
    table: str
    key: str
    found: str
    accepted: str
    next_step: str

    def __str__(self) -> str:
        place = " ".join(part for part in (self.table, self.key) if part) or "the whole file"
        return (
            f"{self.file}: {place}\n"
            f"    found:    {self.found}\n"
            f"    accepted: {self.accepted}\n"
            f"    next:     {self.next_step}"
        )


class ApplianceError(LessonlibError, ValueError):
    """An appliance description that cannot be used. `problems` lists what is wrong with it; `more`
    says that the reader gave up before the end."""

    def __init__(self, problems: Sequence[Problem], more: bool = False) -> None:
        self.problems = tuple(problems)
        self.more = more
        count = len(self.problems)
        head = "1 problem" if count == 1 else f"{count} problems"
        if more:
            head = f"more than {count} problems, of which these are the first {count},"
        listed = "\n".join(str(problem) for problem in self.problems)
        super().__init__(f"{head} in the appliance description\n{listed}")


class MisreadError(LessonlibError, ValueError):
    """A text that is not TOML, or not an appliance."""

    def __init__(self, found: str, accepted: str, next_step: str) -> None:
        self.found = found
        self.accepted = accepted
        self.next_step = next_step
        super().__init__(f"found: {found}. Accepted: {accepted}. Next: {next_step}.")


class ApplianceNotFound(LessonlibError, FileNotFoundError):
    """No appliance file of that name, and no bundled appliance either."""


class SettingError(LessonlibError, ValueError):
    """A setting that names an unknown part or position."""


class FaultError(LessonlibError, ValueError):
    """A fault that does not fit the appliance it is applied to."""


class SupplyError(LessonlibError, ValueError):
    """A supply voltage that cannot be used."""


class SolverError(LessonlibError, ArithmeticError):
    """The solver's own check failed: the result must not be believed."""


class WaveformError(LessonlibError, ValueError):
    """A waveform that does not exist."""


class DrawingError(LessonlibError, ValueError):
    """A drawing that cannot be made, or a file name it cannot be saved under."""


class AnswerError(LessonlibError, ValueError):
    """A question that is built wrongly, or an answer that is not on offer."""


class HeatError(LessonlibError, ValueError):
    """A heating run, or a property of water, that cannot be computed from the given values."""


class ReadingError(LessonlibError, ValueError):
    """A meter reading that no meter shows, or a point that does not exist."""


class RatingError(LessonlibError, ValueError):
    """A published limit asked for where it does not apply, or with impossible values."""


class DescriptionError(LessonlibError, ValueError):
    """A step of describing an appliance, or a name to save it under, that cannot be used."""


class FileKept(LessonlibError, FileExistsError):
    """A file that was there already, and was left as it is."""


class SheetError(LessonlibError, ValueError):
    """A sheet that cannot be made: its paper, its file name, or an appliance that is too large."""


class FamilyError(LessonlibError, ValueError):
    """A list of appliances that cannot be put side by side."""


class WorksheetError(LessonlibError, ValueError):
    """A worksheet, a list of trainees or a folder of answers that cannot be used."""


class RewiringError(LessonlibError, ValueError):
    """Parts or wanted powers that no search of wirings can begin with."""
