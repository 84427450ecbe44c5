"""The trainee's copy: brought in clean, kept up to date, and never overwritten."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from lessonlib.appliance.bundled import workbook_folder
from lessonlib.files import read_regular
from lessonlib.start.copying import sources, update
from lessonlib.start.notebook import START_PAGE
from lessonlib.start.trouble import StartError
from tests.start.conftest import ALL, Trainee

from .workbooks import (
    add_text,
    edit,
    notebook,
    run_in_editor,
    save_a_choice,
    save_in_editor,
    source_of,
    write,
)


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
