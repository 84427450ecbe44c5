"""Whatever bytes the file of progress holds, and whatever lies in its place: nothing raises, what
can be read is kept, and what is not ours stays as it is."""

import os
import random
import re
import stat
import subprocess
import sys

import pytest

from lessonlib.progress.progress import PLACE, Progress, progress_here
from lessonlib.questions.view import with_note
from tests.progress.conftest import SEED, TRIES
from tests.progress.test_store import CHILDREN, put_aside, record, seeds
from tests.questions.every_kind import CASES

BLOCK = 4096
ROWS_A_BLOCK = 20  # no block holds more of the lines of `filled`, whole or in part
TEXT_FILE = "shopping list: six-litre tea urn, descaler\n"


# what is damaged


def overwritten(data, at):
    return data[:at] + random.Random(4).randbytes(BLOCK) + data[at + BLOCK :]


@pytest.mark.parametrize(
    ("damage", "readable"),
    [
        (lambda data: data[: len(data) // 2 - 77], TRIES / 5),
        (lambda data: data[:60], 0),
        (lambda data: b"", 0),
        (lambda data: data[:20] + b"?" + data[21:], TRIES),
        (lambda data: overwritten(data, 0), TRIES - ROWS_A_BLOCK),
        (lambda data: overwritten(data, 3 * BLOCK), TRIES - ROWS_A_BLOCK),
        (lambda data: data[: 2 * BLOCK] + data[3 * BLOCK :], TRIES - ROWS_A_BLOCK),
    ],
    ids=[
        *("cut off", "a beginning", "empty", "first line wrong"),
        *("first block lost", "a block lost", "a block missing"),
    ],
)
def test_a_damaged_file_is_kept_aside_and_what_can_be_read_is_carried_over(
    filled, damage, readable
):
    broken = damage(filled.read_bytes())
    filled.write_bytes(broken)
    progress = Progress(filled)
    first = progress.prediction("first")  # damage is noticed on reading too
    assert first is None or first.choice == "a half"
    (aside,) = put_aside(filled)
    assert aside.read_bytes() == broken
    assert f"progress.jsonl was damaged. It is kept as {aside.name}" in progress.note
    carried = int(re.search(r"could be read: (\d+) record", progress.note)[1])
    record(progress, TRIES)
    found = seeds(filled)
    assert found == sorted(found)
    assert found[-1] == TRIES
    assert readable <= len(found) - 1 <= carried
    assert Progress(filled).note == ""
    if readable == TRIES:
        assert Progress(filled).trainee_seed == SEED


@pytest.mark.parametrize(
    ("other", "every"),
    [(lambda byte: 0xFF, 7), (lambda byte: byte ^ 1, 13)],
    ids=["all ones", "one bit"],
)
def test_one_wrong_byte_anywhere_raises_nothing_and_costs_its_own_record_at_most(
    few, path, other, every
):
    used = [at for at in range(len(few)) if few[at] or at % 127 == 0 or at < 100]
    for at in used[::every]:
        path.write_bytes(few[:at] + bytes([other(few[at])]) + few[at + 1 :])
        progress = Progress(path)
        record(progress, 99)
        assert 0 <= progress.trainee_seed < 2**63, at
        kept = progress.records()
        assert progress.note == "" or "was damaged" in progress.note, (at, progress.note)
        assert kept[-1].seed == 99, at
        lost = 3 + 2 + 1 - len(kept)
        assert lost <= (at > few.index(b"\n")), (at, lost, progress.note)
        assert progress.note or not lost, at
        again = Progress(path)
        assert (again.records(), again.note) == (kept, ""), at
        assert bool(put_aside(path)) == bool(progress.note), at
        for each in put_aside(path):
            each.unlink()


@pytest.mark.parametrize("missing", [1, 126, 800])
def test_a_file_that_lost_its_end_says_so_and_keeps_what_is_left(few, path, missing):
    cut = few[:-missing]
    path.write_bytes(cut)
    progress = Progress(path)
    record(progress, 99)
    assert "was damaged" in progress.note
    assert [each.read_bytes() for each in put_aside(path)] == [cut]
    whole = re.findall(rb'\{"key": "([0-9a-f]{16})"[^}]*\}', cut)
    *kept, new = Progress(path).records()
    assert {each.key.encode() for each in kept} == set(whole)
    assert new.seed == 99


def test_what_was_put_aside_is_said_beside_one_reply_and_stays_in_the_note(few, path, monkeypatch):
    path.write_bytes(few[:-29])
    monkeypatch.setenv(PLACE, str(path))
    progress_here.cache_clear()
    CASES["number"].task().try_answer("100 W")
    told = with_note("Right.")
    assert told.startswith("Right.\nprogress.jsonl was damaged. It is kept as")
    CASES["number"].task().try_answer("100 W")
    assert with_note("Right.") == "Right."
    assert f"Right.\n{progress_here().note}" == told


# what is not ours


def contents(folder):
    return {each.name: each.read_bytes() if each.is_file() else None for each in folder.iterdir()}


@pytest.mark.parametrize("name", ["progress.jsonl", "notes.txt"])
@pytest.mark.parametrize(
    "data",
    [TEXT_FILE.encode(), b"x", b"SQLite format 3\x00", random.Random(3).randbytes(70_000)],
    ids=["text", "one letter", "a beginning", "noise"],
)
def test_what_is_not_ours_stays_as_it_is_and_progress_is_kept_in_memory(path, name, data):
    place = path.with_name(name)
    place.write_bytes(data)
    progress = Progress(place)
    record(progress, 1)
    assert contents(place.parent) == {name: data}
    assert f"{place} holds something that is not your progress, so it is left" in progress.note
    assert "What you do is remembered until this notebook stops" in progress.note
    assert ([one.seed for one in progress.tries()], progress.trainee_seed) == ([1], 1)
    place.rename(place.with_name("moved"))
    record(progress, 2)
    assert (progress.note, seeds(place)) == ("", [1, 2])
    assert place.with_name("moved").read_bytes() == data


@pytest.mark.parametrize("wrong", ["a byte", "first line"])
def test_a_damaged_file_of_ours_is_known_by_its_contents_under_any_name(few, path, wrong):
    place = path.with_name("anna.db")
    first, rest = few.split(b"\n", 1)
    place.write_bytes((first[:-1] + b"?" if wrong == "a byte" else b"noise") + b"\n" + rest)
    progress = Progress(place)
    record(progress, 99)
    assert "anna.db was damaged. It is kept as anna-damaged-" in progress.note
    assert (seeds(place), Progress(place).trainee_seed) == ([0, 1, 2, 99], SEED)


# places where no file can be

PLACES = {
    "~nosuchuser/p": "The folder {here}/~nosuchuser is not there. Put it back, or make it.",
    "/": "/ is a folder, not a file, so it is left as it is. Move it, or choose another place",
    ".": "{here} is a folder, not a file, so it is left as it is.",
    "n" * 300: "cannot be used ([Errno 36] File name too long",
    "/dev/null": "/dev/null is a pipe or a device, not a file, so it is left as it is.",
    "/proc/p": "p cannot be written in /proc. Allow writing to that folder and file.",
    "missing/p": "The folder {here}/missing is not there. Put it back, or make it.",
    "text/p": "The folder {here}/text is not there.",
    "pipe": "{here}/pipe is a pipe or a device, not a file, so it is left as it is.",
    os.fsdecode(b"missing/\xff\n"): "The folder {here}/missing is not there.",
}


def test_a_place_where_no_file_can_be_is_said_and_the_lesson_goes_on(path):
    here = path.parent
    (here / "text").write_text(TEXT_FILE)
    os.mkfifo(here / "pipe")
    before = sorted(each.name for each in here.iterdir())
    done = subprocess.run(
        [sys.executable, CHILDREN, "in_each_place", here],
        input="\0".join(PLACES).encode("utf-8", "surrogateescape"),
        capture_output=True,
        timeout=60,  # the error if it waits for anything
        env={
            **os.environ,
            "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
            "PYTHONIOENCODING": "utf-8:surrogateescape",
        },
    )
    assert done.returncode == 0, done.stderr
    said = done.stdout.decode("utf-8").splitlines()
    for line, words in zip(said, PLACES.values(), strict=True):
        assert line.startswith("1 Your progress is not being kept. ")
        assert words.format(here=here) in line
        assert "What you do is remembered until this notebook stops (so far 2 records)" in line
    assert sorted(each.name for each in here.iterdir()) == before
    assert stat.S_ISFIFO((here / "pipe").stat().st_mode)
