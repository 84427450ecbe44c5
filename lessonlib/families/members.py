"""Reads a family: from a list in code, or from a small TOML file that lists appliance files.

title = "The hall's soup warmer, seven times"

[[member]]
label = "first"
file = "1-two-elements.toml"    # beside the list; or a name, as load_appliance takes it
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from os import PathLike, fspath
from pathlib import Path

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


def quiet(done: str, count: int, every: int) -> None:
    """Says nothing."""


def family_files() -> dict[str, Path]:
    """Name to list for every bundled family."""
    folder = workbook_folder() / "families"
    return {path.parent.name: path for path in sorted(folder.glob("*/family.toml"))}


def own_lists() -> dict[str, Path]:
    """Name to list for every family of one's own."""
    return {path.stem: path for path in sorted(LISTS.glob("*.toml")) if path.is_file()}


def read_members(
    given: Given, progress: Progress = quiet
) -> tuple[str, tuple[Member, ...], tuple[str, ...]]:
    """Title, members, and what is left out and why. Raises `FamilyError` where none is left."""
    title = ""
    pairs: list[tuple[str, object]] = []
    if isinstance(given, str | PathLike):
        title, pairs = listed_in(given)
    elif isinstance(given, Iterable) and not isinstance(given, bytes | dict):
        pairs = [_pair(each) for each in given]
    if not 0 < len(pairs) <= MOST_MEMBERS:
        raise FamilyError(
            f"found the members {shown(given)}; accepted: a list of 1 to {MOST_MEMBERS} "
            f"appliances, such as {_EXAMPLE}. Give one in square brackets."
        )
    members: list[Member] = []
    unread: list[str] = []
    for place, (label, source) in enumerate(pairs, 1):
        progress("read", place, len(pairs))
        try:
            members.append(_member(label, source, members))
        except LessonlibError as error:
            what = source.title if isinstance(source, Appliance) else f"number {place}"
            unread.append(f"“{label or what}”. {error}")
    if not members:
        reasons = "\n".join(unread)
        raise FamilyError(f"found no member that can be used; mend one of them:\n{reasons}")
    titles = list(dict.fromkeys(member.appliance.title for member in members))
    if not title:
        title = listed(titles) if len(titles) < 4 else f"{titles[0]} and {len(titles) - 1} others"
    return title, tuple(members), tuple(unread)


def _pair(given: object) -> tuple[str, object]:
    """Label and member; without a label, an empty one."""
    if isinstance(given, tuple | list) and len(given) == 2 and isinstance(given[0], str):
        return given[0].strip(), given[1]
    return "", given


def _member(label: str, source: object, before: Sequence[Member]) -> Member:
    """A member with a label that no other has. Raises `LessonlibError` for one of no use."""
    if isinstance(source, str | PathLike):
        source = load_appliance(source)
    if not isinstance(source, Appliance):
        raise FamilyError(
            f"found {shown(source)}; accepted: an appliance, its name or the path of a .toml file, "
            f"by itself or behind a label, as in {_EXAMPLE}. Write it that way."
        )
    label = (label or source.title)[:_LONGEST_LABEL]
    numbered = (f"{label} ({count})" for count in range(2, len(before) + 3))
    taken = [member.label for member in before]
    member = Member(next(each for each in (label, *numbered) if each not in taken), source)
    member.ways  # noqa: B018 - solving it can be refused, and so can drawing it
    layout(source)
    volts = source.supply.voltage_V
    wanted = before[0].appliance.supply.voltage_V if before else volts
    if f"{volts:.4g}" != f"{wanted:.4g}":
        raise FamilyError(
            f"Found a supply of {volts:g} V; accepted: {wanted:g} V, as the first member has. "
            "Powers at different voltages cannot be compared: give both the same voltage_V, or "
            "make two families."
        )
    return member


def listed_in(given: str | PathLike[str]) -> tuple[str, list[tuple[str, object]]]:
    """Title and members of a list: its path, or the name of one's own or of a bundled one. Paths in
    it are beside the file. Raises `FamilyError`."""
    name, lists = fspath(given), {**family_files(), **own_lists()}
    path = lists.get(name, Path(name))
    try:
        document = parsed(read_regular(path, MAX_BYTES).decode("utf-8-sig"))
    except FileNotFoundError:
        meant = near(name, list(lists))
        hint = f'Did you mean "{meant}"?' if meant else "Check the name, and the folder it is in."
        raise FamilyError(
            f"found no family {shown(name)}. {hint} Accepted: a path to a .toml file, or one of "
            f"{', '.join(lists)}."
        ) from None
    except (OSError, UnicodeDecodeError, MisreadError) as error:
        raise _not_a_list(path, str(error)) from error
    if not _fits(document, title=str, member=list):
        raise _not_a_list(path, f"found {shown(document)}")
    pairs: list[tuple[str, object]] = []
    for entry in document.get("member", []):
        if not _fits(entry, label=str, file=str) or "file" not in entry:
            raise _not_a_list(path, f"found {shown(entry)}")
        beside = path.parent / entry["file"]
        source = beside if beside.suffix == ".toml" else entry["file"]
        pairs.append((entry.get("label", "").strip(), source))
    return document.get("title", ""), pairs


def _fits(table: object, **keys: type) -> bool:
    """Whether it is a table that has some of these keys, each with a value of its kind."""
    return isinstance(table, dict) and all(
        isinstance(value, keys.get(key, ())) for key, value in table.items()
    )


def _not_a_list(path: Path, why: str) -> FamilyError:
    return FamilyError(
        f"cannot read the list {shown(path.name)}: {why}. Accepted: a TOML file with a title, and "
        "for each appliance a [[member]] table with the two texts label and file. Mend it, or "
        "make the list in code."
    )
