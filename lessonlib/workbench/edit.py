"""Text to text: a part put in, changed or taken out. Comments, order and spacing stay.

Each edit is checked: what the new text says must be what the old one said, but for the edit.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.items import Item

from lessonlib.appliance import document
from lessonlib.appliance.parts import TERMINALS
from lessonlib.appliance.problems import near
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, TEXT_KEYS, VESSEL_KEYS
from lessonlib.errors import DescriptionError, MisreadError, shown
from lessonlib.workbench.blocks import WHOLE, Block, cut, joined, lines_of, whole
from lessonlib.workbench.outline import nodes_of, outlined, tables_of

TABLES = {WHOLE: TEXT_KEYS, "supply": SUPPLY_KEYS, "vessel": VESSEL_KEYS}
"""What can be changed besides parts, and its keys."""


def parsed(text: str) -> dict[str, Any]:
    """What `text` says. Raises `DescriptionError` where it is not valid TOML."""
    try:
        return document.parsed(text)
    except MisreadError as error:
        raise DescriptionError(
            f"found that {error.found}. Accepted: a text that can be read, to put a step into. "
            "Correct that place in the text first, or undo."
        ) from error


def add_part(text: str, kind: str, values: Mapping[str, Any]) -> str:
    """`text` with one more part, after the last of its kind, or after the last part.

    Raises `DescriptionError` for a kind that there is none of, and for a name that a part has.
    """
    after = parsed(text)
    if kind not in PART_KEYS:
        meant = near(kind, PART_KEYS)
        raise DescriptionError(
            f"found the kind {shown(kind)}. Accepted: {', '.join(PART_KEYS)}. "
            + (f'Did you mean "{meant}"?' if meant else "Use one of these.")
        )
    order = [*PART_KEYS[kind], *values]
    _check_free(after, values.get("name"))
    in_order = dict(sorted(values.items(), key=lambda pair: order.index(pair[0])))
    blocks = cut(text)
    same = [at for at, block in enumerate(blocks) if block.kind == kind]
    parts = [at for at, block in enumerate(blocks) if block.kind in (*PART_KEYS, "supply")]
    place = (same or parts or [len(blocks) - 1])[-1] + 1
    _insert(blocks, place, Block(_lines(f"[[{kind}]]", in_order), kind))
    _parts_of(after, kind).append(in_order)
    return _checked(blocks, after)


def remove_part(text: str, name: str) -> str:
    """`text` without the part of that name, and without the comments directly above it."""
    after = parsed(text)
    blocks = cut(text)
    at = _place(blocks, name)
    kind = blocks[at].kind
    del _parts_of(after, kind)[_number(blocks, at)]
    if not after[kind]:
        del after[kind]
    del blocks[at]
    return _checked(blocks, after)


def change(text: str, name: str, values: Mapping[str, Any]) -> str:
    """`text` with new `values` by key in the part of that name, or in "appliance" (title, purpose),
    "supply" or "vessel", which come into being where they are missing. None takes a key out."""
    after = parsed(text)
    blocks = cut(text)
    if name in TABLES and name not in _names(blocks):
        places = [at for at, block in enumerate(blocks) if block.kind == name or name == WHOLE]
        target = after if name == WHOLE else after.setdefault(name, {})
        if not isinstance(target, dict):
            raise _written_otherwise()
        if not places:
            place = len(blocks) if name == "vessel" else 1
            _insert(blocks, place, Block(f"[{name}]\n", name))
            places = [place]
        at = places[0]
    else:
        at = _place(blocks, name)
        target = _parts_of(after, blocks[at].kind)[_number(blocks, at)]
        if values.get("name", name) != name:
            _check_free(after, values["name"])
    blocks[at] = _changed(blocks[at], values)
    for key, value in values.items():
        target.pop(key, None)
        if value is not None:
            target[key] = value
    return _checked(blocks, after)


def rename(text: str, name: str, new_name: str) -> str:
    """`text` with another name for a part, also where a thermal fuse is placed on it."""
    parsed(text)  # what cannot be read is told before it is cut
    for block in cut(text):
        if block.kind == "thermal_fuse" and block.table.get("placed_on") == name:
            text = change(text, str(block.name), {"placed_on": new_name})
    return change(text, name, {"name": new_name})


def rename_point(text: str, point: str, new_name: str) -> str:
    """`text` with another name for a point, wherever a part ends on it.

    Raises `DescriptionError` for a point that there is none of, a terminal, and a name in use.
    """
    after = parsed(text)
    points = nodes_of(after)
    mine = [each for each in points if each not in TERMINALS]
    if point not in mine:
        raise DescriptionError(
            f"found no point {shown(point)} that can be renamed. Accepted: "
            f"{', '.join(mine) or 'none, there are only L, N and PE'}. Use one of these."
        )
    if new_name in points:
        raise DescriptionError(
            f"found that there is a point {shown(new_name)} already, and one name for both would "
            "join them. Accepted: a name that no point has. To join them, change the parts' ends."
        )
    blocks = [
        Block(_rewritten(block, lambda table: _renamed(table, point, new_name)), block.kind)
        if block.kind in PART_KEYS
        else block
        for block in cut(text)
    ]
    for part in outlined(after):
        _renamed(part.table, point, new_name)
    return _checked(blocks, after)


def _renamed(table: Any, point: str, new_name: str) -> None:
    """Give a point its new name in one part's table, in place."""
    for holder in (table, *tables_of(table.get("contacts"))):
        ends = holder.get("between")
        if isinstance(ends, list):
            for at, end in enumerate(ends):
                if end == point:
                    ends[at] = new_name


def _check_free(document: Mapping[str, Any], name: object) -> None:
    taken = [part.name for part in outlined(document)]
    if name in taken:
        raise DescriptionError(
            f"found that a part is called {shown(name)} already. Accepted: a name that no part "
            f"has, so none of {', '.join(taken)}. Choose another."
        )


def _names(blocks: list[Block]) -> list[object]:
    return [block.name for block in blocks if block.kind in PART_KEYS]


def _place(blocks: list[Block], name: str) -> int:
    for at, block in enumerate(blocks):
        if block.kind in PART_KEYS and block.name == name:
            return at
    known = [str(each) for each in _names(blocks) if each is not None]
    meant = near(name, [*known, *TABLES])
    raise DescriptionError(
        f"found no part {shown(name)} with a table of its own. Accepted: "
        f"{', '.join([*known, *TABLES])}. "
        + (f'Did you mean "{meant}"?' if meant else "Use one of these, or edit the text.")
    )


def _parts_of(document: dict[str, Any], kind: str) -> list[dict[str, Any]]:
    """The parts of that kind in a parsed text, as a list that can be changed."""
    parts = document.setdefault(kind, [])
    if not (isinstance(parts, list) and all(isinstance(part, dict) for part in parts)):
        raise _written_otherwise()
    return parts


def _number(blocks: list[Block], at: int) -> int:
    """Which of its kind the part is, counted from 0."""
    return sum(block.kind == blocks[at].kind for block in blocks[:at])


def _insert(blocks: list[Block], place: int, new: Block) -> None:
    """Put `new` in with one blank line before and after it."""
    before = blocks[place - 1]
    if before.text and not before.text.endswith("\n\n"):
        gap = "\n" if before.text.endswith("\n") else "\n\n"
        blocks[place - 1] = Block(before.text + gap, before.kind)
    if place < len(blocks):
        new = Block(new.text + "\n", new.kind)
    blocks.insert(place, new)


def _changed(block: Block, values: Mapping[str, Any]) -> Block:
    """The block with new values."""

    def change(table: Any) -> None:
        for key, value in values.items():
            if value is None:
                table.pop(key, None)
            else:
                table[key] = _item(value)

    return Block(_rewritten(block, change), block.kind)


def _rewritten(block: Block, change: Callable[[Any], None]) -> str:
    """The text of a block after `change` of its table; blank lines and comments at its end stay at
    its end."""
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
    except ValueError as error:  # brackets a hundred deep within each other
        raise _written_otherwise() from error
    table: Any = said[block.kind] if block.kind else said
    change(table[0] if isinstance(table, list) else table)
    return tomlkit.dumps(said) + tail


def _lines(header: str, values: Mapping[str, Any]) -> str:
    return "".join(
        f"{line}\n"
        for line in (
            header,
            *(f"{key} = {_item(value).as_string()}" for key, value in values.items()),
        )
    )


def _item(value: Any) -> Item:
    """`value` as it stands in a file: whole numbers without a point, each contact on its line."""
    match value:
        case bool() | str() | int():
            return tomlkit.item(value)
        case float():
            return tomlkit.item(int(value) if value.is_integer() and abs(value) < 1e15 else value)
        case Mapping():
            pairs = ", ".join(f"{key} = {_item(each).as_string()}" for key, each in value.items())
            return tomlkit.value(f"{{ {pairs} }}")
        case Sequence():
            texts = [_item(each).as_string() for each in value]
            if len(texts) > 1 and all(isinstance(each, Mapping) for each in value):
                return tomlkit.value("[\n" + "".join(f"    {text},\n" for text in texts) + "]")
            return tomlkit.value(f"[{', '.join(texts)}]")
        case _:
            raise DescriptionError(
                f"found the value {shown(value)}. Accepted: a number, a text, true or false, or a "
                "list of these. Write it as it would stand in the file."
            )


def _checked(blocks: list[Block], wanted: Mapping[str, Any]) -> str:
    text = joined(blocks)
    try:
        said = tomllib.loads(text)
    except ValueError:
        said = {}
    if said != wanted:
        raise _written_otherwise()
    return text


def _written_otherwise() -> DescriptionError:
    return DescriptionError(
        "found a text that is written in a way that this step cannot edit. Accepted: a table of "
        "its own for each part, as in [[element]]. Make the change in the text itself."
    )
