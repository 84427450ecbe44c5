"""The trainee's copy: brought in clean, kept up to date, and never overwritten."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from lessonlib.appliance.bundled import workbook_folder
from lessonlib.files import only_one, read_regular
from lessonlib.start import record
from lessonlib.start.copying import LOCK, Report, check_folder, sources, update
from lessonlib.start.notebook import START_PAGE, content
from lessonlib.start.record import CopiedFile
from lessonlib.start.trouble import StartError

from .workbooks import (
    add_text,
    edit,
    notebook,
    run_in_editor,
    save_a_choice,
    save_in_editor,
    source_of,
    unlock,
    workbook,
    write,
)

ALL = ["first.ipynb", "second.ipynb", "appliances/urn.toml"]


class Trainee:
    """A workbook of two lessons and an appliance, and a folder for a copy of it."""

    def __init__(self, folder: Path) -> None:
        self.book = workbook(folder / "book", first="x = 1", second="y = 1")
        self.mine = folder / "mine"
        self.record = self.mine / record.NAME
        self.first = self.mine / "first.ipynb"
        self.beside = self.mine / "first (new).ipynb"
        self.outside = folder / "outside"

    def start(self, *fresh: str) -> Report:
        return update(self.mine, sources(self.book), fresh=fresh, patience_s=0.1)

    def publish(self, source: str = "x = 2") -> None:
        """A new version of the first lesson in the workbook."""
        edit(self.book / "first.ipynb", source)

    def work(self) -> bytes:
        """The trainee changes the first lesson; what it says then."""
        edit(self.first, "x = 99")
        return self.first.read_bytes()

    def files(self) -> set[str]:
        found = {p.relative_to(self.mine).as_posix() for p in self.mine.rglob("*") if p.is_file()}
        return found - {record.NAME, LOCK}


@pytest.fixture
def new(tmp_path: Path) -> Trainee:
    """Nothing is copied yet."""
    return Trainee(tmp_path)


@pytest.fixture
def own(new: Trainee) -> Trainee:
    """Everything is copied."""
    new.start()
    return new


class TestBringingIn:
    def test_a_new_copy_has_every_lesson_and_appliance_file(self, new: Trainee) -> None:
        assert new.start().brought == ALL
        assert new.files() == set(ALL)
        urn = "appliances/urn.toml"
        assert (new.mine / urn).read_bytes() == (new.book / urn).read_bytes()

    def test_lessons_come_without_outputs_counts_and_widget_state_but_with_their_cell_ids(
        self, own: Trainee
    ) -> None:
        text = own.first.read_text("utf-8")
        cell = json.loads(text)["cells"][0]
        assert "400 W" not in text
        assert (cell["outputs"], cell["execution_count"], cell["id"]) == ([], None, "cell-1")
        assert "widgets" not in json.loads(text)["metadata"]

    def test_no_cell_of_a_copy_can_be_deleted_and_no_text_changed_while_code_can_be(
        self, new: Trainee
    ) -> None:
        add_text(new.book / "first.ipynb")
        new.start()
        code, text = [
            cell["metadata"] for cell in json.loads(new.first.read_text("utf-8"))["cells"]
        ]
        assert code == {"deletable": False}
        assert text == {"deletable": False, "editable": False}

    def test_the_workbook_of_this_project_can_be_copied(self, new: Trainee) -> None:
        update(new.mine, sources(workbook_folder(), instructor=True))
        assert (new.mine / "appliances" / "tea-urn.toml").is_file()
        for_instructors = {path.name for path in (new.mine / "instructor").iterdir()}
        assert for_instructors == {"set_and_mark.ipynb", "teaching_notes.ipynb"}

    def test_instructor_notebooks_come_only_when_asked_for(self, new: Trainee) -> None:
        write(new.book / "instructor" / "marking.ipynb", notebook("z = 1"))
        new.start()
        assert "instructor/marking.ipynb" not in new.files()
        update(new.mine, sources(new.book, instructor=True))
        assert "instructor/marking.ipynb" in new.files()

    def test_a_new_lesson_of_the_workbook_is_brought_in_later(self, own: Trainee) -> None:
        write(own.book / "third.ipynb", notebook("z = 1"))
        assert own.start().brought == ["third.ipynb"]

    def test_files_can_be_read_by_others_as_the_umask_says(self, new: Trainee) -> None:
        before = os.umask(0o022)
        try:
            new.start()
        finally:
            os.umask(before)
        assert new.first.stat().st_mode & 0o777 == 0o644

    def test_a_workbook_that_is_missing_or_damaged_is_named(self, new: Trainee) -> None:
        (new.book / "first.ipynb").write_text("{")
        with pytest.raises(StartError, match=r"first\.ipynb"):
            new.start()
        with pytest.raises(StartError, match="no lessons"):
            sources(new.mine)


class TestUpdating:
    @pytest.mark.parametrize("change", [lambda path: None, save_in_editor])
    def test_an_untouched_lesson_is_updated_also_when_it_was_only_saved(
        self, own: Trainee, change: Callable[[Path], None]
    ) -> None:
        change(own.first)
        own.publish()
        assert own.start().updated == ["first.ipynb"]
        assert source_of(own.first) == "x = 2"

    def test_an_untouched_copy_from_before_its_cells_were_locked_is_updated(
        self, own: Trainee
    ) -> None:
        unlock(own.first)
        written = content("first.ipynb", own.first.read_bytes())
        assert written is not None
        files = record.read(own.mine)
        assert files is not None
        old = CopiedFile(written.fingerprint, written.fingerprint)
        record.write(own.mine, files | {"first.ipynb": old})
        assert own.start().updated == ["first.ipynb"]
        assert b"deletable" in own.first.read_bytes()
        assert own.start().unchanged == ALL

    def test_the_start_page_is_updated_though_it_has_run_by_itself(self, own: Trainee) -> None:
        page = own.mine / START_PAGE
        write(own.book / START_PAGE, notebook("x = 1"))
        own.start()
        run_in_editor(page)
        save_a_choice(page)
        edit(own.book / START_PAGE, "x = 2")
        assert own.start().updated == [START_PAGE]
        edit(page, "mine = 1")
        edit(own.book / START_PAGE, "x = 3")
        assert START_PAGE in own.start().kept

    def test_new_outputs_in_the_workbook_alone_are_no_new_version(self, own: Trainee) -> None:
        before = own.first.stat().st_mtime_ns
        run_in_editor(own.book / "first.ipynb")
        assert "first.ipynb" in own.start().unchanged
        assert own.first.stat().st_mtime_ns == before

    def test_an_untouched_appliance_file_is_updated(self, own: Trainee) -> None:
        (own.book / "appliances" / "urn.toml").write_text('title = "Larger urn"\n')
        assert own.start().updated == ["appliances/urn.toml"]


class TestKeeping:
    @pytest.mark.parametrize(
        "change",
        [
            run_in_editor,
            save_a_choice,
            lambda path: edit(path, "x = 99"),
            lambda path: path.write_text("{ half a noteb"),
        ],
    )
    def test_a_lesson_worked_in_is_kept_and_the_new_one_is_put_beside(
        self, own: Trainee, change: Callable[[Path], None]
    ) -> None:
        change(own.first)
        work = own.first.read_bytes()
        own.publish()
        assert own.start().kept == {"first.ipynb": "first (new).ipynb"}
        assert own.first.read_bytes() == work
        assert source_of(own.beside) == "x = 2"

    def test_a_lesson_worked_in_is_left_as_it_is_while_the_workbook_stays(
        self, own: Trainee
    ) -> None:
        own.work()
        assert own.start().kept == {"first.ipynb": None}
        assert own.files() == set(ALL)

    def test_a_version_is_put_beside_once_and_stays_away_when_removed(self, own: Trainee) -> None:
        own.work()
        own.publish()
        own.start()
        own.beside.unlink()
        assert own.start().kept == {"first.ipynb": None}
        assert not own.beside.exists()

    def test_an_untouched_copy_beside_gives_way_to_a_newer_one(self, own: Trainee) -> None:
        own.work()
        for version in ("x = 2", "x = 3"):
            own.publish(version)
            own.start()
        assert source_of(own.beside) == "x = 3"
        assert own.files() == {*ALL, "first (new).ipynb"}

    def test_a_copy_beside_that_was_worked_in_is_kept_too(self, own: Trainee) -> None:
        own.work()
        own.publish()
        own.start()
        run_in_editor(own.beside)
        work = own.beside.read_bytes()
        own.publish("x = 3")
        assert own.start().kept == {"first.ipynb": "first (new 2).ipynb"}
        assert own.beside.read_bytes() == work

    def test_a_changed_appliance_file_and_files_of_the_trainee_s_own_are_kept(
        self, own: Trainee
    ) -> None:
        (own.mine / "notes.txt").write_text("mine")
        (own.mine / "appliances" / "urn.toml").write_text('title = "My urn"\n')
        (own.book / "appliances" / "urn.toml").write_text('title = "Larger urn"\n')
        own.start()
        assert (own.mine / "notes.txt").read_text() == "mine"
        assert (own.mine / "appliances" / "urn.toml").read_text() == 'title = "My urn"\n'
        assert (own.mine / "appliances" / "urn (new).toml").read_text() == 'title = "Larger urn"\n'

    def test_a_save_that_comes_in_between_is_not_overwritten(
        self, own: Trainee, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        own.publish()
        reads = []

        def save_after_the_first_look(path: Path, most_bytes: int) -> bytes:
            seen = read_regular(path, most_bytes)
            if path == own.first and not reads:
                reads.append(path)
                own.work()
            return seen

        monkeypatch.setattr("lessonlib.start.copying.read_regular", save_after_the_first_look)
        own.start()
        assert source_of(own.first) == "x = 99"
        assert source_of(own.beside) == "x = 2"

    def test_a_failed_write_leaves_the_old_lesson_whole_and_no_half_written_file(
        self, own: Trainee, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        own.publish()
        before = own.first.read_bytes()

        def full(handle: int) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(os, "fsync", full)
        with pytest.raises(StartError, match="No space left on device"):
            own.start()
        assert own.first.read_bytes() == before
        assert own.files() == set(ALL)

    def test_without_hard_links_nothing_is_lost_either(
        self, own: Trainee, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def no_links(source: Path, target: Path) -> None:
            raise PermissionError(1, "Operation not permitted")

        monkeypatch.setattr(os, "link", no_links)
        own.work()
        write(own.beside, notebook("mine = 1"))
        own.publish()
        own.start()
        beside = [own.first, own.beside, own.mine / "first (new 2).ipynb"]
        assert [source_of(path) for path in beside] == ["x = 99", "mine = 1", "x = 2"]


class TestRemoved:
    def test_what_the_trainee_removed_stays_removed_until_asked_for(self, own: Trainee) -> None:
        own.first.unlink()
        assert own.start().removed == ["first.ipynb"]
        own.publish()
        assert own.start().removed == ["first.ipynb"]
        assert not own.first.exists()
        assert own.start("first").brought == ["first.ipynb"]
        own.first.unlink()
        assert own.start("first.ipynb").brought == ["first.ipynb"]

    def test_a_clean_copy_of_a_lesson_that_is_there_comes_beside(self, own: Trainee) -> None:
        run_in_editor(own.first)
        work = own.first.read_bytes()
        assert own.start("first").kept == {"first.ipynb": "first (new).ipynb"}
        assert own.first.read_bytes() == work

    def test_an_unknown_lesson_is_refused_with_the_nearest_name(self, own: Trainee) -> None:
        with pytest.raises(StartError, match="--fresh first"):
            own.start("frist")

    def test_with_every_lesson_removed_the_copy_is_made_anew(self, own: Trainee) -> None:
        for path in own.mine.glob("*.ipynb"):
            path.unlink()
        assert own.start().brought == ["first.ipynb", "second.ipynb"]


class TestRecord:
    @pytest.mark.parametrize(
        "damage",
        [
            None,
            b"",
            b"{",
            b"\xff\xfe",
            b"[]",
            b"null",
            b'{"format": 99, "files": {}}',
            b'{"format": 1}',
            b'{"format": 1, "files": []}',
            b'{"format": 1, "files": {"first.ipynb": null}}',
            b'{"format": 1, "files": {"first.ipynb": {"copied": 1, "offered": 2}}}',
            b"[" * 100_000,
        ],
    )
    def test_without_a_usable_record_every_file_counts_as_the_trainee_s(
        self, own: Trainee, damage: bytes | None
    ) -> None:
        edit(own.mine / "second.ipynb", "y = 99")
        own.record.unlink()
        if damage is not None:
            own.record.write_bytes(damage)
        own.publish()
        report = own.start()
        assert source_of(own.first) == "x = 1"
        assert source_of(own.mine / "second.ipynb") == "y = 99"
        assert report.kept == {
            "first.ipynb": "first (new).ipynb",
            "second.ipynb": "second (new).ipynb",
        }
        assert report.record_lost is (damage is not None)

    def test_a_lesson_that_was_only_run_gets_nothing_beside_it_while_its_text_is_the_same(
        self, own: Trainee
    ) -> None:
        run_in_editor(own.first)
        work = own.first.read_bytes()
        own.record.unlink()
        assert "first.ipynb" in own.start().unchanged
        assert own.first.read_bytes() == work
        own.publish()
        assert own.start().kept == {"first.ipynb": "first (new).ipynb"}

    def test_after_a_lost_record_a_lesson_equal_to_the_workbook_s_is_vouched_for_again(
        self, own: Trainee
    ) -> None:
        own.record.unlink()
        own.start()
        own.publish()
        assert own.start().updated == ["first.ipynb"]

    def test_after_a_lost_record_the_newest_version_is_not_put_beside_twice(
        self, own: Trainee
    ) -> None:
        own.work()
        own.publish()
        for _ in range(2):
            assert own.start().kept == {"first.ipynb": "first (new).ipynb"}
            own.record.unlink()

    def test_half_written_files_of_a_start_that_was_cut_off_are_cleared(self, own: Trainee) -> None:
        (own.mine / ".heater-workbook-abc.tmp").write_bytes(b"half")
        own.start()
        assert own.files() == set(ALL)


def sparse(path: Path) -> None:
    """A file of a terabyte that takes no room: to read it whole would take all memory."""
    with path.open("wb") as file:
        file.truncate(10**12)


@pytest.mark.parametrize("make", [os.mkfifo, sparse])
class TestOddThings:
    def test_in_place_of_the_record_it_vouches_for_nothing_and_is_not_read(
        self, own: Trainee, make: Callable[[Path], None]
    ) -> None:
        own.work()
        own.publish()
        own.record.unlink()
        make(own.record)
        report = own.start()
        assert report.record_lost
        assert report.kept == {"first.ipynb": "first (new).ipynb"}
        assert own.start().kept == {"first.ipynb": None}  # there is a good record again

    def test_in_place_of_a_lesson_it_is_neither_read_nor_written_over(
        self, new: Trainee, make: Callable[[Path], None]
    ) -> None:
        new.mine.mkdir()
        make(new.first)
        before = new.first.lstat()
        report = new.start()
        assert new.first.lstat() == before
        assert "first.ipynb" in [*report.left_alone, *report.kept]
        assert "second.ipynb" in report.brought

    def test_in_place_of_what_comes_beside_it_stays(
        self, own: Trainee, make: Callable[[Path], None]
    ) -> None:
        own.work()
        own.publish()
        make(own.beside)
        before = own.beside.lstat()
        assert own.start().kept == {"first.ipynb": "first (new 2).ipynb"}
        assert own.beside.lstat() == before

    def test_in_place_of_the_lock_or_the_appliances_it_stops_nothing(
        self, new: Trainee, make: Callable[[Path], None]
    ) -> None:
        new.mine.mkdir()
        make(new.mine / LOCK)
        make(new.mine / "appliances")
        assert new.start().left_alone == ["appliances"]


class TestLinks:
    def test_a_linked_lesson_and_what_it_points_to_are_left_alone(self, own: Trainee) -> None:
        own.first.rename(own.outside)
        own.first.symlink_to(own.outside)
        before = own.outside.read_bytes()
        own.publish()
        assert own.start().left_alone == ["first.ipynb"]
        assert own.first.is_symlink()
        assert own.outside.read_bytes() == before

    def test_a_link_to_nowhere_is_left_alone(self, new: Trainee) -> None:
        new.mine.mkdir()
        new.first.symlink_to(new.outside)
        assert new.start().left_alone == ["first.ipynb"]
        assert not new.outside.exists()

    def test_nothing_is_written_into_a_linked_appliances_folder(self, new: Trainee) -> None:
        new.outside.mkdir()
        new.mine.mkdir()
        (new.mine / "appliances").symlink_to(new.outside)
        assert new.start().left_alone == ["appliances"]
        assert list(new.outside.iterdir()) == []

    def test_a_linked_copy_beside_and_a_linked_record_are_not_written_through(
        self, own: Trainee
    ) -> None:
        own.outside.write_bytes(b"theirs")
        own.work()
        own.publish()
        own.record.unlink()
        for link in (own.beside, own.record):
            link.symlink_to(own.outside)
        assert own.start().kept == {"first.ipynb": "first (new 2).ipynb"}
        assert own.outside.read_bytes() == b"theirs"


class TestTwoAtOnce:
    def test_a_second_start_waits_for_the_first_and_then_says_so(self, own: Trainee) -> None:
        said: list[str] = []
        with (
            only_one(own.mine / LOCK, patience_s=0, waiting=lambda: None),
            pytest.raises(StartError, match="another start"),
        ):
            update(own.mine, sources(own.book), patience_s=0.1, say=said.append)
        assert len(said) == 1

    def test_starts_at_the_same_time_lose_nothing_and_copy_once(self, own: Trainee) -> None:
        own.work()
        own.publish()
        edit(own.book / "second.ipynb", "y = 2")
        code = (
            "import sys; from pathlib import Path\n"
            "from lessonlib.start.copying import sources, update\n"
            "sys.stdin.readline()\n"
            "update(Path(sys.argv[1]), sources(Path(sys.argv[2])))"
        )
        starts = [
            subprocess.Popen(
                [sys.executable, "-c", code, str(own.mine), str(own.book)],
                stdin=subprocess.PIPE,
                cwd=workbook_folder().parent,
            )
            for _ in range(4)
        ]
        for start in starts:  # all are let go together, once all have been started
            assert start.stdin is not None
            start.stdin.close()
        assert [start.wait() for start in starts] == [0] * 4
        lessons = [own.first, own.beside, own.mine / "second.ipynb"]
        assert [source_of(path) for path in lessons] == ["x = 99", "x = 2", "y = 2"]
        assert own.files() == {*ALL, "first (new).ipynb"}


class TestFolder:
    def check(self, trainee: Trainee, folder: Path) -> Path:
        return check_folder(folder, trainee.book, ALL)

    def test_a_new_an_empty_and_a_used_folder_are_accepted(self, new: Trainee) -> None:
        assert self.check(new, new.mine) == new.mine
        new.mine.mkdir()
        (new.mine / ".DS_Store").touch()
        assert self.check(new, new.mine) == new.mine
        new.start()
        assert self.check(new, new.mine) == new.mine
        new.record.unlink()  # a copy is known also without its record
        assert self.check(new, new.mine) == new.mine

    def test_a_folder_with_other_files_is_refused(self, new: Trainee) -> None:
        new.mine.mkdir()
        (new.mine / "accounts.ods").touch()
        with pytest.raises(StartError, match=r"accounts\.ods"):
            self.check(new, new.mine)

    def test_a_file_in_place_of_the_folder_is_refused(self, new: Trainee) -> None:
        new.mine.write_text("")
        for folder in (new.mine, new.mine / "deeper" / "still"):
            with pytest.raises(StartError, match="a file where a folder should be"):
                self.check(new, folder)
        with pytest.raises(StartError, match="that you may write to"):  # made in the meantime
            new.start()

    def test_a_folder_that_may_not_be_written_to_is_refused_before_anything_is_done(
        self, new: Trainee, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        # permissions do not bind root, who runs CI, so the system's answer is given here
        monkeypatch.setattr(os, "access", lambda path, mode: path != tmp_path)
        with pytest.raises(StartError, match="Permission denied"):
            self.check(new, new.mine / "deeper")

    @pytest.mark.parametrize("inside", [".", "appliances"])
    def test_the_workbook_itself_is_refused(self, new: Trainee, inside: str) -> None:
        with pytest.raises(StartError, match="own lessons"):
            self.check(new, new.book / inside)

    def test_a_folder_far_below_any_that_is_there_is_refused(
        self, new: Trainee, tmp_path: Path
    ) -> None:
        deep = tmp_path.joinpath(*["d"] * 20)
        assert self.check(new, deep) == deep
        update(deep, sources(new.book))
        with pytest.raises(StartError, match=r"1,500 levels below"):
            self.check(new, tmp_path.joinpath(*["e"] * 1500))

    @pytest.mark.parametrize("name", ["x" * 300, "/".join(["x" * 250] * 18)])
    def test_a_name_too_long_for_the_system_is_refused_and_shown_in_part(
        self, new: Trainee, name: str
    ) -> None:
        with pytest.raises(StartError, match="File name too long") as refusal:
            self.check(new, new.book.parent / name)
        assert len(str(refusal.value)) < 700

    def test_a_home_that_does_not_exist_is_refused(self, new: Trainee) -> None:
        with pytest.raises(StartError, match="nobody-of-that-name"):
            self.check(new, Path("~nobody-of-that-name/x"))
