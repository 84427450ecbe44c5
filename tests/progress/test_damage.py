"""Whatever bytes the file of progress holds, and whatever lies in its place: nothing raises, what
can be read is kept, and what is not ours stays as it is."""

import json
import os
import random
import re
import sqlite3
import stat
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path

import pytest

from lessonlib.errors import ProgressError
from lessonlib.progress.progress import PLACE, Progress, progress_here
from lessonlib.progress.records import Predicted, Try
from lessonlib.progress.salvage import PAGE_BYTES
from lessonlib.progress.store import Store
from lessonlib.questions.view import with_note
from tests.questions.every_kind import CASES

SEED = 123_456
TEXT_FILE = "shopping list: six-litre tea urn, descaler\n"
KEYS = re.compile(r"\d\dZ([0-9a-f]{16})")  # of whole rows
IN_MEMORY = os.path.isdir("/dev/shm")


def record(progress, number):
    progress.record_try("power", number, verdict="wrong", answer=f"{number} W", lesson=1)


def seeds(path):
    return [one.seed for one in Progress(path).tries()]


def put_aside(path):
    return [each for each in path.parent.iterdir() if "-damaged-" in each.name]


@pytest.fixture(scope="module")
def sound():
    """The bytes of a small file: three tries and two predictions."""
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "progress.sqlite"
        tries = [Try("ohm", 2, "aim", n, "wrong", "halves", f"{n} W", False) for n in range(3)]
        predictions = [Predicted("first", "a half"), Predicted("second", "a quarter")]
        Store(path).add((*tries, *predictions), SEED, 1)
        return path.read_bytes()


@pytest.fixture
def path():
    """A place for the file, on a disk in memory if there is one: each write waits for its disk."""
    with tempfile.TemporaryDirectory(dir="/dev/shm" if IN_MEMORY else None) as name:
        yield Path(name) / "progress.sqlite"


# any byte


def used(data):
    """Where there is something other than filler, and every 127th place of that."""
    return [at for at in range(len(data)) if data[at] or at % 127 == 0 or at < 100]


@pytest.mark.parametrize(
    ("other", "every"),
    [(lambda byte: 0xFF, 1), (lambda byte: byte ^ 1, 5), (lambda byte: 0x00, 5)],
    ids=["all ones", "one bit", "no bit"],
)
def test_one_wrong_byte_anywhere_raises_nothing_and_costs_its_own_record_at_most(
    sound, path, other, every
):
    for at in used(sound)[::every]:
        broken = sound[:at] + bytes([other(sound[at])]) + sound[at + 1 :]
        path.write_bytes(broken)
        progress = Progress(path)
        record(progress, 99)
        kept = json.loads(progress.to_json())
        assert progress.note == "" or "was damaged" in progress.note, (at, progress.note)
        assert kept["tries"][-1]["seed"] == 99, at
        assert kept["trainee_seed"] in range(2**63), at
        lost = 3 + 2 + 1 - len(kept["tries"]) - len(kept["predictions"])
        row_page = at >= PAGE_BYTES and sound[at - at % PAGE_BYTES] == 0x0D
        assert lost <= row_page, (at, lost, progress.note)
        assert progress.note or not lost, at
        again = Progress(path)
        assert (again.to_json(), again.note) == (progress.to_json(), ""), at
        assert bool(put_aside(path)) == bool(progress.note), at
        for each in put_aside(path):
            each.unlink()


def test_a_schema_that_breaks_sqlites_own_message_stops_no_lesson(sound, path):
    at = sound.index(b"CREATE TABLE trainee") + 87
    path.write_bytes(sound[:at] + b"\xff" + sound[at + 1 :])
    progress = Progress(path)
    assert progress.trainee_seed == SEED
    assert (len(progress.tries()), progress.prediction("second")) == (3, "a quarter")
    assert progress.note.startswith("progress.sqlite was damaged. It is kept as ")


def test_a_table_that_would_keep_texts_as_numbers_is_put_aside(sound, path):
    path.write_bytes(sound.replace(b"answer TEXT", b"answer REAL"))
    progress = Progress(path)
    progress.record_try("ohm", 99, verdict="wrong", answer="5", lesson=2)
    assert "was damaged" in progress.note
    assert [one.answer for one in Progress(path).tries()] == ["0 W", "1 W", "2 W", "5"]


def test_a_seed_in_the_file_that_is_no_number_is_replaced(sound, path):
    path.write_bytes(sound)
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("UPDATE trainee SET seed = 'Anna'")
    progress = Progress(path)
    assert 100_000 <= progress.trainee_seed < 1_000_000
    assert len(progress.tries()) == 3
    assert Progress(path).trainee_seed == progress.trainee_seed


def test_what_was_put_aside_is_said_beside_one_reply_and_stays_in_the_note(
    sound, path, monkeypatch
):
    path.write_bytes(sound[:-29])
    monkeypatch.setenv(PLACE, str(path))
    progress_here.cache_clear()
    first, second = (CASES["number"].task() for _ in range(2))
    first.try_answer("100 W")
    told = with_note("Right.")
    assert told.startswith("Right.\nprogress.sqlite was damaged. It is kept as")
    second.try_answer("100 W")
    assert with_note("Right.") == "Right."
    assert f"Right.\n{progress_here().note}" == told


def test_the_journal_of_a_damaged_file_is_never_played_into_the_new_one(sound, path):
    journal = path.with_name(f"{path.name}-journal")
    path.write_bytes(sound)
    with closing(sqlite3.connect(path, isolation_level=None)) as writer:
        writer.execute("PRAGMA cache_size = 1")  # so that it is written before the commit
        writer.execute("BEGIN")
        for number in range(300):
            writer.execute("UPDATE try SET answer = ?", ("x" * number,))
            writer.execute("INSERT INTO prediction VALUES (NULL, 'n', 'c', '', ?)", (str(number),))
        hot, written = journal.read_bytes(), path.read_bytes()
    path.write_bytes(written[:18] + b"\xff" + written[19:])
    journal.write_bytes(hot)
    progress = Progress(path)
    record(progress, 99)
    assert "was damaged" in progress.note
    assert seeds(path) == [0, 1, 2, 99]
    assert not journal.exists()
    assert hot in [each.read_bytes() for each in put_aside(path)]


# a shorter file


@pytest.mark.parametrize("missing", [1, 29, 126, 4000, 4096, 4097, 12_000])
def test_a_file_that_lost_its_end_says_so_and_keeps_what_is_left(sound, path, missing):
    cut = sound[:-missing]
    path.write_bytes(cut)
    progress = Progress(path)
    record(progress, 99)
    assert "was damaged" in progress.note
    assert [each.read_bytes() for each in put_aside(path)] == [cut]
    found = json.loads(Progress(path).to_json())
    kept = [each["key"] for each in (*found["tries"], *found["predictions"])]
    whole = [key for key in KEYS.findall(sound.decode("latin-1")) if key in cut.decode("latin-1")]
    assert set(whole) <= set(kept)
    assert found["tries"][-1]["seed"] == 99


def test_rows_at_the_end_of_a_page_that_is_cut_off_are_lost_and_the_others_kept(path):
    tries = tuple(Try("ohm", 2, "aim", n, "wrong", None, "5 A", False) for n in range(5))
    Store(path).add(tries, SEED, 1)
    whole = path.read_bytes()
    page = next(
        at
        for at in range(PAGE_BYTES, len(whole), PAGE_BYTES)
        if tries[0].key.encode() in whole[at : at + PAGE_BYTES] and whole[at] == 0x0D
    )
    path.write_bytes(whole[: page + PAGE_BYTES - 29])  # the first row lies last on its page
    progress = Progress(path)
    assert [one.seed for one in progress.tries()] == [1, 2, 3, 4]
    assert progress.note.endswith("what could be read: 4 records.")


@pytest.mark.parametrize("size", [1, 15, 60, 71, 100, 4095])
def test_the_first_bytes_of_a_file_alone_are_put_aside_and_it_is_said(sound, path, size):
    path.write_bytes(sound[:size])
    progress = Progress(path)
    record(progress, 1)
    assert "progress.sqlite was damaged. It is kept as" in progress.note
    assert [each.read_bytes() for each in put_aside(path)] == [sound[:size]]
    assert seeds(path) == [1]


def test_a_record_that_no_file_can_hold_keeps_no_later_one_waiting(path):
    progress = Progress(path)
    for seed in (2**63, -1, [1], "Anna", 1.5, None, float("nan"), 10**5000):
        progress.record_try("ohm", seed, verdict="wrong", answer=10**5000, lesson=seed)
    progress.record_try(["ohm"], 5, verdict="wrong", answer=b"5 A", lesson=2, slip=7, objective={})
    progress.record_prediction(None, object)
    record(progress, 99)
    assert progress.note == ""
    assert seeds(path) == [0] * 8 + [5, 99]
    assert [one.exercise for one in Progress(path).tries()][-2:] == ["['ohm']", "power"]


# what is not ours


def contents(folder):
    return {each.name: each.read_bytes() if each.is_file() else None for each in folder.iterdir()}


@pytest.fixture
def other_database(tmp_path):
    """The bytes of another program's database, with a table of the same name."""
    path = tmp_path / "other"
    with closing(sqlite3.connect(path)) as database, database:
        database.execute("CREATE TABLE try (id INTEGER PRIMARY KEY, seed INTEGER, began_utc TEXT)")
        database.execute("INSERT INTO try VALUES (1, 5, '2026-11-25T09:30:00Z')")
    return path.read_bytes()


@pytest.mark.parametrize("name", ["progress.sqlite", "notes.txt"])
@pytest.mark.parametrize(
    "what", ["text", "one letter", "a beginning", "database", "part of a database", "picture"]
)
def test_what_is_not_ours_stays_as_it_is_and_progress_is_kept_in_memory(
    path, other_database, name, what
):
    place = path.with_name(name)
    data = {
        "text": TEXT_FILE.encode(),
        "one letter": b"x",
        "a beginning": b"SQLite format 3\x00",
        "database": other_database,
        "part of a database": other_database[:5000],
        "picture": b"\x89PNG\r\n\x1a\n" + random.Random(3).randbytes(70_000),
    }[what]
    place.write_bytes(data)
    before = contents(place.parent)
    progress = Progress(place)
    record(progress, 1)
    if name == "progress.sqlite" and what in ("a beginning", "picture"):  # ours by its name
        assert [each.read_bytes() for each in put_aside(place)] == [data]
        assert seeds(place) == [1]
        return
    assert contents(place.parent) == before
    assert f"{place} holds something that is not your progress, so it is left" in progress.note
    assert "What you do is remembered until this notebook stops" in progress.note
    assert ([one.seed for one in progress.tries()], progress.trainee_seed) == ([1], 1)


def test_once_that_file_is_moved_away_what_was_remembered_is_written(path):
    place = path.with_name("notes.txt")
    place.write_text(TEXT_FILE)
    progress = Progress(place)
    record(progress, 1)
    place.rename(path.with_name("moved.txt"))
    record(progress, 2)
    assert (progress.note, seeds(place)) == ("", [1, 2])
    assert path.with_name("moved.txt").read_text() == TEXT_FILE


@pytest.mark.parametrize("wrong", ["program", "first page"])
def test_a_damaged_file_of_ours_is_known_by_its_contents_under_any_name(sound, path, wrong):
    place = path.with_name("anna.db")
    place.write_bytes(
        sound[:68] + b"\xff" + sound[69:]
        if wrong == "program"
        else random.Random(3).randbytes(PAGE_BYTES) + sound[PAGE_BYTES:]
    )
    progress = Progress(place)
    record(progress, 99)
    assert "anna.db was damaged. It is kept as anna-damaged-" in progress.note
    assert (seeds(place), Progress(place).trainee_seed) == ([0, 1, 2, 99], SEED)


def test_a_file_of_ours_without_any_record_is_known_too(path):
    place = path.with_name("anna.db")
    Store(place).add((), SEED, 1)
    begun = place.read_bytes()
    place.write_bytes(begun[:68] + b"\xff" + begun[69:])
    assert Progress(place).trainee_seed == SEED
    assert len(put_aside(place)) == 1


# places where no file can be

USE = """
import json, sys
from lessonlib import exercise, my_progress, predict
from lessonlib.progress.progress import progress_here
task = exercise("urn-on-low-mains")
task.try_answer("5 A")
predict("half-voltage").choose(1)
repr(my_progress())
print(json.dumps([len(progress_here().tries()), progress_here().note]))
"""


def used_by_a_lesson(folder, place):
    """What a lesson counts and says with its progress there; an error if it waits for anything."""
    done = subprocess.run(
        [sys.executable, "-c", USE],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=60,
        env={
            **os.environ,
            PLACE: place,
            "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
        },
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


PLACES = {
    "~nosuchuser/p": "The folder {here}/~nosuchuser is not there. Put it back, or make it.",
    "/": "There is a folder in the place of the file /, and it is left as it is.",
    ".": "There is a folder in the place of the file {here}, and it is left as it is.",
    "n" * 300: "n… has 300 bytes, and 220 are possible. Choose a shorter one",
    "d/" * 300 + "p": "d/d/",
    "/dev/null": "There is a device in the place of the file /dev/null, and it is left as it is.",
    "/proc/p": "p cannot be written in /proc. Allow writing to that folder and file.",
    "missing/p": "The folder {here}/missing is not there. Put it back, or make it.",
    "text/p": "The folder {here}/text is not there.",
    "pipe": "There is a pipe in the place of the file {here}/pipe, and it is left as it is.",
    "round": "round cannot be used",
    "locked": "There is a pipe in the place of the file {here}/.locked.lock, and it is left",
    "logged": "There is a pipe in the place of the file {here}/logged-journal, and it is left",
    os.fsdecode(b"missing/\xff\n"): "The folder {here}/missing is not there.",
}


@pytest.mark.parametrize("place", PLACES, ids=lambda place: repr(place[:20]))
def test_a_place_where_no_file_can_be_is_said_and_the_lesson_goes_on(path, place):
    here = path.parent
    (here / "text").write_text(TEXT_FILE)
    os.symlink("round", here / "round")
    for name in ("pipe", ".locked.lock", "logged-journal"):
        os.mkfifo(here / name)
    before = sorted(each.name for each in here.iterdir())
    count, note = used_by_a_lesson(here, place)
    assert count == 1
    assert note.startswith("Your progress is not being kept. ")
    assert PLACES[place].format(here=here) in note
    assert "What you do is remembered until this notebook stops (so far 2 records)" in note
    assert note.encode("utf-8")
    assert sorted(each.name for each in here.iterdir()) == before
    assert stat.S_ISFIFO((here / "pipe").stat().st_mode)


def test_a_current_folder_that_is_gone_and_a_relative_name_stop_nothing(tmp_path, monkeypatch):
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    monkeypatch.setenv(PLACE, "p.sqlite")
    progress_here.cache_clear()
    record(progress_here(), 1)
    assert "p.sqlite cannot be written in" in progress_here().note
    assert len(progress_here().tries()) == 1


def test_a_marking_file_that_may_not_be_looked_at_marks_no_folder(tmp_path, monkeypatch):
    def closed(*args, **options):
        raise PermissionError(13, "Permission denied")

    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv(PLACE, raising=False)
    progress_here.cache_clear()
    with monkeypatch.context() as shut:
        shut.setattr(os, "stat", closed)
        assert progress_here().path is None


@pytest.mark.parametrize("what", ["pipe", "folder", "text", "n" * 300, "a\x00b", 5, None])
def test_an_export_goes_to_a_new_file_or_over_an_export_and_never_waits(path, what):
    here = path.parent
    (here / "text").write_text(TEXT_FILE)
    (here / "folder").mkdir()
    os.mkfifo(here / "pipe")
    before = sorted(each.name for each in here.iterdir())
    with pytest.raises(ProgressError, match=r"found .* Accepted: .* Choose another"):
        Progress().export_json(here / what if isinstance(what, str) else what)
    assert sorted(each.name for each in here.iterdir()) == before
    assert (here / "text").read_text() == TEXT_FILE
