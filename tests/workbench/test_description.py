"""A description in plain code: its text is the one truth, and nothing of it gets lost."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from lessonlib import load_appliance, solve
from lessonlib.appliance.bundled import appliance_files
from lessonlib.errors import ApplianceError, ApplianceNotFound, DescriptionError, FileKept
from lessonlib.workbench.description import MOST_STEPS, START, Description, describe

URN = appliance_files()["tea-urn"].read_text("utf-8")
MELTER = appliance_files()["wax-melter"].read_text("utf-8")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty working folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def own(folder: Path) -> Path:
    """The folder of one's own appliances."""
    (folder / "appliances").mkdir()
    return folder / "appliances"


@pytest.fixture
def urn(folder: Path) -> Description:
    return describe("tea-urn")


def test_an_appliance_is_described_step_by_step_in_plain_code() -> None:
    pot = describe()
    assert pot.text == START
    assert [problem.next_step[:18] for problem in pot.problems] == ["add an [[element]]"]
    with pytest.raises(ApplianceError, match="no parts"):
        pot.appliance  # noqa: B018
    pot.change("appliance", title="Gluepot")
    pot.add("element", between=["L", "N"], power_W=300, voltage_V=230)
    pot.add("element", between=["x", "N"], power_W=600, voltage_V=230)
    contacts = [{"between": ["L", "x"], "closed_in": ["on"]}]
    pot.add("switch", positions=["off", "on"], contacts=contacts)
    assert repr(pot.problems) == "no problems"
    assert [part.name for part in pot.appliance.parts] == ["E1", "E2", "S1"]
    assert solve(pot.appliance, {"S1": "on"}).power_W == pytest.approx(900, rel=1e-9)


def test_a_part_and_a_point_get_another_name_wherever_they_stand(urn: Description) -> None:
    urn.rename("E1", "small")
    urn.rename_point("boost", "after S1")
    assert [part.name for part in urn.appliance.elements] == ["small", "E2"]
    assert urn.appliance.part("E2").between == ("after S1", "N")
    with pytest.raises(DescriptionError, match="another part called 'E2'"):
        urn.rename("small", "E2")
    with pytest.raises(DescriptionError, match="no point 'L' that can be renamed"):
        urn.rename_point("L", "x")


def test_problems_come_all_together_and_the_last_valid_appliance_stays(urn: Description) -> None:
    valid = urn.appliance
    urn.add("element", between=["x", "N"], power_W=300)
    urn.change("E1", power_W=-1)
    assert [problem.key for problem in urn.problems] == ["power_W", "power_W"]
    assert urn.last_valid == valid
    for words in ("found:", "accepted:", "next:"):
        assert repr(urn.problems).count(words) == 2


class TestSteps:
    def test_every_step_can_be_undone_in_turn_and_done_again_until_something_else_is_done(
        self, urn: Description
    ) -> None:
        texts = [urn.text]
        for step in (
            lambda: urn.add("lamp", between=["L", "N"], resistance_ohm=1e5),
            lambda: urn.change("E1", power_W=450),
            lambda: urn.remove("S1"),
            lambda: urn.start_from("wax-melter"),
            lambda: urn.start_from(None),
        ):
            step()
            texts.append(urn.text)
        assert (texts[-2], texts[-1]) == (MELTER, START)
        assert urn.last_valid is None  # what is shown is never of another appliance
        for text in reversed(texts[:-1]):
            assert urn.undo()
            assert urn.text == text
        assert (urn.undo(), len(urn.earlier), len(urn.later), urn.problems) == (False, 0, 5, ())
        assert urn.last_valid == urn.appliance == load_appliance("tea-urn")
        for text in texts[1:]:
            assert urn.redo()
            assert urn.text == text
        assert not urn.redo()
        urn.undo()
        urn.text = "# something else"
        assert (len(urn.later), urn.redo()) == (0, False)
        for number in range(MOST_STEPS):
            urn.text = f"# {number}"
        assert len(urn.earlier) == MOST_STEPS

    def test_a_step_that_is_refused_leaves_the_text_as_it_is(self, urn: Description) -> None:
        for step, said in (
            (lambda: urn.remove("E9"), "no part 'E9'"),
            (lambda: urn.add("lamp", name="E1"), r"another part called 'E1'\. Accepted: any name"),
            (lambda: setattr(urn, "text", 5), "found 5 as the text"),
        ):
            with pytest.raises(DescriptionError, match=said):
                step()
        assert (urn.text, len(urn.earlier), urn.problems) == (URN, 0, ())


class TestSaving:
    def test_it_is_saved_where_load_appliance_finds_it(self, urn: Description) -> None:
        assert not urn.unsaved
        urn.change("E2", power_W=1500)
        assert urn.unsaved
        path = urn.save("my-urn")
        assert path == Path("appliances/my-urn.toml")
        assert load_appliance(path) == urn.appliance
        assert describe("my-urn").text == urn.text
        assert list(path.parent.iterdir()) == [path]
        assert not urn.unsaved
        urn.undo()
        assert not urn.unsaved  # it is the bundled text again

    def test_a_text_with_problems_and_half_a_character_can_be_saved_and_taken_up_again(
        self, urn: Description
    ) -> None:
        urn.text = "title = # \ud83d \U0001f525"  # half a character, as a browser may send it
        urn.save("half-done")
        again = describe("half-done")
        assert (again.text, len(again.problems)) == ("title = # \ufffd \U0001f525", 1)

    def test_each_earlier_version_is_kept_under_a_name_of_its_own_and_can_be_opened(self) -> None:
        for number, name in enumerate(("tea-urn", "wax-melter", "towel-rail"), 1):
            made = describe(name)
            for stem in ("mine", "x" * 48):
                made.save(stem, replace=True)
                assert (made.kept is None) == (number == 1)
        assert made.kept is not None
        assert describe("mine earlier").text == URN
        assert describe("mine earlier 2").text == describe(made.kept.stem).text == MELTER
        assert describe("mine").text == describe("towel-rail").text

    def test_saving_again_writes_over_what_it_saved_itself_and_over_nothing_else(
        self, urn: Description, own: Path
    ) -> None:
        path = urn.save("my-urn")
        (own / "copy.toml").write_bytes(path.read_bytes())
        again = describe("my-urn")
        for each in (again, urn):
            each.change("E1", power_W=450)
        with pytest.raises(FileKept):  # opened, and not saved by this one
            again.save("my-urn")
        with pytest.raises(FileKept):  # it says what was saved, under another name
            urn.save("copy")
        urn.save("my-urn")
        assert path.read_text("utf-8") == urn.text
        path.write_text("# changed in an editor", "utf-8")
        with pytest.raises(FileKept, match=r"my-urn\.toml already exists.*Nothing was saved"):
            urn.save("my-urn")
        assert path.read_text("utf-8") == "# changed in an editor"

    def test_another_appliance_is_not_saved_over_the_one_saved_before(
        self, urn: Description
    ) -> None:
        urn.save("mine")
        urn.start_from(None)
        with pytest.raises(FileKept, match=r"is another appliance, 'Six-litre tea urn'.*earlier"):
            urn.save("mine")
        urn.undo()
        urn.text = MELTER  # nor one that was typed over it
        with pytest.raises(FileKept, match="is another appliance, 'Six-litre tea urn'"):
            urn.save("mine")
        assert describe("mine").text == URN

    def test_a_name_of_the_lessons_is_taken_only_in_a_second_step(
        self, urn: Description, own: Path
    ) -> None:
        with pytest.raises(FileKept, match="an appliance of the lessons"):
            urn.save("wax-melter")
        assert list(own.iterdir()) == []
        urn.save("wax-melter", replace=True)
        assert load_appliance("wax-melter") == urn.appliance
        (own / "tea-urn.toml").write_text(URN, "utf-8")  # as in a trainee's folder
        again = describe("tea-urn")
        assert again.file_name == "six-litre-tea-urn"
        again.change("E1", power_W=450)
        with pytest.raises(FileKept, match="says something else, and lessons load it"):
            again.save("tea-urn")
        again.save("tea-urn", replace=True)  # who says so twice goes on there
        assert again.file_name == "tea-urn"

    @pytest.mark.skipif(os.name == "nt", reason="links and pipes need rights there")
    def test_a_link_is_never_followed_and_a_pipe_keeps_nobody_waiting(
        self, urn: Description, own: Path, folder: Path
    ) -> None:
        outside = folder / "outside"
        outside.write_text("kept", "utf-8")
        (own / "my-urn.toml").symlink_to(outside)
        with pytest.raises(FileKept, match="it is a link"):
            urn.save("my-urn", replace=True)
        assert outside.read_text("utf-8") == "kept"
        os.mkfifo(own / "mine.toml")
        with pytest.raises(DescriptionError, match=r"cannot read mine\.toml: a pipe"):
            describe("mine")
        with pytest.raises(FileKept, match="cannot be replaced: a pipe"):
            urn.save("mine", replace=True)


class TestNames:
    def test_the_name_to_save_under_goes_with_the_appliance(self) -> None:
        made = describe()
        assert made.file_name == "my-appliance"
        made.change("appliance", title="Gran's kettle, 2 l")
        assert made.file_name == "gran-s-kettle-2-l"
        made.text += "\n["  # while it cannot be read, too
        assert made.file_name == "gran-s-kettle-2-l"
        made.undo()
        made.save("kettle")
        assert made.file_name == "kettle"
        made.start_from("tea-urn")
        assert made.file_name == "six-litre-tea-urn"
        made.save(made.file_name)
        made.undo()
        assert made.file_name == "kettle"
        made.redo()
        assert made.file_name == "six-litre-tea-urn"
        made.start_from("tea-urn")  # that name is taken now
        assert made.file_name == "six-litre-tea-urn-2"
        assert describe("kettle").file_name == "kettle"

    def test_names_that_are_proposed_and_names_people_use_are_accepted(
        self, urn: Description
    ) -> None:
        for title in ("", "...", "CON", "„?“", "x" * 200):
            made = describe("tea-urn")
            made.change("appliance", title=title)
            assert made.save(made.file_name).is_file()
        for name in ("my urn", "Teekessel_2", "čajník", "urn.toml", "7"):
            assert urn.save(name).stem == name.removesuffix(".toml")

    def test_an_odd_name_is_refused_with_what_is_accepted(
        self, urn: Description, folder: Path
    ) -> None:
        odd = ["", " ", "..", "../up", "a/b", "a\\b", ".hidden", "con", "LPT1", "x" * 49, "a\nb"]
        for name in (*odd, "a\0", "-a"):
            with pytest.raises(DescriptionError, match=r"the name .*Accepted: 1 to 48 letters"):
                urn.save(name)
        assert list(folder.iterdir()) == []


class TestOpening:
    def test_a_name_that_is_not_there_names_a_near_one(self) -> None:
        with pytest.raises(ApplianceNotFound, match='mean "tea-urn"'):
            describe("tea-urm")
        for name in ("../tea-urn", "a\0b", "nowhere.toml", "a" * 300 + ".toml"):
            with pytest.raises(ApplianceNotFound):
                describe(name)
        for odd in (5, b"mine.toml", ["tea-urn"]):
            with pytest.raises(DescriptionError, match="name of an appliance"):
                describe(odd)  # type: ignore[arg-type]

    def test_a_path_is_taken_and_lines_are_read_as_other_systems_end_them(
        self, folder: Path
    ) -> None:
        path = folder / "mine.toml"
        path.write_bytes(b"\xef\xbb\xbf" + URN.replace("\n", "\r\n").encode())
        assert describe(path).text == URN
        assert describe(path).appliance == load_appliance(path)

    def test_a_file_that_is_no_text_of_that_size_is_refused_unread(self, folder: Path) -> None:
        for data in (b"\xff\xfe", b"#" * 300_000):
            (folder / "odd.toml").write_bytes(data)
            with pytest.raises(DescriptionError, match=r"cannot read odd\.toml"):
                describe("odd.toml")
        os.truncate(folder / "odd.toml", 2**40)  # a terabyte of nothing
        with pytest.raises(DescriptionError, match=r"cannot read odd\.toml: a file of 1,099,511"):
            describe("odd.toml")
