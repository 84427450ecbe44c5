"""The form's Python side: what is pressed changes the text, and the text changes the form."""

from __future__ import annotations

import json
from base64 import b64decode
from pathlib import Path

import pytest

from lessonlib.errors import SolverError
from lessonlib.workbench.description import describe
from lessonlib.workbench.looks import LOOKS
from tests.workbench.hands import Shown, save_another


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def urn() -> Shown:
    return Shown("tea-urn")


def test_a_notebook_shows_the_form_and_plain_text_elsewhere(urn: Shown) -> None:
    bundle = urn.description._repr_mimebundle_()
    model_id = bundle["application/vnd.jupyter.widget-view+json"]["model_id"]
    assert model_id == urn.box.model_id
    assert bundle["text/plain"] == (
        f"{urn.form.text.rstrip()}\n\nno problems\n"
        "In every setting – no setting of the switches turns everything off. "
        "Only the pulled plug does.\n"
        "It draws at most 1600 W (6.96 A): S1 on, 230 V."
    )


ODD = "title = 1979-05-27\nelement = 3\n[[lamp]]\nname = 'H'\npower_W = nan\n[supply]\nx = [1]"


@pytest.mark.parametrize("name", ["garment-steamer", ODD])
def test_the_state_is_plain_json_for_odd_text_too(name: str) -> None:
    shown = Shown()
    shown.type(ODD if name == ODD else describe(name).text)
    state = shown.form.get_state(["parts", "forms", "problems", "begins"])
    assert json.loads(json.dumps(state, allow_nan=False)).keys() == state.keys()
    assert bool(state["problems"]) == (name == ODD)


class TestParts:
    def test_where_nothing_can_be_changed_it_is_told(self, urn: Shown) -> None:
        for row in urn.form.parts:
            said = urn.press("change", name=row["name"], typed=row["values"])
            assert said == "No value was different, so nothing was changed."
        assert urn.form.steps_back == 0
        said = urn.press("add", "title = ", kind="element", typed={"between": ["L", "N"]})
        assert said.startswith("found that line 1 is not valid TOML")
        assert (urn.form.done, urn.form.text) == (False, "title = ")
        urn.press("undo")
        assert "Type a new name" in urn.press("point", name="boost", new_name=" ")

    def test_one_is_changed_renamed_and_taken_out_each_in_one_step(self, urn: Shown) -> None:
        row = next(row for row in urn.form.parts if row["name"] == "E1")
        typed = {**row["values"], "name": "small", "power_W": "0.5 kW"}
        assert urn.press("change", name="E1", typed=typed) == "Changed: small."
        assert (urn.form.steps_back, urn.description.appliance.part("small").power_W) == (1, 500)
        urn.press("remove", name="S1")
        assert [problem["place"] for problem in urn.form.problems] == ["[[element]] E2 between"]
        urn.press("undo")
        assert (urn.form.steps_back, urn.form.steps_forward) == (1, 1)
        assert (urn.press("redo"), urn.press("redo")) == ("Redone.", "There is nothing to redo.")

    def test_title_and_supply_change_in_one_step(self, urn: Shown) -> None:
        whole = urn.form.parts[0]["values"]
        typed = {**whole, "title": "My urn", "voltage_V": "120", "reversible_plug": True}
        urn.press("change", name="appliance", typed=typed)
        now = urn.description.appliance
        assert (now.title, now.supply.voltage_V, now.supply.reversible_plug) == (
            "My urn",
            120,
            True,
        )
        assert urn.form.steps_back == 1

    def test_one_that_does_not_fit_is_refused_at_its_fields(self, urn: Shown) -> None:
        before, typed = urn.form.text, {"between": ["L", ""], "power_W": "500"}
        urn.press("add", kind="element", typed=typed)
        end = "It needs a second end. Choose the point where it goes."
        assert urn.form.wrong == {"between": end}
        typed["between"] = ["L", "N"]
        urn.press("add", kind="element", typed=typed)
        assert urn.form.wrong == {"voltage_V": "Give its voltage too."}
        urn.press("add", kind="element", typed={**typed, "voltage_V": "230", "name": "E2"})
        assert urn.form.wrong == {"name": "Another part is called E2. Choose another name."}
        urn.press("change", name="E1", typed={"voltage_V": "0"})
        assert urn.form.wrong == {"voltage_V": "Found 0 V. Give a number from 0.1 to 1,000 V."}
        assert (urn.form.text, urn.form.steps_back) == (before, 0)
        # a point without another part is not wrong: the next part may end there
        urn.press("add", kind="diode", typed={"between": ["L", "x"]})
        assert urn.form.done
        assert [problem["words"] for problem in urn.form.problems] == [
            "Diode D1: Nothing else is joined to x yet. Let another part end there too."
        ]

    def test_the_voltage_of_a_new_element_is_that_of_the_supply_until_another_is_typed(
        self,
    ) -> None:
        shown = Shown("food-warmer")
        assert shown.form.begins["element"]["voltage_V"] == "120"
        assert "voltage_V" not in shown.form.begins["switch"]
        typed = {"between": ["L", "N"], "voltage_V": "120", "resistance_ohm": "50"}
        shown.press("add", kind="element", typed=typed)  # what was filled in gives way
        assert shown.form.done
        assert "resistance_ohm = 50\n" in shown.form.text
        shown.press("add", kind="element", typed={**typed, "voltage_V": "110"})
        assert list(shown.form.wrong) == ["resistance_ohm"]

    def test_a_value_is_proposed_with_what_it_comes_from_and_not_taken_by_itself(
        self, urn: Shown
    ) -> None:
        before = urn.form.text
        said = urn.press("suggest", kind="vessel", key="loss_W_per_K", typed={"water_kg": "6"})
        assert urn.form.suggested == {"key": "loss_W_per_K", "typed": "1.8"}
        assert said.startswith("Filled in 1.8 W/K: a bare can")
        assert "no source" in said
        assert urn.form.text == before

    def test_plain_code_and_the_form_are_one(self, urn: Shown) -> None:
        urn.description.add("lamp", between=["L", "N"], resistance_ohm=1e5)
        assert urn.form.text == urn.description.text
        assert "H1" in [row["name"] for row in urn.form.parts]


class TestText:
    def test_while_it_is_wrong_the_last_picture_stays_and_is_marked(self, urn: Shown) -> None:
        picture, parts = urn.form.picture, urn.form.parts
        urn.type(urn.form.text + "\n[[element")
        assert (urn.form.picture, urn.form.parts) == (picture, parts)
        assert (urn.form.stale, urn.form.editable) == (True, False)
        assert urn.form.standing == "1 problem"
        assert "not valid TOML" in urn.press("remove", name="E1")
        urn.type(describe("wax-melter").text)
        assert (urn.form.stale, urn.form.editable, urn.form.problems) == (False, True, [])
        assert urn.form.picture != picture
        urn.press("look", name="live")
        urn.type(" ")  # and of another appliance, or of none, there is none to show
        assert (urn.form.stale, urn.form.picture, urn.form.look) == (False, "", "")

    def test_where_the_reader_gave_up_there_are_more_problems_than_are_listed(self) -> None:
        shown = Shown()
        lamps = "".join(f"[[lamp]]\nname = 'H{n}'\npower_W = -1\n" for n in range(50))
        shown.type(shown.form.text + lamps)
        assert shown.form.standing == f"more than {len(shown.form.problems)} problems"

    def test_one_that_can_be_read_is_told_what_it_does_at_its_worst(self, urn: Shown) -> None:
        shorting = urn.form.text.replace('["L", "boost"]', '["L", "N"]')
        urn.type(shorting.replace('between = ["boost", "N"]', 'between = ["L", "N"]'))
        assert (urn.form.problems, urn.form.standing) == ([], "The description is complete.")
        first = urn.form.remarks[0]
        assert first["warning"]
        assert first["words"].startswith("S1 on – the mains is shorted: L – S1 – N.")
        urn.type("title = ")
        assert urn.form.remarks == []

    def test_an_appliance_that_cannot_be_worked_out_is_told_and_loses_nothing(
        self, urn: Shown, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        picture, text = urn.form.picture, urn.form.text.replace("1200", "1500")

        def refuse(appliance: object) -> object:
            raise SolverError("the balance does not hold")

        monkeypatch.setattr("lessonlib.workbench.description.remarks", refuse)
        for step in ("schematic", "remarks"):
            monkeypatch.setattr(f"lessonlib.workbench.box.{step}", refuse)
            urn.type(text)
            assert urn.form.standing.endswith("could not be solved. the balance does not hold")
            assert (urn.form.text, urn.form.picture, urn.form.stale) == (text, picture, True)
        assert repr(urn.description).endswith("the balance does not hold")

    @pytest.mark.parametrize(
        "text",
        [
            "element = 3\nsupply = 5\nvessel = []",
            '[element]\nname = "E1"\n[vessel.odd]\nx = 1',
            '[[switch]]\nname = "S1"\npositions = 3\n[[switch.contacts]]\nbetween = {}',
            '[[element]]\nname = "appliance"\n[[element]]\nname = "supply"\n[[lamp]]\nname = 7',
            "title = 07:32:00\npurpose = [nan, inf]\n" + "x" * 70_000 + " = 1",
        ],
    )
    def test_odd_text_is_answered_in_every_action(self, text: str) -> None:
        shown = Shown()
        shown.type(text)
        assert shown.form.problems
        for row in shown.form.parts:
            shown.press("change", name=row["name"], typed={"name": "new", "power_W": "5"})
            shown.press("undo")
            shown.press("remove", name=row["name"])
            shown.press("undo")
        shown.press("add", kind="vessel", typed={"water_kg": "1"})
        shown.press("add", kind="element", typed={"name": "E1", "between": ["L", "N"]})
        shown.press("save", name="odd", replace=False)
        still = shown.description.problems.counted
        assert shown.form.said == f"Saved as appliances/odd.toml. It still has {still}."


class TestFiles:
    def test_starting_from_another_takes_its_text_and_offers_own_files_too(
        self, urn: Shown
    ) -> None:
        save_another("kettle")
        urn.press("type")
        assert (urn.form.saved, "wax-melter" in urn.form.examples) == (["kettle"], True)
        assert urn.press("start", name="kettle").startswith("Opened kettle.")
        assert (urn.form.text, urn.form.begun_from) == (describe("kettle").text, "kettle")
        assert urn.press("start", name="") == "Started a new one. Undo goes back to your text."
        assert (urn.form.begun_from, urn.form.save_as) == ("", "my-appliance")

    def test_a_folder_that_cannot_be_written_is_told(self, urn: Shown) -> None:
        Path("appliances").write_text("a file in its place", "utf-8")
        assert "exists" in urn.press("save", name="my-urn", replace=False)
        assert not urn.form.done


class TestLooks:
    @pytest.mark.parametrize("name", LOOKS)
    def test_each_can_be_shown_of_an_appliance_with_a_vessel(self, name: str, urn: Shown) -> None:
        urn.press("look", name=name)
        assert (urn.form.done, urn.form.look) == (True, name)
        assert bool(urn.form.shown) != (len(urn.box.children) == 2)

    def test_what_is_shown_follows_each_text_without_problems(self, urn: Shown) -> None:
        assert urn.press("look", name="live") == "Live picture: shown below."
        first = urn.box.children[1]
        assert (urn.form.look, first.appliance) == ("live", urn.description.appliance)
        urn.type(urn.form.text.replace("1200", "1500"))
        second = urn.box.children[1]
        assert second.appliance.part("E2").power_W == 1500
        assert first.comm is None  # closed: nothing is left behind
        urn.type("title =")
        assert (urn.box.children[1], urn.form.stale) == (second, True)
        assert "without problems" in urn.press("look", name="settings")
        urn.press("undo")
        urn.press("look", name="settings")
        assert urn.box.children == (urn.form,)
        assert "1900 W" in urn.form.shown
        urn.type(urn.form.text.replace("1500", "1600"))
        assert "2000 W" in urn.form.shown
        assert urn.press("look", name="settings") == "Every setting: closed."
        assert (urn.form.look, urn.form.shown) == ("", "")

    def test_what_is_missing_is_said_where_something_cannot_be_shown(self) -> None:
        shown = Shown("towel-rail")
        shown.press("look", name="ohms")
        assert "describe its vessel first" in shown.press("look", name="heating")
        assert shown.form.look == "ohms"
        shown.type(shown.form.text + "\n[vessel]\nwater_kg = 1\n")
        shown.press("look", name="heating")
        assert "describe its vessel first" in shown.type(describe("towel-rail").text)
        assert (shown.form.look, shown.box.children) == ("", (shown.form,))
        many = "".join(
            f'[[switch]]\nname = "S{n}"\npositions = ["a", "b"]\n'
            'contacts = [{ between = ["L", "N"], closed_in = ["a"] }]\n'
            for n in range(10, 20)
        )
        shown.type(shown.form.text + many)
        assert "settings together" in shown.press("look", name="settings")

    @pytest.mark.parametrize(
        ("look", "words"), [("sheet", "1500 W"), ("plan", "Go from step to step")]
    )
    def test_a_page_is_printed_beside_the_notebook_and_nothing_is_lost(
        self, urn: Shown, look: str, words: str
    ) -> None:
        names = [f"six-litre-tea-urn-{look}.pdf", f"six-litre-tea-urn-{look}.html"]
        Path(names[0]).write_text("mine", "utf-8")
        urn.press("look", name=look)
        assert [path.name for path in Path().iterdir()] == names[:1]
        assert urn.press("paper") == (
            f"Written beside this notebook: {names[0]} and {names[1]}. What was there before is "
            f"kept: six-litre-tea-urn-{look} earlier.pdf."
        )
        assert [paper["name"] for paper in urn.form.papers] == names
        assert b64decode(urn.form.papers[0]["data"]) == Path(names[0]).read_bytes()
        assert Path(f"six-litre-tea-urn-{look} earlier.pdf").read_text("utf-8") == "mine"
        urn.type(urn.form.text.replace("1200", "1500"))
        assert urn.form.papers == []  # they were of the text before
        assert "kept" not in urn.press("paper")
        assert words in Path(names[1]).read_text("utf-8")
