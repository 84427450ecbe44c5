"""The front doors `family` and `compare`: several wirings of one appliance, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape
from os import PathLike
from pathlib import Path
from typing import Any

from lessonlib.appliance.parts import Appliance
from lessonlib.errors import SettingError
from lessonlib.families.changes import Change, wiring_changes
from lessonlib.families.matching import Match, match
from lessonlib.families.members import Given, Progress, quiet, read_members
from lessonlib.families.off import Off, off_change, stuck_changes
from lessonlib.families.settings import FamilyTable, Member, powers_words, won_and_lost
from lessonlib.panels.export import html_or_pdf
from lessonlib.progress_bar import progress_bar
from lessonlib.rewiring.differences import safety_changes

NO_CHANGE = (
    "Nothing has changed in parts and wiring; only names or the order in the file can be different."
)


@dataclass(frozen=True, eq=False)
class Family:
    """Wirings in order, each with a label; shows itself in a notebook, and can be saved.

    `unread` are the members that are left out, each with the reason. With `safety` the changes
    also say which dangers, failing ratings and live points differ.
    """

    title: str
    members: tuple[Member, ...]
    unread: tuple[str, ...] = ()
    progress: Progress = quiet
    safety: bool = False
    one_at_a_time: bool = False

    @cached_property
    def settings(self) -> FamilyTable:
        """All settings of all members, matched by what they do."""
        return FamilyTable(self.members)

    @cached_property
    def matches(self) -> tuple[Match, ...]:
        """How the parts of each member but the first match those of the one before."""
        return tuple(
            match(one.appliance, two.appliance)
            for one, two in zip(self.members, self.members[1:], strict=False)
        )

    @cached_property
    def changes(self) -> tuple[tuple[Change, ...], ...]:
        """By member, what has changed from the one before; nothing for the first."""
        offs = [Off(member) for member in self.members]
        found: list[tuple[Change, ...]] = [()]
        for place in range(1, len(self.members)):
            self.progress("compared", place + 1, len(self.members))
            one, two = (member.appliance for member in self.members[place - 1 : place + 1])
            before, now = offs[place - 1 : place + 1]
            told = wiring_changes(one, two, self.matches[place - 1])
            told += [Change("settings", words) for words in won_and_lost(self.settings, place)]
            told += [Change("off", words) for words in filter(None, [off_change(before, now)])]
            told += [Change("stuck", words) for words in stuck_changes(before, now)]
            found.append((*told, *(self._safety(place) if self.safety else ())))
        return tuple(found)

    def _safety(self, place: int) -> list[Change]:
        one, two = self.members[place - 1 : place + 1]
        became = {first.part: second.part for first, second in self.matches[place - 1].pairs}
        alike = [
            (powers_words(row.powers), one.solutions[ours[0]], two.solutions[theirs[0]])
            for row in self.settings.does
            for ours, theirs in [row.by[place - 1 : place + 1]]
            if row.powers and ours and theirs
        ]
        told = safety_changes(one.appliance, two.appliance, became, alike)
        return [Change("safety", words, parts) for words, parts in told]

    @property
    def notes(self) -> list[str]:
        """What there is to say of the members as they were given."""
        alone = ["One member only: with another one, what has changed is said here."]
        left_out = [f"Left out: {each}" for each in self.unread]
        return [*left_out, *(alone if len(self.members) == 1 else [])]

    def save(self, path: str | PathLike[str], *, paper: str = "A4") -> Path:
        """Write the family to `path` and return that; its suffix says how.

        .html is one file that opens offline, alive and with every bench sheet; .pdf is for the
        printer, on `paper` "A4" or "letter". Raises `DrawingError` for another suffix and
        `SheetError` for other paper (both a `ValueError`).
        """
        file = html_or_pdf(path)
        file.write_bytes(self.written(file.suffix.lower(), paper))
        return file

    def written(self, suffix: str, paper: str = "A4") -> bytes:
        """What a file with that suffix holds."""
        if suffix == ".pdf":
            from lessonlib.families.paper import family_pdf  # loads the library for PDF
            from lessonlib.sheet.sheet import paper_of

            return family_pdf(self, paper_of(paper))
        from lessonlib.families.picture import family_page  # loads widgets

        return family_page(self).encode("utf-8")

    @cached_property
    def picture(self) -> Any:
        """The live picture that a notebook shows."""
        from lessonlib.families.picture import FamilyPicture

        return FamilyPicture(self)

    @property
    def _told(self) -> list[tuple[str, list[str]]]:
        """A heading for each member but the first, and what has changed."""
        return [
            (f"What changed in “{member.label}”:", [str(each) for each in changes] or [NO_CHANGE])
            for member, changes in zip(self.members[1:], self.changes[1:], strict=True)
        ]

    def __str__(self) -> str:
        lines = [self.title, str(self.settings)]
        for heading, told in self._told:
            lines += [f"\n{heading}", *(f"- {each}" for each in told)]
        return "\n".join([*lines, *(f"\n{each}" for each in self.notes)])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        """Without widgets: the table and the changes."""
        parts = [f"<p><strong>{escape(self.title)}</strong></p>", self.settings._repr_html_()]
        for heading, told in self._told:
            items = "".join(f"<li>{escape(each)}</li>" for each in told)
            parts.append(f"<p>{escape(heading)}</p><ul>{items}</ul>")
        return "".join([*parts, *(f"<p>{escape(each)}</p>" for each in self.notes)])

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> Any:
        shown = self.picture._repr_mimebundle_(include=include, exclude=exclude)
        bundle, data = shown if isinstance(shown, tuple) else (shown, {})
        text = {"text/plain": str(self), "text/html": self._repr_html_()}
        return {**(bundle or {}), **text}, data


def family(
    members: Given,
    title: str = "",
    *,
    safety: bool = False,
    one_at_a_time: bool = False,
    progress: Progress | None = None,
) -> Family:
    """Wirings of one appliance, side by side, in the order given.

    `members` is a list of appliances, names of bundled ones or paths of .toml files, each by itself
    or as (label, member); or the path of a .toml file that lists them, or the name of a bundled
    family. A member that cannot be used is left out and named in `.unread`. With `safety` the
    changes also say which dangers, failing ratings and live points differ. With `one_at_a_time` it
    opens with the first member alone, and marks each change at a press. `progress` hears how far it
    is: what has been done, with how many members, and of how many; left out, a family of
    many says so itself.
    Raises `FamilyError` (a `ValueError`) where no member can be used.
    """
    say = progress or _say
    heading, found, unread = read_members(members, say)
    return Family(title or heading, found, unread, say, safety, one_at_a_time)


def _say(done: str, count: int, every: int) -> None:
    progress_bar(count, every, f"members {done}")


def compare(appliances: Sequence[Appliance]) -> Family:
    """Two wirings or more side by side: `family` for appliances that are there already. The parts
    may differ too. Says besides which dangers, failing ratings and live points differ.

    Raises `SettingError` (a `ValueError`) when fewer than two are given.
    """
    given = list(appliances)
    if len(given) < 2:
        raise SettingError(
            f"found {len(given)} appliance to compare; accepted: two or more. "
            "Give a list: compare([first, second])."
        )
    return family(given, safety=True)
