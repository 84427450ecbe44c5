"""Whatever happens to the file or its folder, nothing recorded is lost and the lesson goes on."""

import os
import random
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path

import pytest

from lessonlib.progress import progress as progress_module
from lessonlib.progress import store as store_module
from lessonlib.progress.place import APPLICATION_ID, SCHEMA_VERSION
from lessonlib.progress.progress import Progress
from lessonlib.progress.records import Kept, Predicted, Try
from lessonlib.progress.salvage import PAGE_BYTES, rows, salvaged
from lessonlib.progress.store import Store

CHILDREN = Path(__file__).with_name("children.py")
TRIES = 300
ROWS_A_PAGE = 40  # no page holds more of these rows: each has over 100 bytes


def child(what, path):
    """Start one of the child processes; its current folder finds the library as this one does."""
    return subprocess.Popen(
        [sys.executable, CHILDREN, what, path],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )


def said_by(what, path):
    running = child(what, path)
    said, wrong = running.communicate()
    assert running.returncode == 0, wrong
    return said.splitlines()


def record(progress, number):
    progress.record_try(
        f"power {number % 9}", number, verdict="wrong", answer=f"{number} W" * 9, lesson=1
    )


@pytest.fixture
def path(tmp_path):
    return tmp_path / "progress.sqlite"


@pytest.fixture
def filled(path):
    made = [
        Try(f"power {number % 9}", 1, "", number, "wrong", None, f"{number} W" * 9, False)
        for number in range(TRIES)
    ]
    Store(path).add((*made, Predicted("first", "a half")), 123_456, 1)
    return path


def seeds(path):
    return [one.seed for one in Progress(path).tries()]


def put_aside(path):
    return [each for each in path.parent.iterdir() if "-damaged-" in each.name]


# the file


def test_the_file_names_its_program_and_version_and_has_a_rollback_journal(filled):
    with closing(sqlite3.connect(filled)) as database:
        values = [
            database.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("application_id", "user_version", "journal_mode", "page_size")
        ]
    assert values == [APPLICATION_ID, SCHEMA_VERSION, "delete", PAGE_BYTES]


def test_a_record_is_on_the_disk_when_recording_returns(path, monkeypatch):
    said = []
    connect = sqlite3.connect

    def traced(*args, **options):
        database = connect(*args, **options)
        database.set_trace_callback(said.append)
        return database

    monkeypatch.setattr(sqlite3, "connect", traced)
    record(Progress(path), 1)
    assert said.index("PRAGMA synchronous = FULL") < said.index("BEGIN IMMEDIATE")
    assert said.count("COMMIT") == 1


def test_a_file_that_a_tool_gave_a_write_ahead_log_gets_its_journal_back(filled):
    with closing(sqlite3.connect(filled)) as database:
        database.execute("PRAGMA journal_mode = WAL")
    record(Progress(filled), TRIES)
    with closing(sqlite3.connect(filled)) as database:
        assert database.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    assert seeds(filled) == [*range(TRIES + 1)]


def test_a_record_written_twice_after_an_unclear_answer_counts_once(path):
    record_twice = Predicted("first", "a half")
    store = Store(path)
    for _ in range(2):
        store.add((record_twice,), 5, 1)
    assert store.read(6, 1) == Kept(5, (), (record_twice,))


# killed, or two at once


def test_200_kills_while_writing_lose_nothing_that_was_recorded(path):
    cut_off, recorded = map(int, said_by("killed_while_writing", path)[0].split())
    # more than a tenth of the kills left a journal, so came in the middle of a transaction
    assert cut_off > 20
    assert recorded > 50


def test_kills_while_a_damaged_file_is_put_aside_lose_nothing_that_can_be_read(path):
    unfinished, readable = map(int, said_by("killed_while_mending", path)[0].split())
    assert unfinished > 5
    assert readable > 150


def test_two_notebooks_at_once_both_get_every_record_in(path):
    running = [child("writing", path) for _ in range(2)]
    said = [each.communicate() for each in running]
    assert said == [("\n", "")] * 2
    assert sorted(seeds(path)) == sorted([*range(100)] * 2)


def test_two_notebooks_that_find_a_damaged_file_put_it_aside_once(filled):
    filled.write_bytes(damaged("cut off", filled.read_bytes()))
    running = [child("writing", filled) for _ in range(2)]
    said = [each.communicate() for each in running]
    assert sum("was damaged" in one for one, _ in said) == 1
    assert len(put_aside(filled)) == 1
    assert len(seeds(filled)) > 200


def test_a_damaged_file_stays_in_place_while_another_notebook_is_at_work(filled, monkeypatch):
    monkeypatch.setattr(progress_module, "_PATIENCE_S", 0.05)
    broken = damaged("cut off", filled.read_bytes())
    filled.write_bytes(broken)
    progress = Progress(filled)
    with closing(sqlite3.connect(filled.with_name(f".{filled.name}.lock"))) as other:
        other.execute("BEGIN EXCLUSIVE")
        record(progress, TRIES)
        assert filled.read_bytes() == broken
        assert put_aside(filled) == []
    record(progress, TRIES)
    assert [each.read_bytes() for each in put_aside(filled)] == [broken]


def test_a_notebook_that_holds_the_file_too_long_is_not_waited_for_again(filled, monkeypatch):
    waited, add = [], Store.add
    monkeypatch.setattr(Store, "add", lambda *args: waited.append(args[-1]) or add(*args))
    monkeypatch.setattr(progress_module, "_PATIENCE_S", 0.3)
    progress = Progress(filled)
    with closing(sqlite3.connect(filled, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        for number in range(3):
            record(progress, number)
    record(progress, 3)
    record(progress, 4)
    assert waited == [0.3, 0.1, 0.1, 0.1, 0.3]


def test_what_cannot_be_written_while_another_notebook_writes_is_written_later(filled, monkeypatch):
    monkeypatch.setattr(progress_module, "_PATIENCE_S", 0.05)
    progress = Progress(filled)
    with closing(sqlite3.connect(filled, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        record(progress, TRIES)
        assert "Another notebook holds progress.sqlite" in progress.note
        assert "so far 1 record" in progress.note
    record(progress, TRIES + 1)
    assert progress.note == ""
    assert seeds(filled) == [*range(TRIES + 2)]


# no room, no rights, no folder


def test_on_a_full_disk_records_wait_and_are_written_once_there_is_room(path):
    note, counts, after = said_by("on_a_full_disk", path)
    assert "is full, or has a fault. Free some space" in note
    assert "so far 2 records" in note
    recorded, seen, written = map(int, counts.split())
    assert seen == recorded
    assert written == recorded - 2
    assert after == f"'' {recorded + 1}"


def test_a_read_only_folder_can_be_read_and_what_is_new_stays_in_memory():
    # not tmp_path: its parents are closed to the user without rights that the child becomes
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "progress.sqlite"
        progress = Progress(path)
        record(progress, 0)
        path.with_name(f".{path.name}.lock").unlink()
        before = path.read_bytes()
        path.chmod(0o444)
        path.parent.chmod(0o555)
        try:
            note, counts = said_by("in_a_read_only_folder", path)
        finally:
            path.parent.chmod(0o755)
        assert f"cannot be written in {path.parent}" in note
        assert counts == f"1 2 {progress.trainee_seed}"
        assert path.read_bytes() == before


def test_a_folder_that_goes_away_is_named_and_gets_everything_when_it_is_back(filled):
    progress = Progress(filled)
    assert len(progress.tries()) == TRIES
    away = filled.parent.with_name("away")
    filled.parent.rename(away)
    record(progress, TRIES)
    assert f"The folder {filled.parent} is not there. Put it back" in progress.note
    assert len(progress.tries()) == TRIES + 1
    assert not filled.parent.exists()
    away.rename(filled.parent)
    record(progress, TRIES + 1)
    assert progress.note == ""
    assert seeds(filled) == [*range(TRIES + 2)]


def test_what_this_notebook_wrote_is_known_even_when_the_folder_is_gone(path):
    progress = Progress(path)
    record(progress, 1)
    shutil.rmtree(path.parent)
    assert [one.seed for one in progress.tries()] == [1]


def test_a_new_file_after_a_folder_was_emptied_keeps_the_trainees_seed(filled):
    progress = Progress(filled)
    seed = progress.trainee_seed
    shutil.rmtree(filled.parent)
    filled.parent.mkdir()
    record(progress, 1)
    assert Progress(filled).trainee_seed == seed


def test_what_could_not_even_be_begun_is_no_empty_file_later(path, monkeypatch):
    def no_room(*args):
        raise OSError(28, "No space left on device")

    progress = Progress(path)
    with monkeypatch.context() as full:
        full.setattr(store_module, "_is_begun", no_room)
        record(progress, 0)
    assert "is full" in progress.note
    assert not path.exists()
    record(progress, 1)
    assert (progress.note, seeds(path)) == ("", [0, 1])


def test_a_folder_in_the_place_of_the_file_is_left_alone(path):
    path.mkdir()
    progress = Progress(path)
    record(progress, 1)
    assert f"a folder in the place of the file {path}, and it is left" in progress.note
    assert (path.is_dir(), len(progress.tries()), progress.trainee_seed) == (True, 1, 1)


# a newer version, another program


def test_a_file_of_a_newer_version_is_never_written_to(filled):
    with closing(sqlite3.connect(filled)) as database:
        database.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 1}")
    before = filled.read_bytes()
    journal = filled.with_name(f"{filled.name}-journal")
    journal.write_bytes(b"left by a newer version")
    progress = Progress(filled)
    record(progress, 1)
    assert "written by a newer version of this workbook" in progress.note
    assert (len(progress.tries()), progress.trainee_seed) == (1, 1)
    assert filled.read_bytes() == before
    assert journal.read_bytes() == b"left by a newer version"
    assert put_aside(filled) == []


def test_the_database_of_another_program_is_never_written_to(path):
    with closing(sqlite3.connect(path)) as database:
        database.execute("CREATE TABLE bookings (hall TEXT)")
    before = path.read_bytes()
    progress = Progress(path)
    record(progress, 1)
    assert "progress.sqlite holds something that is not your progress" in progress.note
    assert path.read_bytes() == before
    assert len(progress.tries()) == 1


# damage


def no_links(*args, **options):
    """As on a file system without hard links."""
    raise PermissionError(1, "Operation not permitted")


def leaves(sound):
    """Where the pages that hold rows begin."""
    return [at for at in range(0, len(sound), PAGE_BYTES) if sound[at] == 0x0D]


def damaged(kind, sound):
    noise = random.Random(4).randbytes
    leaf = leaves(sound)[len(leaves(sound)) // 2]  # not the last, to which rows are added
    return {
        "random bytes": noise(len(sound)),
        "cut off": sound[: len(sound) // 2 - 77],
        "only a beginning": sound[:60],
        "first page overwritten": noise(PAGE_BYTES) + sound[PAGE_BYTES:],
        "first page zeroed": bytes(PAGE_BYTES) + sound[PAGE_BYTES:],
        "a row page overwritten": sound[:leaf] + noise(PAGE_BYTES) + sound[leaf + PAGE_BYTES :],
    }[kind]


@pytest.mark.parametrize(
    ("kind", "readable"),
    [
        ("random bytes", 0),
        ("cut off", TRIES / 5),
        ("only a beginning", 0),
        ("first page overwritten", TRIES),
        ("first page zeroed", TRIES),
        ("a row page overwritten", TRIES - ROWS_A_PAGE),
    ],
)
def test_a_damaged_file_is_kept_aside_and_what_can_be_read_is_carried_over(filled, kind, readable):
    broken = damaged(kind, filled.read_bytes())
    filled.write_bytes(broken)
    progress = Progress(filled)
    record(progress, TRIES)
    (aside,) = put_aside(filled)
    assert aside.read_bytes() == broken
    assert f"progress.sqlite was damaged. It is kept as {aside.name}" in progress.note
    carried = int(re.search(r"could be read: (\d+) record", progress.note)[1])
    found = seeds(filled)
    assert found == sorted(found)
    assert found[-1] == TRIES
    assert readable < len(found) <= carried + 1
    assert Progress(filled).note == ""


def test_damage_is_noticed_on_reading_too(filled):
    filled.write_bytes(damaged("first page overwritten", filled.read_bytes()))
    progress = Progress(filled)
    assert progress.prediction("first") == "a half"
    assert len(progress.tries()) == TRIES
    assert progress.note.endswith(f"what could be read: {TRIES + 1} records.")


def test_a_damaged_file_keeps_the_trainees_seed(filled):
    seed = Progress(filled).trainee_seed
    filled.write_bytes(damaged("first page overwritten", filled.read_bytes()))
    assert Progress(filled).trainee_seed == seed


def test_an_empty_file_is_begun_anew_and_said(path):
    path.touch()
    progress = Progress(path)
    record(progress, 1)
    assert progress.note == "progress.sqlite was empty, so it has been begun anew."
    assert seeds(path) == [1]


def test_a_damaged_file_in_a_full_folder_is_still_read_and_left_in_place(filled, monkeypatch):
    broken = damaged("a row page overwritten", filled.read_bytes())
    filled.write_bytes(broken)

    def no_room(*args, **options):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", no_room)
    progress = Progress(filled)
    record(progress, TRIES)
    assert "is damaged, and stays in place. The disk that holds" in progress.note
    assert len(progress.tries()) > TRIES - ROWS_A_PAGE
    assert filled.read_bytes() == broken
    assert put_aside(filled) == []


@pytest.mark.parametrize("links", [True, False])
def test_the_file_is_never_without_its_name_while_a_damaged_one_is_put_aside(
    filled, monkeypatch, links
):
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    broken = damaged("cut off", filled.read_bytes())
    filled.write_bytes(broken)
    seen, replace = [], os.replace

    def seen_replace(fresh, target):
        seen.append((target.read_bytes(), [each.read_bytes() for each in put_aside(target)]))
        assert salvaged(Path(fresh).read_bytes()).tries
        replace(fresh, target)

    monkeypatch.setattr(os, "replace", seen_replace)
    record(Progress(filled), TRIES)
    assert seen == [(broken, [broken])]


def test_where_there_are_no_hard_links_a_damaged_file_is_copied_aside(filled, monkeypatch):
    broken = damaged("cut off", filled.read_bytes())
    filled.write_bytes(broken)
    monkeypatch.setattr(os, "link", no_links)
    record(Progress(filled), TRIES)
    assert [each.read_bytes() for each in put_aside(filled)] == [broken]


def test_no_single_changed_byte_makes_recording_or_reading_raise(filled):
    sound = filled.read_bytes()
    chance = random.Random(6)
    for _ in range(80):
        at = chance.randrange(len(sound))
        filled.write_bytes(
            sound[:at] + bytes([sound[at] ^ (1 << chance.randrange(8))]) + sound[at + 1 :]
        )
        progress = Progress(filled)
        record(progress, TRIES)
        known = [one for one in progress.tries() if one.seed == TRIES]
        assert len(known) >= 1, (at, progress.note)
        # one byte can cost its own page at most
        assert len(progress.tries()) > TRIES - ROWS_A_PAGE, (at, progress.note)


def test_rows_are_put_in_order_whatever_the_order_of_their_pages(filled):
    sound = filled.read_bytes()
    pages = [sound[at : at + PAGE_BYTES] for at in leaves(sound)]
    found = salvaged(bytes(PAGE_BYTES) + b"".join(reversed(pages)))
    assert [one.seed for one in found.tries] == [*range(TRIES)]


@pytest.mark.parametrize("wrong", ["length", "cut off by the end of the page"])
def test_a_row_whose_length_is_not_that_of_its_values_is_left_out(filled, wrong):
    sound = filled.read_bytes()
    at = leaves(sound)[-2]
    page = bytearray(sound[at : at + PAGE_BYTES])
    whole = list(rows(bytes(PAGE_BYTES) + page))
    first_row = int.from_bytes(page[8:10], "big")
    if wrong == "length":
        page[first_row] -= 1
    else:
        row = page[first_row:][:60]
        page[-60:] = row
        page[8:10] = (PAGE_BYTES - 60).to_bytes(2, "big")
    left = list(rows(bytes(PAGE_BYTES) + page))
    assert all(row in whole[1:] for row in left)
    assert len(left) >= len(whole) - 2  # the cut row lies over the end of another one


def test_pages_of_noise_give_no_rows_that_pass_for_records():
    noise = random.Random(5).randbytes
    for _ in range(200):
        page = b"\x0d" + noise(PAGE_BYTES - 1)
        for number, values in rows(bytes(PAGE_BYTES) + page):
            assert isinstance(number, int)
            assert len(values) < 11
