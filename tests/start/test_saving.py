"""What the notebook server keeps when a notebook is saved."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from lessonlib.start.saving import before_saving

VIEW = "application/vnd.jupyter.widget-view+json"
STATE = "application/vnd.jupyter.widget-state+json"
PANEL, LAYOUT, SWITCH, LINK, FORM, GONE = (letter * 32 for letter in "abcdef")
STYLE = "IPY_MODEL_" + "0" * 32
DAY_ONE = {
    PANEL: {"state": {"children": [f"IPY_MODEL_{SWITCH}"], "layout": f"IPY_MODEL_{LAYOUT}"}},
    LAYOUT: {"state": {}},
    SWITCH: {"state": {"index": 1}},
    LINK: {"state": {"source": [f"IPY_MODEL_{SWITCH}", "index"]}},
    FORM: {"state": {"given": "5 A"}},
    GONE: {"state": {"of": "a cell run again", "layout": f"IPY_MODEL_{LAYOUT}", "style": STYLE}},
    "0" * 32: {"state": {}},
}
OF_THE_PANEL = {PANEL, LAYOUT, SWITCH, LINK}


def code(source: str = "", *shown: str, locked: bool = True) -> dict[str, Any]:
    return {
        "cell_type": "code",
        "source": source,
        "metadata": {"deletable": False} if locked else {},
        "outputs": [
            {"output_type": "display_data", "data": {VIEW: {"model_id": one}}} for one in shown
        ],
    }


def notebook(*cells: dict[str, Any], states: dict[str, Any] | None = None) -> dict[str, Any]:
    widgets = {} if states is None else {"widgets": {STATE: {"state": states}}}
    return {"cells": list(cells), "metadata": widgets}


def save(folder: Path, made: dict[str, Any], kind: str = "notebook") -> dict[str, Any]:
    """What would be written for `made`; it is written, too."""
    model = {"type": kind, "content": made}
    before_saving(
        model=model, path="in/lesson.ipynb", contents_manager=SimpleNamespace(root_dir=str(folder))
    )
    (folder / "in").mkdir(exist_ok=True)
    (folder / "in" / "lesson.ipynb").write_text(json.dumps(made), encoding="utf-8")
    return made


def saved(made: dict[str, Any]) -> dict[str, Any]:
    return made["metadata"]["widgets"][STATE]["state"]


def test_what_is_shown_stays_when_a_notebook_is_saved_in_which_nothing_was_run(
    tmp_path: Path,
) -> None:
    cells = code("panel(urn)", PANEL), code("exercise('x')", FORM)
    save(tmp_path, notebook(*cells, states=DAY_ONE))
    for _ in range(2):
        second = save(tmp_path, notebook(*cells, states={}))
        assert saved(second) == {one: DAY_ONE[one] for one in {*OF_THE_PANEL, FORM}}
        assert second["metadata"]["widgets"][STATE]["version_major"] == 2


def test_a_new_state_replaces_the_old_one_and_what_no_cell_shows_any_more_goes(
    tmp_path: Path,
) -> None:
    save(tmp_path, notebook(code("panel(urn)", PANEL), code("x", FORM), states=DAY_ONE))
    new = {FORM: {"state": {"given": "7 A"}}}
    assert saved(save(tmp_path, notebook(code("x", FORM), states=new))) == new


@pytest.mark.parametrize("file", [b"", b"[1]", b'{"metadata": {"widgets": 3}}', b"\xff", None])
def test_a_file_that_cannot_be_read_or_is_not_there_changes_nothing(
    tmp_path: Path, file: bytes | None
) -> None:
    if file is not None:
        (tmp_path / "in").mkdir()
        (tmp_path / "in" / "lesson.ipynb").write_bytes(file)
    made = save(tmp_path, notebook(code("x", FORM), states={FORM: DAY_ONE[FORM]}))
    assert saved(made) == {FORM: DAY_ONE[FORM]}
    assert save(tmp_path / "in", notebook(code("1"))) == notebook(code("1"))


def test_the_empty_cell_that_the_last_shift_enter_adds_to_a_lesson_is_not_saved(
    tmp_path: Path,
) -> None:
    lesson = notebook(code(""), code("1"))
    added = notebook(*lesson["cells"], code(locked=False), code(locked=False))
    assert save(tmp_path, added) == lesson


def test_cells_of_ones_own_stay_and_so_do_those_of_other_notebooks(tmp_path: Path) -> None:
    own = [code("1"), code(locked=False), code("2 + 2", locked=False)]
    assert save(tmp_path, notebook(*own))["cells"] == own
    other = [code("1", locked=False), code(locked=False)]
    assert save(tmp_path, notebook(*other))["cells"] == other
    assert save(tmp_path, {"cells": []}, kind="file") == {"cells": []}
