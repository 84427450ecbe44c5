"""`hand_in`: a button that writes a trainee's answers into one file beside the notebook."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, dataclass
from html import escape
from pathlib import Path
from typing import Any

from lessonlib.files import put
from lessonlib.progress.progress import progress_here
from lessonlib.progress.records import Predicted
from lessonlib.words import counted

FORMAT, VERSION = "heater-workbook-answers", 1
NONE_YET = (
    "Nothing to hand in yet: no answer to this worksheet was checked. Fill in an answer and press "
    "Check, then press this button. Answers to new numbers are practice and do not count."
)


def file_name(code: str, trainee: str) -> str:
    """The name of the file with the answers: "answers Ada Long 1a2b3c4d.json"."""
    words = re.sub(r"[^\w\- ]+", "", trainee).strip()[:60] or "trainee"
    return f"answers {words} {code}.json"


@dataclass(frozen=True)
class HandIn:
    """The answers of `trainee`, checked with the numbers of that set, for the worksheet `code`."""

    code: str
    trainee: str
    numbers: int

    def write(self) -> str:
        """Write the file into this folder; says what was done, or why it was not."""
        progress = progress_here()
        tries = [asdict(one) for one in progress.tries() if one.seed == self.numbers]
        if not tries:
            return NONE_YET
        said = {
            "format": FORMAT,
            "version": VERSION,
            "worksheet": self.code,
            "trainee": self.trainee,
            "numbers": self.numbers,
            "tries": tries,
            "predictions": [
                asdict(one) for one in progress.records() if isinstance(one, Predicted)
            ],
        }
        name = file_name(self.code, self.trainee)
        try:
            put(Path(name), (json.dumps(said, indent=1, ensure_ascii=False) + "\n").encode())
        except OSError as problem:
            return (
                f"{name} cannot be written ({problem.strerror}). Make room, or save this notebook "
                "and give that to your instructor instead."
            )
        answered = len({one["exercise"] for one in tries})
        return (
            f"Written: {name}, beside this notebook, with your answers to "
            f"{counted(answered, 'exercise')}. Give it to your instructor. It also says what you "
            "predicted in the lessons."
        )

    def __repr__(self) -> str:
        return "A button to hand in. Without it: hand_in(...).write()"

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        from ipywidgets import HTML, Button, Layout, VBox

        from lessonlib.questions.chooser import CutOffLine

        button = Button(description="Hand in", layout=Layout(width="auto", min_height="2.75em"))
        said = HTML()

        def press(_: Any) -> None:
            said.value = f'<p role="status">{escape(self.write())}</p>'

        button.on_click(press)
        box = VBox([CutOffLine(), button, said], _dom_classes=["hck-list"])
        return box._repr_mimebundle_(**kwargs) | {"text/plain": repr(self)}


def hand_in(code: str, trainee: str, numbers: int) -> HandIn:
    """The button at the end of a worksheet; `set_worksheet` writes this line."""
    return HandIn(code, trainee, numbers)
