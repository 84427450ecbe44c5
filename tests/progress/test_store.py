"""Whatever happens to the file or its folder, nothing recorded is lost and the lesson goes on."""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from lessonlib.files import only_one
from lessonlib.progress import progress as progress_module
from lessonlib.progress import store as store_module
from lessonlib.progress.place import VERSION
from lessonlib.progress.progress import Progress
from lessonlib.progress.records import Kept, Predicted, Trainee
from lessonlib.progress.store import Store
from tests.progress.conftest import SEED, TRIES, record_try

CHILDREN = Path(__file__).with_name("children.py")


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
    record_try(progress, "power", number, verdict="wrong", answer=f"{number} W" * 9, lesson=1)


def seeds(path):
    return [one.seed for one in Progress(path).tries()]


def put_aside(path):
    return [each for each in path.parent.iterdir() if "-damaged-" in each.name]


def cut_off(path):
    """Damage the file: half of it is missing."""
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2 - 77])
    return path.read_bytes()


# the file


def test_a_record_is_on_the_disk_before_the_file_has_it(filled, monkeypatch):
    done = []
    fsync, replace = os.fsync, os.replace
    monkeypatch.setattr(os, "fsync", lambda handle: done.append("on the disk") or fsync(handle))
    monkeypatch.setattr(os, "replace", lambda *paths: done.append("renamed") or replace(*paths))
    record(Progress(filled), TRIES)
    assert done == ["on the disk", "renamed"]
    assert seeds(filled) == [*range(TRIES + 1)]


def test_a_record_written_twice_after_an_unclear_answer_counts_once(path):
    records = (Trainee(5), Predicted("first", "a half"))
    store = Store(path)
    for _ in range(2):
        store.add(records, 1)
    assert store.read(1) == Kept(records)


# killed, or two at once


def test_kills_while_writing_lose_nothing_that_was_recorded(tmp_path):
    path = tmp_path / "progress.jsonl"  # on a real disk, where writing takes its time
    cut_short, recorded = map(int, said_by("killed_while_writing", path)[0].split())
    # more than a tenth of the kills left a new file that was not finished
    assert cut_short > 8
    assert recorded > 20


def test_two_notebooks_that_find_a_damaged_file_put_it_aside_once(filled):
    cut_off(filled)
    running = [child("writing", filled) for _ in range(2)]
    said = [each.communicate() for each in running]
    assert sum("was damaged" in one for one, _ in said) == 1
    assert len(put_aside(filled)) == 1
    written = [one.seed for one in Progress(filled).tries("power")]
    assert sorted(written) == sorted([*range(100)] * 2)  # of both


def test_a_damaged_file_stays_in_place_while_another_notebook_is_at_work(filled, monkeypatch):
    monkeypatch.setattr(progress_module, "_PATIENCE_S", 0.05)
    broken = cut_off(filled)
    progress = Progress(filled)
    lock = filled.with_name(f".{filled.name}.lock")
    with only_one(lock, patience_s=1, waiting=lambda: None):
        record(progress, TRIES)
        assert "Another notebook holds progress.jsonl" in progress.note
        assert (filled.read_bytes(), put_aside(filled)) == (broken, [])
    record(progress, TRIES)
    assert [each.read_bytes() for each in put_aside(filled)] == [broken]


def test_what_cannot_be_written_while_the_file_is_held_is_written_later(filled, monkeypatch):
    waited, add = [], Store.add
    monkeypatch.setattr(Store, "add", lambda *args: waited.append(args[-1]) or add(*args))
    monkeypatch.setattr(progress_module, "_PATIENCE_S", 0.3)
    progress = Progress(filled)
    lock = filled.with_name(f".{filled.name}.lock")
    with only_one(lock, patience_s=1, waiting=lambda: None):
        for number in range(TRIES, TRIES + 3):
            record(progress, number)
        assert "Another notebook holds progress.jsonl" in progress.note
        assert "so far 3 records" in progress.note
    record(progress, TRIES + 3)
    record(progress, TRIES + 4)
    assert waited == [0.3, 0.1, 0.1, 0.1, 0.3]  # not waited for again and again
    assert (progress.note, seeds(filled)) == ("", [*range(TRIES + 5)])


# no room, no rights, no folder


def test_on_a_full_disk_records_wait_and_are_written_once_there_is_room(path):
    note, counts, after = said_by("on_a_full_disk", path)
    assert "is full, or has a fault. Free some space" in note
    assert "so far 2 records" in note
    recorded, seen, written = map(int, counts.split())
    assert (seen, written) == (recorded, recorded - 2)
    assert after == f"'' {recorded + 1}"


def test_a_read_only_folder_can_be_read_and_what_is_new_stays_in_memory():
    # not tmp_path: its parents are closed to the user without rights that the child becomes
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "progress.jsonl"
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
    record(progress, TRIES)
    away = filled.parent.with_name(f"{filled.parent.name}-away")
    filled.parent.rename(away)
    assert len(progress.tries()) == TRIES + 1  # what this notebook has seen or written is known
    record(progress, TRIES + 1)
    assert f"The folder {filled.parent} is not there. Put it back" in progress.note
    assert len(progress.tries()) == TRIES + 2
    assert not filled.parent.exists()
    away.rename(filled.parent)
    record(progress, TRIES + 2)
    assert (progress.note, seeds(filled)) == ("", [*range(TRIES + 3)])
    shutil.rmtree(filled.parent)
    filled.parent.mkdir()
    record(progress, 1)
    assert Progress(filled).trainee_seed == SEED  # the trainee's own, also in a new file


@pytest.mark.parametrize("broken", [False, True])
def test_without_room_for_a_new_file_the_place_stays_as_it_is(filled, monkeypatch, broken):
    before = cut_off(filled) if broken else None
    if not broken:
        filled.unlink()

    def no_room(*args, **options):
        raise OSError(28, "No space left on device")

    progress = Progress(filled)
    with monkeypatch.context() as full:
        full.setattr(os, "replace", no_room)
        record(progress, TRIES)
        assert "The disk that holds progress.jsonl is full" in progress.note
        assert ("is damaged, and was left in place." in progress.note) == broken
        assert (len(progress.tries()) > 100) == broken  # what can be read is known meanwhile
        assert progress.tries()[-1].seed == TRIES
        left = [each for each in filled.parent.iterdir() if each.suffix != ".lock"]
        assert [each.read_bytes() for each in left] == ([before] if broken else [])
    record(progress, TRIES + 1)
    assert seeds(filled)[-2:] == [TRIES, TRIES + 1]


# a newer version


def test_a_file_of_a_newer_version_is_never_written_to(filled):
    newer = filled.read_bytes().replace(b" %d " % VERSION, b" %d " % (VERSION + 1), 1)
    filled.write_bytes(newer)
    progress = Progress(filled)
    record(progress, 1)
    assert "written by a newer version of this workbook" in progress.note
    assert (len(progress.tries()), progress.trainee_seed) == (1, 1)
    assert filled.read_bytes() == newer
    assert put_aside(filled) == []


def test_the_file_is_never_without_its_name_while_a_damaged_one_is_put_aside(filled, monkeypatch):
    broken = cut_off(filled)
    seen, replace = [], os.replace

    def seen_replace(fresh, target):
        if target == filled:
            seen.append((target.read_bytes(), [each.read_bytes() for each in put_aside(target)]))
            assert store_module.salvaged(Path(fresh).read_bytes()).tries
        replace(fresh, target)

    monkeypatch.setattr(os, "replace", seen_replace)
    record(Progress(filled), TRIES)
    assert seen == [(broken, [broken])]
