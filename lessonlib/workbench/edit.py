"""Adds, changes or removes a part in an appliance file's text, and keeps comments and order.

The text is cut into its tables, one of them is changed, and the whole is read again to check that
it says what it should. A text that cannot be edited like this is refused.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import tomlkit

from lessonlib.appliance import document
from lessonlib.appliance.parts import TERMINALS
from lessonlib.appliance.problems import near
from lessonlib.appliance.schema import PART_KEYS, SUPPLY_KEYS, TEXT_KEYS, VESSEL_KEYS
from lessonlib.errors import DescriptionError, MisreadError, shown
from lessonlib.workbench.blocks import WHOLE, Block, cut, is_comment, is_whole, lines_of
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
    said, blocks = parsed(text), cut(text)
    if kind not in PART_KEYS:
        meant = near(kind, PART_KEYS)
        raise DescriptionError(
            f"found the kind {shown(kind)}. Accepted: {', '.join(PART_KEYS)}. "
            + (f'Did you mean "{meant}"?' if meant else "Use one of these.")
        )
    _check_free(said, values.get("name"))
    order = [*PART_KEYS[kind], *values]
    lines = [f"{key} = {_toml(values[key])}" for key in sorted(values, key=order.index)]
    same = [at for at, block in enumerate(blocks) if block.kind == kind]
    parts = [at for at, block in enumerate(blocks) if block.kind in (*PART_KEYS, "supply")]
    place = (same or parts or [len(blocks) - 1])[-1] + 1
    new = Block(kind, "\n".join([f"[[{kind}]]", *lines, ""]))
    said[kind] = [*tables_of(said.get(kind)), values]
    return _joined(_inserted(blocks, place, new), said)


def remove_part(text: str, name: str) -> str:
    """`text` without the part of that name, and without the comments directly above it."""
    said, blocks = parsed(text), cut(text)
    kind, at = _part(said, name)
    del blocks[_block(blocks, kind, at)], said[kind][at]
    if not said[kind]:
        del said[kind]
    return _joined(blocks, said)


def change(text: str, name: str, values: Mapping[str, Any]) -> str:
    """`text` with new `values` by key in the part of that name, or in "appliance" (title, purpose),
    "supply" or "vessel"; a missing table is added. None removes a key. A thermal fuse placed on a
    part stays there when the part gets another name."""
    said, new_name = parsed(text), values.get("name")
    if name not in TABLES or name in (part.name for part in outlined(said)):
        kind, at = _part(said, name)
        if new_name is not None and new_name != name:
            _check_free(said, new_name)
            for fuse in tables_of(said.get("thermal_fuse")):
                if fuse.get("placed_on") == name:
                    text = change(text, str(fuse.get("name")), {"placed_on": new_name})
            said = parsed(text)
        blocks, table = cut(text), said[kind][at]
    else:
        kind, at, blocks = name, 0, cut(text)
        if name not in (block.kind for block in blocks):
            place = len(blocks) if name == "vessel" else 1
            blocks = _inserted(blocks, place, Block(name, f"[{name}]\n"))
        table = said if name == WHOLE else said.setdefault(name, {})
    if not isinstance(table, dict):
        raise _written_otherwise()
    written = {
        key: None if value is None else tomlkit.value(_toml(value)) for key, value in values.items()
    }
    _set(table, values)
    place = _block(blocks, kind, at)
    blocks[place] = _rewritten(blocks[place], lambda own: _set(own, written))
    return _joined(blocks, said)


def rename_point(text: str, point: str, new_name: str) -> str:
    """`text` with another name for a point in every part that ends there.

    Raises `DescriptionError` for an unknown point, a terminal, and a name in use.
    """
    said = parsed(text)
    points = nodes_of(said)
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

    for kind in PART_KEYS:
        for table in tables_of(said.get(kind)):
            rename_ends(table)
    blocks = cut(text)
    return _joined(
        [_rewritten(each, rename_ends) if each.kind in PART_KEYS else each for each in blocks], said
    )


def _joined(blocks: Sequence[Block], said: Mapping[str, Any]) -> str:
    """The text of the blocks, if it is what is to be `said`."""
    text = "".join(block.text for block in blocks)
    try:
        if tomllib.loads(text) == said:
            return text
    except ValueError:  # two tables of one name, and the like
        pass
    raise _written_otherwise()


def _check_free(said: Mapping[str, Any], name: object) -> None:
    taken = [part.name for part in outlined(said)]
    if name in taken:
        raise DescriptionError(
            f"found another part called {shown(name)}. Accepted: any name but "
            f"{', '.join(taken)}. Choose another."
        )


def _part(said: Mapping[str, Any], name: str) -> tuple[str, int]:
    """The kind of the part of that name, and which of its kind it is."""
    for kind in PART_KEYS:
        for at, table in enumerate(tables_of(said.get(kind))):
            if table.get("name") == name:
                return kind, at
    known = [*(part.name for part in outlined(said)), *TABLES]
    meant = near(name, known)
    raise DescriptionError(
        f"found no part {shown(name)} with a table of its own. Accepted: {', '.join(known)}. "
        + (f'Did you mean "{meant}"?' if meant else "Use one of these, or edit the text.")
    )


def _block(blocks: Sequence[Block], kind: str, at: int) -> int:
    """Which block is that one of its kind."""
    same = [place for place, block in enumerate(blocks) if block.kind == kind]
    if at >= len(same):
        raise _written_otherwise()
    return same[at]


def _inserted(blocks: Sequence[Block], place: int, new: Block) -> list[Block]:
    """The blocks with `new` in its place, one blank line before and after it."""
    before, after = list(blocks[:place]), blocks[place:]
    text = before[-1].text
    if text and not text.endswith("\n\n"):
        gap = "\n" if text.endswith("\n") else "\n\n"
        before[-1] = Block(before[-1].kind, text + gap)
    return [*before, Block(new.kind, new.text + "\n") if after else new, *after]


def _rewritten(block: Block, change: Callable[[Any], None]) -> Block:
    """The block with its table changed; blank lines and comments at its end stay."""
    lines = lines_of(block.text)
    while lines and (not lines[-1].strip() or is_comment(lines[-1])):
        lines.pop()
    core = "".join(lines)
    if not is_whole(core):  # what looked like a comment was the end of a string
        core = block.text
    tail = block.text[len(core) :]
    if core and not core.endswith("\n"):
        core += "\n"
    try:
        said = tomlkit.parse(core)
    except ValueError as error:  # brackets nested a hundred deep
        raise _written_otherwise() from error
    found: Any = said if block.kind == WHOLE else said[block.kind]
    change(found[0] if isinstance(found, list) else found)
    return Block(block.kind, tomlkit.dumps(said) + tail)


def _set(table: Any, values: Mapping[str, Any]) -> None:
    """Put the values into the table; None takes a key out."""
    for key, value in values.items():
        if value is None:
            table.pop(key, None)
        else:
            table[key] = value


def _toml(value: Any) -> str:
    """`value` as a file has it: whole numbers without a point, a line for each contact."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        value = int(value)
    match value:
        case bool() | str() | int() | float():
            return tomlkit.item(value).as_string()
        case Mapping():
            return f"{{ {', '.join(f'{key} = {_toml(each)}' for key, each in value.items())} }}"
        case Sequence():
            texts = [_toml(each) for each in value]
            if len(texts) > 1 and all(isinstance(each, Mapping) for each in value):
                return "[\n" + "".join(f"    {text},\n" for text in texts) + "]"
            return f"[{', '.join(texts)}]"
    raise DescriptionError(
        f"found the value {shown(value)}. Accepted: a number, a text, true or false, or a list of "
        "these. Write it as the file would have it."
    )


def _written_otherwise() -> DescriptionError:
    return DescriptionError(
        "found a text in a form that this step cannot edit. Accepted: a table of its own for each "
        "part, as in [[element]]. Make the change in the text itself."
    )
