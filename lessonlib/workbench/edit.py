"""Adds, changes or removes a part in an appliance file's text, and keeps comments and order.

The text is cut into its tables, one of them is changed, and the whole is read again to check that
it says what it should. A text that cannot be edited like this is refused.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

import tomlkit

from lessonlib.appliance import document
from lessonlib.appliance.parts import TERMINALS
from lessonlib.appliance.problems import near
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, TEXT_KEYS, VESSEL_KEYS
from lessonlib.errors import DescriptionError, MisreadError, shown
from lessonlib.workbench.blocks import (
    WHOLE,
    TableText,
    cut,
    joined,
    lines_of,
    own_table,
    said_together,
    whole,
)
from lessonlib.workbench.outline import nodes_of, outlined, tables_of

TABLES = {WHOLE: TEXT_KEYS, "supply": SUPPLY_KEYS, "vessel": VESSEL_KEYS}
"""The tables besides those of parts, and their keys."""


def parsed(text: str) -> dict[str, Any]:
    """What `text` says. Raises `DescriptionError` where it is not valid TOML."""
    try:
        return document.parsed(text)
    except MisreadError as error:
        raise DescriptionError(
            f"found that {error.found}. Accepted: a text that can be read. "
            "Correct that place in the text first, or undo."
        ) from error


def add_part(text: str, kind: str, values: Mapping[str, Any]) -> str:
    """`text` with one more part, after the last of its kind, or after the last part.

    Raises `DescriptionError` for an unknown kind, and for a name that another part has.
    """
    blocks = _blocks(text)
    if kind not in PART_KEYS:
        meant = near(kind, PART_KEYS)
        raise DescriptionError(
            f"found the kind {shown(kind)}. Accepted: {', '.join(PART_KEYS)}. "
            + (f'Did you mean "{meant}"?' if meant else "Use one of these.")
        )
    _check_free(text, values.get("name"))
    order = [*PART_KEYS[kind], *values]
    lines = [f"{key} = {_toml(values[key])}" for key in sorted(values, key=order.index)]
    new = TableText("\n".join([f"[[{kind}]]", *lines, ""]), kind)
    same = [at for at, block in enumerate(blocks) if block.kind == kind]
    parts = [at for at, block in enumerate(blocks) if block.kind in (*PART_KEYS, "supply")]
    place = (same or parts or [len(blocks) - 1])[-1] + 1
    return _checked(_inserted(blocks, place, _saying(new, {kind: [values]})))


def remove_part(text: str, name: str) -> str:
    """`text` without the part of that name, and without the comments directly above it."""
    blocks = _blocks(text)
    del blocks[_place(blocks, name)]
    return _checked(blocks)


def change(text: str, name: str, values: Mapping[str, Any]) -> str:
    """`text` with new `values` by key in the part of that name, or in "appliance" (title, purpose),
    "supply" or "vessel"; a missing table is added. None removes a key."""
    blocks = _blocks(text)
    if name not in TABLES or name in _names(blocks):
        at = _place(blocks, name)
        if values.get("name", name) != name:
            _check_free(text, values["name"])
    else:
        kinds = [block.kind for block in blocks]
        if name not in kinds and name != WHOLE:
            place = len(blocks) if name == "vessel" else 1
            blocks = _inserted(blocks, place, TableText(f"[{name}]\n", name))
            kinds.insert(place, name)
        at = 0 if name == WHOLE else kinds.index(name)
    given = {key: value for key, value in values.items() if value is not None}
    written = {key: tomlkit.value(_toml(value)) for key, value in given.items()}

    def change_values(table: Any) -> None:
        for key in values:
            if key in written:
                table[key] = written[key]
            else:
                table.pop(key, None)

    blocks[at] = _rewritten(blocks[at], change_values)
    return _checked(blocks)


def rename(text: str, name: str, new_name: str) -> str:
    """`text` with another name for a part, also in a thermal fuse that is placed on it."""
    for block in _blocks(text):
        if block.kind == "thermal_fuse" and block.table.get("placed_on") == name:
            text = change(text, str(block.name), {"placed_on": new_name})
    return change(text, name, {"name": new_name})


def rename_point(text: str, point: str, new_name: str) -> str:
    """`text` with another name for a point in every part that ends there.

    Raises `DescriptionError` for an unknown point, a terminal, and a name in use.
    """
    points = nodes_of(parsed(text))
    mine = [each for each in points if each not in TERMINALS]
    if point not in mine:
        raise DescriptionError(
            f"found no point {shown(point)} that can be renamed. Accepted: "
            f"{', '.join(mine) or 'none, there are only L, N and PE'}. Use one of these."
        )
    if new_name in points:
        raise DescriptionError(
            f"found another point called {shown(new_name)}; with one name the two would be joined. "
            "Accepted: a name that no point has. To join them, change the parts' ends."
        )

    def rename_ends(table: Any) -> None:
        for holder in (table, *tables_of(table.get("contacts"))):
            ends = holder.get("between")
            for at, end in enumerate(ends if isinstance(ends, list) else []):
                if end == point:
                    ends[at] = new_name

    renamed = _checked(
        _rewritten(block, rename_ends) if block.kind in PART_KEYS else block
        for block in _blocks(text)
    )
    if point in nodes_of(parsed(renamed)):  # it is in a part without a table of its own
        raise _written_otherwise()
    return renamed


def _blocks(text: str) -> list[TableText]:
    """The blocks of `text`, checked to say what it says."""
    said = parsed(text)
    blocks = cut(text)
    if said_together(blocks) != said:
        raise _written_otherwise()
    return blocks


def _checked(blocks: Iterable[TableText]) -> str:
    """The text of the blocks, checked to say what they say."""
    blocks = list(blocks)
    text = joined(blocks)
    try:
        said = tomllib.loads(text)
    except ValueError:  # two tables of one name, and the like
        raise _written_otherwise() from None
    if said != said_together(blocks):
        raise _written_otherwise()
    return text


def _saying(block: TableText, wanted: Mapping[str, Any]) -> TableText:
    """The block, checked to say what is wanted."""
    try:
        if block.said == wanted:
            return block
    except ValueError:
        pass
    raise _written_otherwise()


def _check_free(text: str, name: object) -> None:
    taken = [part.name for part in outlined(parsed(text))]
    if name in taken:
        raise DescriptionError(
            f"found another part called {shown(name)}. Accepted: any name but "
            f"{', '.join(taken)}. Choose another."
        )


def _names(blocks: Sequence[TableText]) -> list[object]:
    return [block.name for block in blocks if block.kind in PART_KEYS]


def _place(blocks: Sequence[TableText], name: str) -> int:
    """Which block has the table of that part, and nothing else."""
    for at, block in enumerate(blocks):
        if block.kind in PART_KEYS and block.name == name:
            _saying(block, {block.kind: [block.table]})
            return at
    known = [str(each) for each in _names(blocks) if each is not None]
    meant = near(name, [*known, *TABLES])
    raise DescriptionError(
        f"found no part {shown(name)} with a table of its own. Accepted: "
        f"{', '.join([*known, *TABLES])}. "
        + (f'Did you mean "{meant}"?' if meant else "Use one of these, or edit the text.")
    )


def _inserted(blocks: Sequence[TableText], place: int, new: TableText) -> list[TableText]:
    """The blocks with `new` in its place, one blank line before and after it."""
    before, after = list(blocks[:place]), blocks[place:]
    text = before[-1].text
    if text and not text.endswith("\n\n"):
        gap = "\n" if text.endswith("\n") else "\n\n"
        before[-1] = TableText(text + gap, before[-1].kind)
    return [*before, TableText(new.text + "\n", new.kind) if after else new, *after]


def _rewritten(block: TableText, change: Callable[[Any], None]) -> TableText:
    """The block with its table changed; blank lines and comments at its end stay."""
    lines = lines_of(block.text)
    while lines and (not lines[-1].strip() or lines[-1].lstrip().startswith("#")):
        lines.pop()
    core = "".join(lines)
    if not whole(core):  # what looked like a comment was the end of a string
        core = block.text
    tail = block.text[len(core) :]
    if core and not core.endswith("\n"):
        core += "\n"
    try:
        said = tomlkit.parse(core)
    except ValueError as error:  # brackets nested a hundred deep
        raise _written_otherwise() from error
    wanted = tomllib.loads(core)
    for each in (said, wanted):
        change(own_table(each, block.kind))
    return _saying(TableText(tomlkit.dumps(said) + tail, block.kind), wanted)


def _toml(value: Any) -> str:
    """`value` as a file has it: whole numbers without a point, a line for each contact."""
    match value:
        case bool() | str() | int():
            return tomlkit.item(value).as_string()
        case float():
            is_whole = value.is_integer() and abs(value) < 1e15
            return tomlkit.item(int(value) if is_whole else value).as_string()
        case Mapping():
            return f"{{ {', '.join(f'{key} = {_toml(each)}' for key, each in value.items())} }}"
        case Sequence():
            texts = [_toml(each) for each in value]
            if len(texts) > 1 and all(isinstance(each, Mapping) for each in value):
                return "[\n" + "".join(f"    {text},\n" for text in texts) + "]"
            return f"[{', '.join(texts)}]"
        case _:
            raise DescriptionError(
                f"found the value {shown(value)}. Accepted: a number, a text, true or false, or a "
                "list of these. Write it as the file would have it."
            )


def _written_otherwise() -> DescriptionError:
    return DescriptionError(
        "found a text in a form that this step cannot edit. Accepted: a table of its own for each "
        "part, as in [[element]]. Make the change in the text itself."
    )
