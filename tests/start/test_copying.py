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
from lessonlib.start.trouble import StartError

from .workbooks import (
    edit,
    notebook,
    run_in_editor,
    save_a_choice,
    save_in_editor,
    source_of,
    workbook,
    write,
)


def copy(book: Path, mine: Path, *fresh: str) -> Report:
    return update(mine, sources(book), fresh=fresh, patience_s=0.1)


def files(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()} - {
        record.NAME,
        LOCK,
    }


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return workbook(tmp_path / "book", first="x = 1", second="y = 1")


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    return tmp_path / "mine"


class TestBringingIn:
    def test_a_new_copy_has_every_lesson_and_appliance_file(self, book: Path, mine: Path) -> None:
        report = copy(book, mine)
        assert files(mine) == {"first.ipynb", "second.ipynb", "appliances/urn.toml"}
        assert report.brought == ["first.ipynb", "second.ipynb", "appliances/urn.toml"]

    def test_lessons_come_without_outputs_counts_and_widget_state_but_with_their_cell_ids(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        text = (mine / "first.ipynb").read_text("utf-8")
        cell = json.loads(text)["cells"][0]
        assert "400 W" not in text
        assert cell["outputs"] == []
        assert cell["execution_count"] is None
        assert cell["id"] == "cell-1"
        assert "widgets" not in json.loads(text)["metadata"]

    def test_appliance_files_come_byte_for_byte(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        there = (mine / "appliances" / "urn.toml").read_bytes()
        assert there == (book / "appliances" / "urn.toml").read_bytes()

    def test_the_workbook_of_this_project_can_be_copied(self, mine: Path) -> None:
        copy(workbook_folder(), mine)
        assert (mine / "appliances" / "tea-urn.toml").is_file()

    def test_instructor_notebooks_come_only_when_asked_for(self, book: Path, mine: Path) -> None:
        write(book / "instructor" / "marking.ipynb", notebook("z = 1"))
        copy(book, mine)
        assert "instructor/marking.ipynb" not in files(mine)
        update(mine, sources(book, instructor=True))
        assert "instructor/marking.ipynb" in files(mine)

    def test_a_new_lesson_of_the_workbook_is_brought_in_later(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        write(book / "third.ipynb", notebook("z = 1"))
        assert copy(book, mine).brought == ["third.ipynb"]

    def test_files_can_be_read_by_others_as_the_umask_says(self, book: Path, mine: Path) -> None:
        before = os.umask(0o022)
        try:
            copy(book, mine)
        finally:
            os.umask(before)
        assert (mine / "first.ipynb").stat().st_mode & 0o777 == 0o644


class TestUpdating:
    def test_an_untouched_lesson_is_updated_silently(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        edit(book / "first.ipynb", "x = 2")
        report = copy(book, mine)
        assert report.updated == ["first.ipynb"]
        assert source_of(mine / "first.ipynb") == "x = 2"

    def test_a_lesson_that_was_only_saved_counts_as_untouched(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        save_in_editor(mine / "first.ipynb")
        edit(book / "first.ipynb", "x = 2")
        assert copy(book, mine).updated == ["first.ipynb"]

    def test_new_outputs_in_the_workbook_alone_are_no_new_version(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        before = (mine / "first.ipynb").stat().st_mtime_ns
        run_in_editor(book / "first.ipynb")
        assert "first.ipynb" in copy(book, mine).unchanged
        assert (mine / "first.ipynb").stat().st_mtime_ns == before

    def test_an_untouched_appliance_file_is_updated(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        (book / "appliances" / "urn.toml").write_text('title = "Larger urn"\n')
        assert copy(book, mine).updated == ["appliances/urn.toml"]


class TestKeeping:
    @pytest.mark.parametrize(
        "change", [run_in_editor, save_a_choice, lambda path: edit(path, "x = 99")]
    )
    def test_a_lesson_worked_in_is_kept_and_the_new_one_is_put_beside(
        self, book: Path, mine: Path, change: object
    ) -> None:
        copy(book, mine)
        assert callable(change)
        change(mine / "first.ipynb")
        work = (mine / "first.ipynb").read_bytes()
        edit(book / "first.ipynb", "x = 2")
        report = copy(book, mine)
        assert (mine / "first.ipynb").read_bytes() == work
        assert source_of(mine / "first (new).ipynb") == "x = 2"
        assert report.kept == {"first.ipynb": "first (new).ipynb"}

    def test_a_lesson_worked_in_is_left_as_it_is_while_the_workbook_stays(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        assert copy(book, mine).kept == {"first.ipynb": None}
        assert files(mine) == {"first.ipynb", "second.ipynb", "appliances/urn.toml"}

    def test_a_version_is_put_beside_once_and_stays_away_when_removed(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        edit(book / "first.ipynb", "x = 2")
        copy(book, mine)
        (mine / "first (new).ipynb").unlink()
        assert copy(book, mine).kept == {"first.ipynb": None}
        assert not (mine / "first (new).ipynb").exists()

    def test_an_untouched_copy_beside_gives_way_to_a_newer_one(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        for version in ("x = 2", "x = 3"):
            edit(book / "first.ipynb", version)
            copy(book, mine)
        assert source_of(mine / "first (new).ipynb") == "x = 3"
        assert not (mine / "first (new 2).ipynb").exists()

    def test_a_copy_beside_that_was_worked_in_is_kept_too(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        edit(book / "first.ipynb", "x = 2")
        copy(book, mine)
        run_in_editor(mine / "first (new).ipynb")
        work = (mine / "first (new).ipynb").read_bytes()
        edit(book / "first.ipynb", "x = 3")
        assert copy(book, mine).kept == {"first.ipynb": "first (new 2).ipynb"}
        assert (mine / "first (new).ipynb").read_bytes() == work

    def test_a_lesson_that_cannot_be_read_as_a_notebook_is_kept(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        (mine / "first.ipynb").write_text("{ half a noteb")
        edit(book / "first.ipynb", "x = 2")
        copy(book, mine)
        assert (mine / "first.ipynb").read_text() == "{ half a noteb"

    def test_a_changed_appliance_file_is_kept(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        (mine / "appliances" / "urn.toml").write_text('title = "My urn"\n')
        (book / "appliances" / "urn.toml").write_text('title = "Larger urn"\n')
        copy(book, mine)
        assert (mine / "appliances" / "urn.toml").read_text() == 'title = "My urn"\n'
        assert (mine / "appliances" / "urn (new).toml").read_text() == 'title = "Larger urn"\n'

    def test_files_of_the_trainee_s_own_are_not_touched(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        (mine / "notes.txt").write_text("mine")
        copy(book, mine)
        assert (mine / "notes.txt").read_text() == "mine"

    def test_a_save_that_comes_in_between_is_not_overwritten(
        self, book: Path, mine: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        copy(book, mine)
        edit(book / "first.ipynb", "x = 2")
        lesson, reads = mine / "first.ipynb", []

        def save_after_the_first_look(path: Path, most_bytes: int) -> bytes:
            seen = read_regular(path, most_bytes)
            if path == lesson and not reads:
                reads.append(path)
                edit(lesson, "x = 99")
            return seen

        monkeypatch.setattr("lessonlib.start.copying.read_regular", save_after_the_first_look)
        copy(book, mine)
        assert source_of(lesson) == "x = 99"
        assert source_of(mine / "first (new).ipynb") == "x = 2"


class TestRemoved:
    def test_what_the_trainee_removed_stays_removed_also_when_the_workbook_changes(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        (mine / "first.ipynb").unlink()
        assert copy(book, mine).removed == ["first.ipynb"]
        edit(book / "first.ipynb", "x = 2")
        assert copy(book, mine).removed == ["first.ipynb"]
        assert not (mine / "first.ipynb").exists()

    @pytest.mark.parametrize("word", ["first", "first.ipynb"])
    def test_it_comes_back_when_asked_for(self, book: Path, mine: Path, word: str) -> None:
        copy(book, mine)
        (mine / "first.ipynb").unlink()
        assert copy(book, mine, word).brought == ["first.ipynb"]

    def test_a_clean_copy_of_a_lesson_that_is_there_comes_beside(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        run_in_editor(mine / "first.ipynb")
        work = (mine / "first.ipynb").read_bytes()
        assert copy(book, mine, "first").kept == {"first.ipynb": "first (new).ipynb"}
        assert (mine / "first.ipynb").read_bytes() == work

    def test_an_unknown_lesson_is_refused_with_the_nearest_name(
        self, book: Path, mine: Path
    ) -> None:
        with pytest.raises(StartError, match="--fresh first"):
            copy(book, mine, "frist")

    def test_with_every_lesson_removed_the_copy_is_made_anew(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        for path in mine.glob("*.ipynb"):
            path.unlink()
        assert copy(book, mine).brought == ["first.ipynb", "second.ipynb"]


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
        self, book: Path, mine: Path, damage: bytes | None
    ) -> None:
        copy(book, mine)
        edit(mine / "second.ipynb", "y = 99")
        if damage is None:
            (mine / record.NAME).unlink()
        else:
            (mine / record.NAME).write_bytes(damage)
        edit(book / "first.ipynb", "x = 2")
        report = copy(book, mine)
        assert source_of(mine / "first.ipynb") == "x = 1"
        assert source_of(mine / "second.ipynb") == "y = 99"
        assert report.kept == {
            "first.ipynb": "first (new).ipynb",
            "second.ipynb": "second (new).ipynb",
        }
        assert report.record_lost is (damage is not None)

    def test_a_lesson_that_was_only_run_gets_nothing_beside_it_while_its_text_is_the_same(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        run_in_editor(mine / "first.ipynb")
        work = (mine / "first.ipynb").read_bytes()
        (mine / record.NAME).unlink()
        assert "first.ipynb" in copy(book, mine).unchanged
        assert (mine / "first.ipynb").read_bytes() == work
        edit(book / "first.ipynb", "x = 2")
        assert copy(book, mine).kept == {"first.ipynb": "first (new).ipynb"}

    def test_after_a_lost_record_a_lesson_equal_to_the_workbook_s_is_vouched_for_again(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        (mine / record.NAME).unlink()
        copy(book, mine)
        edit(book / "first.ipynb", "x = 2")
        assert copy(book, mine).updated == ["first.ipynb"]

    def test_half_written_files_of_a_start_that_was_cut_off_are_cleared(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        (mine / ".heater-workbook-abc.tmp").write_bytes(b"half")
        copy(book, mine)
        assert not (mine / ".heater-workbook-abc.tmp").exists()


def sparse(path: Path) -> None:
    """A file of a terabyte that takes no room: to read it whole would take all memory."""
    with path.open("wb") as file:
        file.truncate(10**12)


@pytest.mark.parametrize("make", [os.mkfifo, sparse])
class TestOddThings:
    def test_in_place_of_the_record_it_vouches_for_nothing_and_is_not_read(
        self, book: Path, mine: Path, make: Callable[[Path], None]
    ) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        edit(book / "first.ipynb", "x = 2")
        (mine / record.NAME).unlink()
        make(mine / record.NAME)
        report = copy(book, mine)
        assert report.record_lost
        assert report.kept == {"first.ipynb": "first (new).ipynb"}
        assert copy(book, mine).kept == {"first.ipynb": None}  # there is a good record again

    def test_in_place_of_a_lesson_it_is_neither_read_nor_written_over(
        self, book: Path, mine: Path, make: Callable[[Path], None]
    ) -> None:
        mine.mkdir()
        make(mine / "first.ipynb")
        before = (mine / "first.ipynb").lstat()
        report = copy(book, mine)
        assert (mine / "first.ipynb").lstat() == before
        assert "first.ipynb" in [*report.left_alone, *report.kept]
        assert "second.ipynb" in report.brought

    def test_in_place_of_what_comes_beside_it_stays(
        self, book: Path, mine: Path, make: Callable[[Path], None]
    ) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        edit(book / "first.ipynb", "x = 2")
        make(mine / "first (new).ipynb")
        before = (mine / "first (new).ipynb").lstat()
        assert copy(book, mine).kept == {"first.ipynb": "first (new 2).ipynb"}
        assert (mine / "first (new).ipynb").lstat() == before

    def test_in_place_of_the_lock_or_the_appliances_it_stops_nothing(
        self, book: Path, mine: Path, make: Callable[[Path], None]
    ) -> None:
        mine.mkdir()
        make(mine / LOCK)
        make(mine / "appliances")
        assert copy(book, mine).left_alone == ["appliances"]


class TestLinks:
    def test_a_linked_lesson_and_what_it_points_to_are_left_alone(
        self, book: Path, mine: Path, tmp_path: Path
    ) -> None:
        copy(book, mine)
        outside = tmp_path / "outside.ipynb"
        (mine / "first.ipynb").rename(outside)
        (mine / "first.ipynb").symlink_to(outside)
        before = outside.read_bytes()
        edit(book / "first.ipynb", "x = 2")
        report = copy(book, mine)
        assert report.left_alone == ["first.ipynb"]
        assert (mine / "first.ipynb").is_symlink()
        assert outside.read_bytes() == before

    def test_a_link_to_nowhere_is_left_alone(self, book: Path, mine: Path, tmp_path: Path) -> None:
        mine.mkdir()
        (mine / "first.ipynb").symlink_to(tmp_path / "nowhere")
        assert copy(book, mine).left_alone == ["first.ipynb"]
        assert not (tmp_path / "nowhere").exists()

    def test_nothing_is_written_into_a_linked_appliances_folder(
        self, book: Path, mine: Path, tmp_path: Path
    ) -> None:
        outside = tmp_path / "outside"
        outside.mkdir()
        mine.mkdir()
        (mine / "appliances").symlink_to(outside)
        assert copy(book, mine).left_alone == ["appliances"]
        assert list(outside.iterdir()) == []

    def test_a_linked_copy_beside_is_not_written_through(
        self, book: Path, mine: Path, tmp_path: Path
    ) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        (tmp_path / "outside").write_bytes(b"theirs")
        (mine / "first (new).ipynb").symlink_to(tmp_path / "outside")
        edit(book / "first.ipynb", "x = 2")
        assert copy(book, mine).kept == {"first.ipynb": "first (new 2).ipynb"}
        assert (tmp_path / "outside").read_bytes() == b"theirs"

    def test_a_record_that_is_a_link_is_replaced_not_followed(
        self, book: Path, mine: Path, tmp_path: Path
    ) -> None:
        mine.mkdir()
        (tmp_path / "outside").write_bytes(b"theirs")
        (mine / record.NAME).symlink_to(tmp_path / "outside")
        copy(book, mine)
        assert (tmp_path / "outside").read_bytes() == b"theirs"


class TestTwoAtOnce:
    def test_a_second_start_waits_for_the_first_and_then_says_so(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        said: list[str] = []
        with (
            only_one(mine / LOCK, patience_s=0, waiting=lambda: None),
            pytest.raises(StartError, match="another start"),
        ):
            update(mine, sources(book), patience_s=0.1, say=said.append)
        assert len(said) == 1

    def test_starts_at_the_same_time_lose_nothing_and_copy_once(
        self, book: Path, mine: Path
    ) -> None:
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        edit(book / "first.ipynb", "x = 2")
        edit(book / "second.ipynb", "y = 2")
        code = (
            "import sys; from pathlib import Path\n"
            "from lessonlib.start.copying import sources, update\n"
            "sys.stdin.readline()\n"
            "update(Path(sys.argv[1]), sources(Path(sys.argv[2])))"
        )
        starts = [
            subprocess.Popen(
                [sys.executable, "-c", code, str(mine), str(book)],
                stdin=subprocess.PIPE,
                cwd=workbook_folder().parent,
            )
            for _ in range(4)
        ]
        for start in starts:  # all are let go together, once all have been started
            assert start.stdin is not None
            start.stdin.close()
        assert [start.wait() for start in starts] == [0] * 4
        assert source_of(mine / "first.ipynb") == "x = 99"
        assert source_of(mine / "first (new).ipynb") == "x = 2"
        assert source_of(mine / "second.ipynb") == "y = 2"
        assert files(mine) == {
            "first.ipynb",
            "first (new).ipynb",
            "second.ipynb",
            "appliances/urn.toml",
        }


class TestFolder:
    def names(self, book: Path) -> list[str]:
        return [source.name for source in sources(book)]

    def test_a_new_an_empty_and_a_used_folder_are_accepted(self, book: Path, mine: Path) -> None:
        assert check_folder(mine, book, self.names(book)) == mine
        mine.mkdir()
        (mine / ".DS_Store").touch()
        assert check_folder(mine, book, self.names(book)) == mine
        copy(book, mine)
        assert check_folder(mine, book, self.names(book)) == mine

    def test_a_copy_whose_record_is_lost_is_still_known(self, book: Path, mine: Path) -> None:
        copy(book, mine)
        (mine / record.NAME).unlink()
        assert check_folder(mine, book, self.names(book)) == mine

    def test_a_folder_with_other_files_is_refused(self, book: Path, mine: Path) -> None:
        mine.mkdir()
        (mine / "accounts.ods").touch()
        with pytest.raises(StartError, match=r"accounts\.ods"):
            check_folder(mine, book, self.names(book))

    def test_a_file_in_place_of_the_folder_is_refused(self, book: Path, mine: Path) -> None:
        mine.write_text("")
        for folder in (mine, mine / "deeper" / "still"):
            with pytest.raises(StartError, match="a file where a folder should be"):
                check_folder(folder, book, self.names(book))

    def test_a_folder_that_may_not_be_written_to_is_refused_before_anything_is_done(
        self, book: Path, mine: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        # permissions do not bind root, who runs CI, so the system's answer is given here
        monkeypatch.setattr(os, "access", lambda path, mode: path != tmp_path)
        with pytest.raises(StartError, match="Permission denied"):
            check_folder(mine / "deeper", book, self.names(book))

    @pytest.mark.parametrize("inside", [".", "appliances"])
    def test_the_workbook_itself_is_refused(self, book: Path, inside: str) -> None:
        with pytest.raises(StartError, match="own lessons"):
            check_folder(book / inside, book, self.names(book))

    def test_a_folder_far_below_any_that_is_there_is_refused(
        self, book: Path, tmp_path: Path
    ) -> None:
        deep = tmp_path.joinpath(*["d"] * 20)
        assert check_folder(deep, book, []) == deep
        copy(book, deep)
        with pytest.raises(StartError, match=r"1,500 levels below"):
            check_folder(tmp_path.joinpath(*["e"] * 1500), book, [])

    @pytest.mark.parametrize("name", ["x" * 300, "/".join(["x" * 250] * 18)])
    def test_a_name_too_long_for_the_system_is_refused_and_shown_in_part(
        self, book: Path, tmp_path: Path, name: str
    ) -> None:
        with pytest.raises(StartError, match="File name too long") as refusal:
            check_folder(tmp_path / name, book, [])
        assert len(str(refusal.value)) < 700

    def test_a_home_that_does_not_exist_is_refused(self, book: Path) -> None:
        with pytest.raises(StartError, match="nobody-of-that-name"):
            check_folder(Path("~nobody-of-that-name/x"), book, self.names(book))

    def test_a_folder_that_cannot_be_made_is_refused(self, book: Path, tmp_path: Path) -> None:
        (tmp_path / "file").write_text("")
        with pytest.raises(StartError, match="that you may write to"):
            copy(book, tmp_path / "file" / "mine")

    def test_a_failed_write_leaves_the_old_lesson_whole_and_no_half_written_file(
        self, book: Path, mine: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        copy(book, mine)
        edit(book / "first.ipynb", "x = 2")
        before = (mine / "first.ipynb").read_bytes()

        def full(handle: int) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(os, "fsync", full)
        with pytest.raises(StartError, match="No space left on device"):
            copy(book, mine)
        assert (mine / "first.ipynb").read_bytes() == before
        assert list(mine.glob("*.tmp")) == list(mine.glob(".*.tmp")) == []

    def test_without_hard_links_a_copy_is_made_all_the_same(
        self, book: Path, mine: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def no_links(source: Path, target: Path) -> None:
            raise PermissionError(1, "Operation not permitted")

        monkeypatch.setattr(os, "link", no_links)
        copy(book, mine)
        edit(mine / "first.ipynb", "x = 99")
        write(mine / "first (new).ipynb", notebook("mine = 1"))
        edit(book / "first.ipynb", "x = 2")
        copy(book, mine)
        assert source_of(mine / "first.ipynb") == "x = 99"
        assert source_of(mine / "first (new).ipynb") == "mine = 1"
        assert source_of(mine / "first (new 2).ipynb") == "x = 2"


class TestWorkbook:
    def test_a_missing_workbook_is_an_error(self, tmp_path: Path) -> None:
        with pytest.raises(StartError, match="no lessons"):
            sources(tmp_path / "nothing")

    def test_a_damaged_lesson_of_the_workbook_is_named(self, book: Path) -> None:
        (book / "first.ipynb").write_text("{")
        with pytest.raises(StartError, match=r"first\.ipynb"):
            sources(book)
