"""Setting and marking classes of growing size: growth, and memory. Times are of the processor.

    .venv/bin/python -m tests.benchmarks.worksheets

Wanted: time grows with the number of trainees, memory stays flat, 200 files a second are marked.
"""

from __future__ import annotations

import resource
import tempfile
import time
from pathlib import Path

from lessonlib import mark_worksheet, set_worksheet
from lessonlib.questions.bank import templates
from tests.worksheets.a_class import hands_in, right, slip

SIZES = (100, 1000, 5000)
EXERCISES = 20


def run(folder: Path, size: int) -> None:
    """Set and mark a class of that size, and print what it took."""
    names = [each.name for each in templates()][:EXERCISES]
    began = time.process_time()
    of = set_worksheet(names, [f"Trainee {n}" for n in range(size)], folder, seed=5)
    was_set = time.process_time() - began
    for one in of.trainees:
        wrong = [(name, slip(name, 0, one)[0]) for name in names[:5]]
        hands_in(of, one, [*wrong, *((name, right(name, one)) for name in names)])
    began = time.process_time()
    marks = mark_worksheet(folder)
    marked = time.process_time() - began
    assert len(marks.sheets) == size
    most_MB = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{size} trainees x {len(names)}: set {was_set:.1f} s, {size / was_set:.0f} a second; "
        f"marked {marked:.1f} s, {size / marked:.0f} files a second; {most_MB:.0f} MB at most"
    )


if __name__ == "__main__":
    for number in SIZES:
        with tempfile.TemporaryDirectory() as place:
            run(Path(place) / "class", number)
