"""What the notebook server does before it writes a notebook: pictures and forms stay, and an empty
cell below a lesson goes.

JupyterLab saves the state of those widgets only that have a kernel behind them. On the next day
none has, so the first save would drop them all, though nobody did anything but look. So the states
that are not among the new ones are taken over from the file, as long as a cell still shows them.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

_VIEW = "application/vnd.jupyter.widget-view+json"
_STATE = "application/vnd.jupyter.widget-state+json"
_MENTION = re.compile(r'"(?:IPY_MODEL_)?([0-9a-f]{32}|[0-9a-f-]{36})"')


def before_saving(model: dict[str, Any], path: str, contents_manager: Any, **more: Any) -> None:
    """The hook of the server: `model` is what is saved at `path`, and may be changed."""
    notebook = model.get("content")
    if model.get("type") != "notebook" or not isinstance(notebook, dict):
        return
    drop_empty_cell(notebook)
    keep_shown(notebook, _states(_read(Path(contents_manager.root_dir) / path.strip("/"))))


def drop_empty_cell(notebook: dict[str, Any]) -> None:
    """Take out the empty cells below a lesson, which Shift+Enter on its last cell adds. The cells
    of a lesson are locked, so none of them is meant."""
    cells = notebook["cells"]
    if not any(_locked(cell) for cell in cells):
        return
    while not (_locked(cells[-1]) or cells[-1]["source"] or cells[-1].get("outputs")):
        cells.pop()


def keep_shown(notebook: dict[str, Any], earlier: dict[str, Any]) -> None:
    """Give `notebook` the state of each widget that it shows, from `earlier` where it has none of
    its own, and of no other widget."""
    known = {**earlier, **_states(notebook)}
    shown = _connected(_shown(notebook), known)
    if known:
        state = {one: saved for one, saved in known.items() if one in shown}
        saved = {"version_major": 2, "version_minor": 0, "state": state}
        notebook["metadata"].setdefault("widgets", {})[_STATE] = saved


def _locked(cell: dict[str, Any]) -> bool:
    return cell.get("metadata", {}).get("deletable") is False


def _shown(notebook: dict[str, Any]) -> set[str]:
    """The widgets that cells show."""
    outputs = [output for cell in notebook["cells"] for output in cell.get("outputs", [])]
    views = [output.get("data", {}).get(_VIEW) for output in outputs]
    return {view["model_id"] for view in views if isinstance(view, dict) and "model_id" in view}


def _connected(start: set[str], states: dict[str, Any]) -> set[str]:
    """`start`, with all that a widget there mentions, its parts and its layout, and with the links
    between these, which mention nothing else."""
    mentions = {
        one: {other for other in _MENTION.findall(json.dumps(state)) if other in states}
        for one, state in states.items()
    }
    found, new = set(start), set(start)
    while new:
        new = {other for one in new for other in mentions.get(one, ())} - found
        found |= new
    return found | {one for one, others in mentions.items() if others and others <= found}


def _states(notebook: Any) -> dict[str, Any]:
    """The saved states of a notebook's widgets; empty where there are none, or no notebook."""
    for key in ("metadata", "widgets", _STATE, "state"):
        notebook = notebook.get(key) if isinstance(notebook, dict) else None
    return notebook if isinstance(notebook, dict) else {}


def _read(file: Path) -> Any:
    """What the file holds now; None where there is none, or none that can be read."""
    try:
        return json.loads(file.read_bytes())
    except (OSError, ValueError, RecursionError):
        return None
