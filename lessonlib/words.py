"""Lists and counts in an English sentence."""

from __future__ import annotations

from collections.abc import Sequence


def listed(names: Sequence[str], joint: str = "and") -> str:
    """`names`, at least one, as a sentence lists them: "a, b and c"."""
    *first, last = names
    return f"{', '.join(first)} {joint} {last}" if first else last


def plural(noun: str) -> str:
    """The plural of a regular noun: "lamps", "switches"."""
    return f"{noun}es" if noun.endswith("ch") else f"{noun}s"


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: "1 try", "3 tries"; `many` is for a noun that is not regular."""
    return f"{count} {one if count == 1 else many or plural(one)}"
