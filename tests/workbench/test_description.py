"""A description in plain code: its text is the one truth, and nothing of it gets lost."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from lessonlib import load_appliance, solve
from lessonlib.appliance.bundled import appliance_files
from lessonlib.errors import ApplianceError, ApplianceNotFound, DescriptionError, FileKept
from lessonlib.workbench.description import MOST_STEPS, START, describe


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty working folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_an_appliance_is_described_step_by_step_in_plain_code() -> None:
    pot = describe()
    pot.change("appliance", title="Gluepot")
    pot.add("element", between=["L", "N"], power_W=300, voltage_V=230)
    pot.add("element", between=["x", "N"], power_W=600, voltage_V=230)
    pot.add(
        "switch", positions=["off", "on"], contacts=[{"between": ["L", "x"], "closed_in": ["on"]}]
    )
    assert pot.problems == ()
    assert [part.name for part in pot.appliance.parts] == ["E1", "E2", "S1"]
    assert solve(pot.appliance, {"S1": "on"}).power_W == pytest.approx(900, rel=1e-9)


def test_a_new_description_is_an_empty_text_with_a_first_step_named() -> None:
    empty = describe()
    assert empty.text == START
    assert [problem.next_step[:18] for problem in empty.problems] == ["add an [[element]]"]
    with pytest.raises(ApplianceError, match="no parts"):
        empty.appliance  # noqa: B018


def test_problems_come_all_together_and_the_last_valid_appliance_stays() -> None:
    urn = describe("tea-urn")
    valid = urn.appliance
    urn.add("element", between=["x", "N"], power_W=300)
    urn.change("E1", power_W=-1)
    assert [problem.key for problem in urn.problems] == ["power_W", "power_W"]
    assert urn.last_valid == valid
    for words in ("found:", "accepted:", "next:"):
        assert repr(urn.problems).count(words) == 2
    assert repr(describe("tea-urn").problems) == "no problems"


def test_every_step_can_be_undone_in_turn() -> None:
    urn = describe("tea-urn")
    texts = [urn.text]
    urn.add("lamp", between=["L", "N"], resistance_ohm=1e5)
    texts.append(urn.text)
    urn.rename("E1", "small")
    texts.append(urn.text)
    urn.remove("S1")
    texts.append(urn.text)
    urn.text += "\n# done\n"
    while urn.steps_back:
        assert urn.undo()
        assert urn.text == texts.pop()
    assert (texts, urn.undo(), urn.problems) == ([], False, ())


def test_what_was_undone_can_be_done_again_until_something_else_is_done() -> None:
    urn = describe("tea-urn")
    texts = [urn.text]
    for watts in (450, 500, 550):
        urn.change("E1", power_W=watts)
        texts.append(urn.text)
    while urn.undo():
        pass
    assert urn.steps_forward == 3
    for text in texts[1:]:
        assert urn.redo()
        assert urn.text == text
    assert not urn.redo()
    urn.undo()
    urn.change("E1", power_W=600)
    assert (urn.steps_forward, urn.redo()) == (0, False)


def test_undo_reaches_back_a_bounded_number_of_steps() -> None:
    urn = describe("tea-urn")
    for number in range(MOST_STEPS + 10):
        urn.text = f"# {number}"
    assert urn.steps_back == MOST_STEPS


def test_a_name_that_a_part_has_is_refused_at_once() -> None:
    urn = describe("tea-urn")
    for step in (
        lambda: urn.add("lamp", name="E1", between=["L", "N"], resistance_ohm=1e5),
        lambda: urn.rename("E2", "E1"),
    ):
        with pytest.raises(DescriptionError, match=r"is called 'E1' already\. Accepted: a name"):
            step()
    assert (urn.problems, urn.steps_back) == ((), 0)


def test_a_text_that_is_not_valid_toml_says_so_in_every_step(folder: Path) -> None:
    (folder / "broken.toml").write_text("title = ", "utf-8")
    broken = describe("broken.toml")
    for step in (
        lambda: broken.add("element", between=["L", "N"]),
        lambda: broken.rename("E1", "E2"),
        lambda: broken.rename_point("a", "b"),
        lambda: broken.remove("E1"),
    ):
        with pytest.raises(DescriptionError, match="found that line 1 is not valid TOML"):
            step()


def test_half_a_character_is_taken_as_a_browser_sends_it_and_can_be_saved() -> None:
    urn = describe("tea-urn")
    urn.text += "# \ud83d \U0001f525"
    assert urn.text.endswith("# \ufffd \U0001f525")
    assert urn.save("mine").read_text("utf-8") == urn.text


def test_a_step_that_is_refused_leaves_the_text_as_it_is() -> None:
    urn = describe("tea-urn")
    for step in (lambda: urn.add("boiler"), lambda: urn.remove("E9")):
        with pytest.raises(DescriptionError):
            step()
    assert (urn.text, urn.steps_back) == (describe("tea-urn").text, 0)
    with pytest.raises(DescriptionError, match="as the text"):
        urn.text = 5  # type: ignore[assignment]


def test_it_is_saved_where_load_appliance_finds_it(folder: Path) -> None:
    urn = describe("tea-urn")
    urn.change("E2", power_W=1500)
    path = urn.save("my-urn")
    assert path == Path("appliances/my-urn.toml")
    assert load_appliance(path) == urn.appliance
    assert describe("my-urn").text == urn.text
    assert [each.name for each in (folder / "appliances").iterdir()] == ["my-urn.toml"]


def test_a_file_that_is_there_is_replaced_only_in_a_second_step(folder: Path) -> None:
    theirs = folder / "appliances" / "my-urn.toml"
    theirs.parent.mkdir()
    theirs.write_text("# mine", "utf-8")
    urn = describe("tea-urn")
    with pytest.raises(FileKept, match=r"my-urn\.toml is there already.*Nothing was saved"):
        urn.save("my-urn")
    assert theirs.read_text("utf-8") == "# mine"
    urn.save("my-urn", replace=True)
    assert theirs.read_text("utf-8") == urn.text
    assert urn.kept == Path("appliances/my-urn earlier.toml")
    assert urn.kept.read_text("utf-8") == "# mine"


def test_each_earlier_version_is_kept_under_a_name_of_its_own_and_can_be_opened() -> None:
    for number, name in enumerate(("tea-urn", "wax-melter", "towel-rail"), 1):
        made = describe(name)
        made.save("mine", replace=True)
        assert (made.kept is None) == (number == 1)
    assert describe("mine earlier").text == describe("tea-urn").text
    assert describe("mine earlier 2").text == describe("wax-melter").text
    assert describe("mine").text == describe("towel-rail").text
    longest = describe("tea-urn")
    longest.save("x" * 60)
    longest.text = describe("wax-melter").text
    longest.save("x" * 60, replace=True)
    assert longest.kept is not None
    assert describe(longest.kept.stem).text == describe("tea-urn").text


def test_another_appliance_is_not_saved_over_the_one_saved_before() -> None:
    made = describe("tea-urn")
    made.save("mine")
    made.start_from(None)
    made.add("element", between=["L", "N"], power_W=300, voltage_V=230)
    with pytest.raises(FileKept, match=r"is another appliance, 'Six-litre tea urn'.*mine earlier"):
        made.save("mine")
    # nor one that was typed over it
    made.undo()
    made.undo()
    made.text = describe("wax-melter").text
    with pytest.raises(FileKept, match="is another appliance, 'Six-litre tea urn'"):
        made.save("mine")
    assert describe("mine").text == describe("tea-urn").text


def test_the_name_to_save_under_goes_with_the_appliance() -> None:
    made = describe()
    assert made.file_name == "my-appliance"
    made.change("appliance", title="Gran's kettle, 2 l")
    assert made.file_name == "gran-s-kettle-2-l"
    made.text += "\n["  # while it cannot be read, too
    assert made.file_name == "gran-s-kettle-2-l"
    made.undo()
    made.save("kettle")
    assert made.file_name == "kettle"
    made.start_from(None)
    assert made.file_name == "my-appliance"
    made.start_from("tea-urn")
    assert made.file_name == "six-litre-tea-urn"
    made.save(made.file_name)
    made.undo()
    made.undo()
    assert made.file_name == "kettle"
    made.redo()
    made.redo()
    assert made.file_name == "six-litre-tea-urn"
    made.start_from("tea-urn")  # that name is taken now
    assert made.file_name == "six-litre-tea-urn-2"
    assert describe("kettle").file_name == "kettle"


def test_the_copy_that_lessons_load_is_not_proposed_to_save_over(folder: Path) -> None:
    (folder / "appliances").mkdir()
    for name, path in appliance_files().items():  # as in a trainee's folder
        (folder / "appliances" / f"{name}.toml").write_bytes(path.read_bytes())
    urn = describe("tea-urn")
    assert urn.file_name == "six-litre-tea-urn"
    urn.change("E1", power_W=450)
    with pytest.raises(FileKept, match="says something else, and lessons load it"):
        urn.save("tea-urn")
    urn.save("tea-urn", replace=True)  # who says so twice goes on there
    assert urn.file_name == "tea-urn"


@pytest.mark.parametrize("title", ["", "...", "CON", "„?“", "x" * 200])
def test_a_name_that_is_proposed_can_be_saved_under(title: str) -> None:
    made = describe("tea-urn")
    made.change("appliance", title=title)
    assert made.save(made.file_name).is_file()


def test_saving_again_writes_over_what_it_saved_itself_but_not_over_another_hands_change(
    folder: Path,
) -> None:
    urn = describe("tea-urn")
    path = urn.save("my-urn")
    urn.change("E1", power_W=450)
    urn.save("my-urn")
    assert path.read_text("utf-8") == urn.text
    path.write_text("# changed in an editor", "utf-8")
    with pytest.raises(FileKept):
        urn.save("my-urn")
    assert path.read_text("utf-8") == "# changed in an editor"


def test_what_it_saved_under_one_name_gives_no_right_to_another(folder: Path) -> None:
    urn = describe("tea-urn")
    path = urn.save("my-urn")
    (folder / "appliances" / "copy.toml").write_bytes(path.read_bytes())
    urn.change("E1", power_W=450)
    with pytest.raises(FileKept):
        urn.save("copy")


def test_a_loaded_file_of_theirs_is_kept_at_the_first_save_too() -> None:
    describe("tea-urn").save("my-urn")
    again = describe("my-urn")
    again.change("E1", power_W=450)
    with pytest.raises(FileKept):
        again.save("my-urn")
    assert describe("my-urn").text != again.text


def test_a_name_of_the_lessons_is_taken_only_in_a_second_step() -> None:
    urn = describe("tea-urn")
    with pytest.raises(FileKept, match="an appliance of the lessons"):
        urn.save("wax-melter")
    assert not Path("appliances/wax-melter.toml").exists()
    urn.save("wax-melter", replace=True)
    assert load_appliance("wax-melter") == urn.appliance


@pytest.mark.parametrize(
    "name",
    [
        "",
        " ",
        "..",
        "../up",
        "a/b",
        "a\\b",
        ".hidden",
        "con",
        "LPT1",
        "x" * 70,
        "a\nb",
        "a\0",
        "-a",
    ],
)
def test_an_odd_name_is_refused_with_what_is_accepted(name: str, folder: Path) -> None:
    with pytest.raises(DescriptionError, match=r"found the name .*Accepted: 1 to 60 letters"):
        describe("tea-urn").save(name)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize("name", ["my urn", "Teekessel_2", "čajník", "urn.toml", "7"])
def test_names_people_use_are_accepted(name: str) -> None:
    assert describe("tea-urn").save(name).stem == name.removesuffix(".toml")


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_is_never_followed(folder: Path) -> None:
    outside = folder / "outside"
    outside.write_text("kept", "utf-8")
    (folder / "appliances").mkdir()
    (folder / "appliances" / "my-urn.toml").symlink_to(outside)
    with pytest.raises(FileKept, match="it is a link"):
        describe("tea-urn").save("my-urn", replace=True)
    assert outside.read_text("utf-8") == "kept"


def test_a_text_with_problems_can_be_saved_and_taken_up_again() -> None:
    urn = describe("tea-urn")
    urn.text = "title = "
    urn.save("half-done")
    again = describe("half-done")
    assert (again.text, len(again.problems)) == ("title = ", 1)


def test_an_own_file_comes_before_the_bundled_one_of_that_name() -> None:
    mine = describe("tea-urn")
    mine.change("E1", power_W=450)
    mine.save("tea-urn", replace=True)
    assert describe("tea-urn").text == mine.text != appliance_files()["tea-urn"].read_text("utf-8")


def test_a_name_that_is_not_there_names_a_near_one() -> None:
    with pytest.raises(ApplianceNotFound, match='mean "tea-urn"'):
        describe("tea-urm")
    for name in ("../tea-urn", "a\0b", "nowhere.toml", "a" * 300 + ".toml"):
        with pytest.raises(ApplianceNotFound):
            describe(name)


def test_lines_that_end_as_on_another_system_are_read_as_lines(folder: Path) -> None:
    (folder / "mine.toml").write_bytes(b"\xef\xbb\xbftitle = 'x'\r\n# y\r\n")
    assert describe("mine.toml").text == "title = 'x'\n# y\n"


def test_a_path_is_taken_as_load_appliance_takes_it(folder: Path) -> None:
    path = folder / "mine.toml"
    path.write_text(describe("tea-urn").text, "utf-8")
    assert describe(path).appliance == load_appliance(path)
    made = describe()
    made.start_from(path)
    assert made.text == describe("tea-urn").text


@pytest.mark.parametrize("odd", [5, b"mine.toml", ["tea-urn"]])
def test_what_is_no_name_is_refused(odd: object) -> None:
    with pytest.raises(DescriptionError, match=r"as the name of an appliance\. Accepted: its name"):
        describe(odd)  # type: ignore[arg-type]


def test_a_file_is_not_read_before_its_size_is_known(folder: Path) -> None:
    with (folder / "huge.toml").open("wb") as file:
        file.truncate(2**40)  # a terabyte of nothing
    with pytest.raises(DescriptionError, match=r"cannot read huge\.toml: a file of 1,099,511"):
        describe("huge.toml")


@pytest.mark.skipif(os.name == "nt", reason="there are no pipes in folders there")
def test_a_pipe_in_the_place_of_a_file_keeps_nobody_waiting(folder: Path) -> None:
    (folder / "appliances").mkdir()
    os.mkfifo(folder / "appliances" / "mine.toml")
    with pytest.raises(DescriptionError, match=r"cannot read mine\.toml: a pipe"):
        describe("mine")
    with pytest.raises(FileKept, match="cannot be replaced: a pipe"):
        describe("tea-urn").save("mine", replace=True)


@pytest.mark.parametrize("data", [b"\xff\xfe", b"#" * 300_000])
def test_a_file_that_is_no_text_of_that_size_is_refused(data: bytes, folder: Path) -> None:
    (folder / "odd.toml").write_bytes(data)
    with pytest.raises(DescriptionError, match=r"cannot read odd\.toml"):
        describe("odd.toml")


def test_starting_from_another_text_is_a_step_like_any_other() -> None:
    urn = describe("tea-urn")
    before = urn.text
    urn.start_from("wax-melter")
    assert "Wax melter" in urn.text
    urn.undo()
    assert urn.text == before
    urn.start_from(None)
    assert urn.text == START


def test_what_is_shown_is_never_of_another_appliance() -> None:
    urn = describe("tea-urn")
    urn.start_from(None)
    assert urn.last_valid is None
    urn.undo()
    assert urn.last_valid == urn.appliance == load_appliance("tea-urn")


def test_what_is_not_saved_is_told() -> None:
    urn = describe("tea-urn")
    assert not urn.unsaved
    urn.change("E1", power_W=450)
    assert urn.unsaved
    urn.save("my-urn")
    assert not urn.unsaved
    urn.undo()
    assert not urn.unsaved  # it is the bundled text again
