"""Reads a family: from a list in code, or from a small TOML file that lists appliance files.

title = "The hall's soup warmer, seven times"

[[member]]
label = "first"
file = "1-two-elements.toml"    # beside the list; or a name, as load_appliance takes it
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from lessonlib.appliance.bundled import load_appliance, workbook_folder
from lessonlib.appliance.document import parsed
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.problems import near
from lessonlib.appliance.reader import MAX_BYTES
from lessonlib.errors import FamilyError, LessonlibError, MisreadError, shown
from lessonlib.families.settings import Member
from lessonlib.files import read_regular
from lessonlib.schematics.layout import layout
from lessonlib.words import listed

MOST_MEMBERS = 60
_LONGEST_LABEL = 40
LISTS = Path("families")
"""Where lists of one's own are, in the folder of the notebook."""
_EXAMPLE = '[("first", "tea-urn"), ("second", "my-urn.toml")]'

Source = Appliance | str | PathLike[str]
Progress = Callable[[str, int, int], None]
"""Hears what has been done ("read", "compared", "drawn"), with how many members, of how many."""

Given = Sequence[Source | tuple[str, Source]] | str | PathLike[str]


@dataclass(frozen=True)
class LeftOut:
    """A member that is left out, and why."""

    label: str
    reason: str

    def __str__(self) -> str:
        return f"“{self.label}”. {self.reason}"


def quiet(done: str, count: int, every: int) -> None:
    """Says nothing."""


def family_files() -> dict[str, Path]:
    """Name to list for every bundled family."""
    folder = workbook_folder() / "families"
    return {path.parent.name: path for path in sorted(folder.glob("*/family.toml"))}


def read_members(
    given: Given, progress: Progress = quiet
) -> tuple[str, tuple[Member, ...], tuple[LeftOut, ...]]:
    """Title, members and what is left out. Raises `FamilyError` where no member can be used."""
    title = ""
    pairs: list[tuple[str, object]] = []
    if isinstance(given, str | PathLike):
        title, pairs = listed_in(given)
    elif isinstance(given, Iterable) and not isinstance(given, bytes | dict):
        pairs = [_pair(each) for each in given]
    if not pairs:
        raise FamilyError(
            f"found the members {shown(given)}; accepted: a list of one appliance or more, such as "
            f"{_EXAMPLE}. Give one in square brackets."
        )
    if len(pairs) > MOST_MEMBERS:
        raise FamilyError(
            f"found {len(pairs)} members; accepted: at most {MOST_MEMBERS}. Make two families."
        )
    return _usable(title, pairs, progress)


def _usable(
    title: str, pairs: Sequence[tuple[str, object]], progress: Progress
) -> tuple[str, tuple[Member, ...], tuple[LeftOut, ...]]:
    members: list[Member] = []
    unread: list[LeftOut] = []
    for place, (label, source) in enumerate(pairs, 1):
        progress("read", place, len(pairs))
        try:
            appliance = _appliance(source)
            member = Member("", appliance)
            member.solutions  # noqa: B018 - solving it can be refused too, and so can drawing it
            layout(appliance)
        except LessonlibError as error:
            unread.append(LeftOut(label or f"number {place}", str(error)))
            continue
        label = (label or appliance.title)[:_LONGEST_LABEL]
        label = _unlike(label, [member.label for member in members])
        if members and (reason := _other_supply(appliance, members[0].appliance)):
            unread.append(LeftOut(label, reason))
            continue
        members.append(Member(label, appliance))
    if not members:
        reasons = "\n".join(map(str, unread))
        raise FamilyError(f"found no member that can be used; mend one of them:\n{reasons}")
    titles = list(dict.fromkeys(member.appliance.title for member in members))
    if not title:
        title = listed(titles) if len(titles) < 4 else f"{titles[0]} and {len(titles) - 1} others"
    return title, tuple(members), tuple(unread)


def _unlike(label: str, taken: Sequence[str]) -> str:
    """The label, with a number where another has it."""
    numbered = (f"{label} ({count})" for count in range(2, len(taken) + 3))
    return next(each for each in (label, *numbered) if each not in taken)


def _other_supply(appliance: Appliance, first: Appliance) -> str:
    volts, wanted = appliance.supply.voltage_V, first.supply.voltage_V
    if f"{volts:.4g}" == f"{wanted:.4g}":
        return ""
    return (
        f"Found a supply of {volts:g} V; accepted: {wanted:g} V, as the first member has. "
        "Powers at different voltages cannot be compared: give both the same voltage_V, or make "
        "two families."
    )


def _pair(given: object) -> tuple[str, object]:
    """Label and member; without a label, an empty one."""
    if isinstance(given, tuple | list) and len(given) == 2 and isinstance(given[0], str):
        return given[0].strip(), given[1]
    return "", given


def _appliance(source: object) -> Appliance:
    if isinstance(source, Appliance):
        return source
    if isinstance(source, str | PathLike):
        return load_appliance(source)
    raise FamilyError(
        f"found {shown(source)}; accepted: an appliance, its name or the path of a .toml file, by "
        f"itself or behind a label, as in {_EXAMPLE}. Write it that way."
    )


def own_lists() -> dict[str, Path]:
    """Name to list for every family of one's own."""
    return {path.stem: path for path in sorted(LISTS.glob("*.toml")) if path.is_file()}


def listed_in(given: str | PathLike[str]) -> tuple[str, list[tuple[str, object]]]:
    """Title and members of a list: its path, or the name of one's own or of a bundled one. Paths in
    it are beside the file. Raises `FamilyError`."""
    name = fspath(given)
    path = {**family_files(), **own_lists()}.get(name, Path(name))
    try:
        document = parsed(read_regular(path, MAX_BYTES).decode("utf-8-sig"))
    except FileNotFoundError:
        names = [*family_files(), *own_lists()]
        meant = near(name, names)
        hint = f'Did you mean "{meant}"?' if meant else "Check the name, and the folder it is in."
        raise FamilyError(
            f"found no family {shown(name)}. {hint} Accepted: a path to a .toml file, or one of "
            f"{', '.join(names)}."
        ) from None
    except (OSError, UnicodeDecodeError, MisreadError) as error:
        raise FamilyError(
            f"cannot read the list {shown(path.name)}: {error}. Accepted: a TOML file with a title "
            "and [[member]] tables, each with label and file. Mend it, or make the list in code."
        ) from error
    title, entries = document.get("title", ""), document.get("member", [])
    wrong = document.keys() - {"title", "member"}
    if wrong or not isinstance(title, str) or not _tables(entries):
        found = f"the keys {listed(sorted(wrong))}" if wrong else shown(entries or title)
        raise FamilyError(
            f"{path.name}: found {found}; accepted: a title, and a [[member]] table with label and "
            "file for each appliance. Write it that way."
        )
    return title, [_entry(path, number, entry) for number, entry in enumerate(entries, 1)]


def _tables(found: object) -> bool:
    return isinstance(found, list) and all(isinstance(each, dict) for each in found)


def _entry(path: Path, number: int, entry: dict[str, Any]) -> tuple[str, object]:
    label, file = entry.get("label", ""), entry.get("file")
    if entry.keys() - {"label", "file"} or not isinstance(label, str) or not isinstance(file, str):
        raise FamilyError(
            f"{path.name}: member {number}: found {shown(dict(entry))}; accepted: the two texts "
            'label and file, such as file = "first.toml". Write both in quotes.'
        )
    beside = path.parent / file
    return label.strip(), beside if beside.suffix == ".toml" else file
