"""Writes what can be printed beside the notebook, and loses nothing that was there."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable
from pathlib import Path

from lessonlib.files import put_keeping
from lessonlib.words import listed


def write_papers(
    written: Callable[[str], bytes], stem: str, ours: dict[Path, bytes]
) -> tuple[str, list[dict[str, str]]]:
    """Write what is `written` with the suffix of a PDF and of a web page under the name `stem`.
    Returns what there is to say, and the files for the form's links.

    What else a file held is kept beside it as NAME earlier, unless `ours`, which has what was
    written here last, says the same.
    """
    copies = []
    targets = [Path(f"{stem}{suffix}") for suffix in (".pdf", ".html")]
    for path in targets:
        data = written(path.suffix)
        copies.append(put_keeping(path, data, ours.get(path)))
        ours[path] = data
    kept = [copy.name for copy in copies if copy is not None]
    said = f"Written beside this notebook: {listed([path.name for path in targets])}."
    if kept:
        said += f" What was there before is kept: {listed(kept)}."
    return said, [{"name": path.name, "data": b64encode(ours[path]).decode()} for path in targets]
