"""The trainee's copy, where something odd is in its place: a pipe, a link, a start at
the same time, a folder that cannot be used."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from lessonlib.appliance.bundled import workbook_folder
from lessonlib.files import only_one
from lessonlib.start.copying import LOCK, check_folder, sources, update
from lessonlib.start.trouble import StartError
from tests.start.conftest import ALL, Trainee
from tests.start.workbooks import edit, source_of


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
