"""The form's Python side: what is pressed changes the text, and the text changes the form."""

from __future__ import annotations

import json
from base64 import b64decode
from pathlib import Path
from typing import Any

import pytest

from lessonlib import family
from lessonlib.errors import SolverError
from lessonlib.workbench.box import DescriptionBox
from lessonlib.workbench.description import Description, describe
from lessonlib.workbench.looks import LOOKS


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


class Shown:
    """A description as a notebook shows it, and a hand that presses."""

    def __init__(self, description: Description) -> None:
        self.description = description
        description._repr_mimebundle_()
        box = description._view
        assert box is not None
        self.box: DescriptionBox = box
        self.form = box.form

    def press(self, do: str, text: str | None = None, **action: Any) -> str:
        state = {"action": {"do": do, **action}, "asked": self.form.asked + 1}
        self.form.set_state({"text": self.form.text if text is None else text, **state})
        assert self.form.heard == self.form.asked
        return str(self.form.said)


def test_a_notebook_shows_the_form_and_plain_text_elsewhere() -> None:
    urn = describe("tea-urn")
    bundle = urn._repr_mimebundle_()
    assert urn._view is not None
    model_id = bundle["application/vnd.jupyter.widget-view+json"]["model_id"]
    assert model_id == urn._view.model_id
    assert bundle["text/plain"] == (
        f"{urn.text.rstrip()}\n\nno problems\n"
        "In every setting – no setting of the switches turns everything off. "
        "Only the pulled plug does.\n"
        "It draws at most 1600 W (6.96 A): S1 on, 230 V."
    )


def test_the_state_is_plain_json_for_every_bundled_appliance_and_for_odd_text() -> None:
    odd = "title = 1979-05-27\nelement = 3\n[[lamp]]\nname = 'H'\npower_W = nan\n[supply]\nx = [1]"
    texts = [describe(name).text for name in ("tea-urn", "hot-trolley", "garment-steamer")]
    for text in (*texts, odd):
        shown = Shown(describe())
        shown.press("type", text)
        state = shown.form.get_state(["parts", "forms", "problems", "begins"])
        assert json.loads(json.dumps(state, allow_nan=False)).keys() == state.keys()
        assert bool(state["problems"]) == (text == odd)


def test_a_part_typed_with_units_is_put_in_under_the_proposed_name() -> None:
    shown = Shown(describe())
    typed = {"name": "", "between": ["L", "N"], "power_W": "1.2 kW", "voltage_V": "230"}
    assert shown.press("add", kind="element", typed=typed) == "Added E1, heating element."
    assert shown.form.done
    assert 'name = "E1"\nbetween = ["L", "N"]\npower_W = 1200\nvoltage_V = 230\n' in shown.form.text
    assert shown.form.begins["element"] == {"name": "E2", "voltage_V": "230"}
    assert "1200 W" in shown.form.picture


def test_what_cannot_be_read_is_told_and_changes_nothing() -> None:
    shown = Shown(describe("tea-urn"))
    before = shown.form.text
    said = shown.press("add", kind="element", typed={"power_W": "much", "voltage_V": "230 A"})
    assert said == "Nothing was changed yet. First put right what is marked with ▲."
    assert list(shown.form.wrong) == ["power_W", "voltage_V"]
    assert shown.form.wrong["voltage_V"] == "A is for current. Give it in V."
    assert (shown.form.done, shown.form.text) == (False, before)
    for row in shown.form.parts:
        said = shown.press("change", name=row["name"], typed=row["values"])
        assert said == "No value was different, so nothing was changed."
    assert shown.form.steps_back == 0
    said = shown.press("add", "title = ", kind="element", typed={"between": ["L", "N"]})
    assert said.startswith("found that line 1 is not valid TOML")
    assert (shown.form.done, shown.form.text) == (False, "title = ")
    said = shown.press("save", name="half-done", replace=False)
    assert said == "Saved as appliances/half-done.toml. It still has 1 problem."


def test_a_part_is_changed_renamed_and_taken_out_each_in_one_step() -> None:
    shown = Shown(describe("tea-urn"))
    row = next(row for row in shown.form.parts if row["name"] == "E1")
    typed = {**row["values"], "name": "small", "power_W": "0.5 kW"}
    assert shown.press("change", name="E1", typed=typed) == "Changed: small."
    assert (shown.form.steps_back, shown.description.appliance.part("small").power_W) == (1, 500)
    shown.press("remove", name="S1")
    without = shown.form.text
    assert [problem["place"] for problem in shown.form.problems] == ["[[element]] E2 between"]
    shown.press("undo")
    assert (shown.form.steps_back, shown.form.steps_forward) == (1, 1)
    assert shown.press("redo") == "Redone."
    assert (shown.form.text, shown.form.steps_forward) == (without, 0)
    assert shown.press("redo") == "There is nothing to redo."
    shown.press("undo")
    shown.press("undo")
    assert shown.form.text == describe("tea-urn").text
    assert shown.press("undo") == "There is nothing to undo."


def test_title_and_supply_change_in_one_step() -> None:
    shown = Shown(describe("tea-urn"))
    whole = shown.form.parts[0]
    typed = {**whole["values"], "title": "My urn", "voltage_V": "120", "reversible_plug": True}
    shown.press("change", name="appliance", typed=typed)
    now = shown.description.appliance
    assert (now.title, now.supply.voltage_V, now.supply.reversible_plug) == ("My urn", 120, True)
    assert shown.form.steps_back == 1


def test_while_the_text_is_wrong_the_last_picture_stays_and_is_marked() -> None:
    shown = Shown(describe("tea-urn"))
    picture, parts = shown.form.picture, shown.form.parts
    shown.press("type", shown.form.text + "\n[[element")
    assert (shown.form.picture, shown.form.parts) == (picture, parts)
    assert (shown.form.stale, shown.form.editable) == (True, False)
    assert shown.form.standing == "1 problem"
    assert "not valid TOML" in shown.press("remove", name="E1")
    shown.press("type", describe("wax-melter").text)
    assert (shown.form.stale, shown.form.editable, shown.form.problems) == (False, True, [])
    assert shown.form.picture != picture
    shown.press("start", name="")  # and of another appliance there is none to show
    assert (shown.form.stale, shown.form.picture) == (False, "")


def test_where_the_reader_gave_up_there_are_more_problems_than_are_listed() -> None:
    shown = Shown(describe())
    lamps = "".join(f"[[lamp]]\nname = 'H{n}'\npower_W = -1\n" for n in range(50))
    shown.press("type", shown.form.text + lamps)
    assert shown.form.standing == f"more than {len(shown.form.problems)} problems"


def test_what_is_shown_below_follows_each_text_without_problems() -> None:
    shown = Shown(describe("tea-urn"))
    assert shown.press("look", name="live") == "Live picture: shown below."
    first = shown.box.children[1]
    assert (shown.form.look, first.appliance) == ("live", shown.description.appliance)
    shown.press("type", shown.form.text.replace("1200", "1500"))
    second = shown.box.children[1]
    assert second.appliance.part("E2").power_W == 1500
    assert first.comm is None  # closed: nothing is left behind
    shown.press("type", "title =")
    assert (shown.box.children[1], shown.form.stale) == (second, True)
    assert "without problems" in shown.press("look", name="settings")
    shown.press("undo")
    shown.press("look", name="settings")
    assert shown.box.children == (shown.form,)
    assert "1900 W" in shown.form.shown
    shown.press("type", shown.form.text.replace("1500", "1600"))
    assert "2000 W" in shown.form.shown
    assert shown.press("look", name="settings") == "Every setting: closed."
    assert (shown.form.look, shown.form.shown) == ("", "")


@pytest.mark.parametrize("name", LOOKS)
def test_everything_can_be_shown_of_an_appliance_with_a_vessel(name: str) -> None:
    save_another("1 kettle")
    shown = Shown(describe("tea-urn"))
    shown.press("look", name=name)
    assert (shown.form.done, shown.form.look) == (True, name)
    assert bool(shown.form.shown) != (len(shown.box.children) == 2)


def save_another(name: str) -> None:
    Path("appliances").mkdir(exist_ok=True)
    text = describe("soup-kettle").text
    Path("appliances", f"{name}.toml").write_text(text, "utf-8")


def beside(shown: Any, **action: Any) -> Any:
    """The form for a family, after a press on it."""
    form = shown.box.children[1]
    if action:
        form.action = action
        form.asked += 1
        assert form.heard == form.asked
    return form


def labels(form: Any) -> list[str]:
    return [member["label"] for member in form.table["members"]]


def test_it_is_shown_beside_the_others_that_were_saved_in_the_order_of_their_names() -> None:
    shown = Shown(describe("tea-urn"))
    shown.press("look", name="beside")
    assert "alone" in beside(shown).said
    shown.press("look", name="beside")
    save_another("2 kettle")
    Path("appliances", "1 broken.toml").write_text("nothing", "utf-8")
    shown.press("look", name="beside")
    form = beside(shown)
    assert labels(form) == ["2 kettle", "Six-litre tea urn"]
    assert "1 broken" in form.table["notes"][0]
    shown.press("save", name="3 urn", replace=False)
    shown.press("type", shown.form.text.replace("1200", "1500"))
    assert beside(shown) is form
    assert form.rows[-1] == {"label": "Six-litre tea urn", "name": "3 urn"}
    assert "1900 W (400 W + 1500 W)" in str(form.table["rows"])  # as in the form, not as saved


def test_a_family_of_ones_own_is_labelled_ordered_saved_and_opened_again() -> None:
    save_another("kettle")
    shown = Shown(describe("tea-urn"))
    shown.press("look", name="beside")
    form = beside(shown)
    form.rows = [*form.rows[::-1], {"label": "a melter", "name": "wax-melter"}]
    form.title = "Three of ours"
    assert labels(beside(shown, do="show")) == ["Six-litre tea urn", "kettle", "a melter"]
    assert "Save it above first" in beside(shown, do="save", name="three").said
    shown.press("save", name="urn", replace=False)
    shown.press("type", shown.form.text.replace("1200", "1500"))
    assert beside(shown, do="save", name="three").said == "Saved as families/three.toml."
    found = family("three")
    assert (found.title, [member.label for member in found.members]) == (form.title, labels(form))
    form.rows = form.rows[:1]
    assert "kept" not in beside(shown, do="save", name="three").said  # its own list
    Path("families/other.toml").write_text('title = "not ours"', "utf-8")
    assert "is another list" in beside(shown, do="save", name="other").said
    assert "other" in beside(shown, do="open", name="floor-steamer").lists
    assert labels(form)[0] == "no off"
    assert beside(shown, do="open", name="three").rows == [
        {"label": "Six-litre tea urn", "name": "urn"}
    ]


def test_a_family_of_ones_own_is_written_for_the_printer_and_nothing_is_lost() -> None:
    save_another("kettle")
    Path("ours-family.pdf").write_text("mine", "utf-8")
    shown = Shown(describe("tea-urn"))
    shown.press("look", name="beside")
    form = beside(shown, do="write", name="ours", paper="letter")
    assert form.said == (
        "Written beside this notebook: ours-family.pdf and ours-family.html. What was there before "
        "is kept: ours-family earlier.pdf."
    )
    assert [paper["name"] for paper in form.papers] == ["ours-family.pdf", "ours-family.html"]
    assert b64decode(form.papers[0]["data"]) == Path("ours-family.pdf").read_bytes()


def test_what_is_missing_is_said_where_something_cannot_be_shown() -> None:
    shown = Shown(describe("towel-rail"))
    shown.press("look", name="ohms")
    assert "describe its vessel first" in shown.press("look", name="heating")
    assert shown.form.look == "ohms"
    with_vessel = shown.form.text + "\n[vessel]\nwater_kg = 1\n"
    shown.press("type", with_vessel)
    shown.press("look", name="heating")
    assert "describe its vessel first" in shown.press("type", describe("towel-rail").text)
    assert (shown.form.look, shown.box.children) == ("", (shown.form,))
    many = "".join(
        f'[[switch]]\nname = "S{n}"\npositions = ["a", "b"]\n'
        'contacts = [{ between = ["L", "N"], closed_in = ["a"] }]\n'
        for n in range(10, 20)
    )
    shown.press("type", shown.form.text + many)
    assert "settings together" in shown.press("look", name="settings")


def test_the_page_to_print_is_written_beside_the_notebook_and_nothing_is_lost() -> None:
    shown = Shown(describe("tea-urn"))
    Path("six-litre-tea-urn-sheet.pdf").write_text("mine", "utf-8")
    shown.press("look", name="sheet")
    assert sorted(path.name for path in Path().iterdir()) == ["six-litre-tea-urn-sheet.pdf"]
    said = shown.press("paper")
    names = ["six-litre-tea-urn-sheet.pdf", "six-litre-tea-urn-sheet.html"]
    assert said == (
        f"Written beside this notebook: {names[0]} and {names[1]}. What was there before is kept: "
        "six-litre-tea-urn-sheet earlier.pdf."
    )
    assert [paper["name"] for paper in shown.form.papers] == names
    assert b64decode(shown.form.papers[0]["data"]) == Path(names[0]).read_bytes()
    assert Path("six-litre-tea-urn-sheet earlier.pdf").read_text("utf-8") == "mine"
    shown.press("type", shown.form.text.replace("1200", "1500"))
    assert shown.form.papers == []  # they were of the text before
    assert "kept" not in shown.press("paper")
    assert "1500 W" in Path(names[1]).read_text("utf-8")


def test_the_plan_of_tests_is_shown_as_a_tree_and_printed_as_a_page() -> None:
    shown = Shown(describe("tea-urn"))
    shown.press("look", name="plan")
    assert "at the plug:" in shown.form.shown
    names = ["six-litre-tea-urn-plan.pdf", "six-litre-tea-urn-plan.html"]
    shown.press("paper")
    assert [paper["name"] for paper in shown.form.papers] == names
    assert "Go from step to step" in Path(names[1]).read_text("utf-8")


def test_an_emptied_text_leaves_no_drawing_of_another_time() -> None:
    shown = Shown(describe("tea-urn"))
    shown.press("look", name="live")
    shown.press("type", " ")
    assert (shown.form.picture, shown.form.stale, shown.form.look) == ("", False, "")


def test_a_part_that_does_not_fit_is_refused_at_its_fields() -> None:
    shown = Shown(describe("tea-urn"))
    before = shown.form.text
    typed = {"between": ["L", ""], "power_W": "500"}
    shown.press("add", kind="element", typed=typed)
    assert shown.form.wrong == {
        "between": "It needs a second end. Choose the point where it goes.",
    }
    typed["between"] = ["L", "N"]
    shown.press("add", kind="element", typed=typed)
    assert shown.form.wrong == {"voltage_V": "Give its voltage too."}
    shown.press("add", kind="element", typed={**typed, "voltage_V": "230", "name": "E2"})
    assert shown.form.wrong == {"name": "Another part is called E2. Choose another name."}
    shown.press("change", name="E1", typed={"voltage_V": "0"})
    assert shown.form.wrong == {"voltage_V": "Found 0 V. Give a number from 0.1 to 1,000 V."}
    assert (shown.form.text, shown.form.steps_back) == (before, 0)
    # a point without another part is not wrong: the next part may end there
    shown.press("add", kind="diode", typed={"between": ["L", "x"]})
    assert shown.form.done
    assert [problem["words"] for problem in shown.form.problems] == [
        "Diode D1: Nothing else is joined to x yet. Let another part end there too."
    ]


def test_the_voltage_of_a_new_element_is_that_of_the_supply_until_another_is_typed() -> None:
    shown = Shown(describe("food-warmer"))
    assert shown.form.begins["element"]["voltage_V"] == "120"
    assert "voltage_V" not in shown.form.begins["switch"]
    typed = {"between": ["L", "N"], "voltage_V": "120", "resistance_ohm": "50"}
    shown.press("add", kind="element", typed=typed)  # what was filled in gives way
    assert shown.form.done
    assert "resistance_ohm = 50\n" in shown.form.text
    shown.press("add", kind="element", typed={**typed, "voltage_V": "110"})
    assert list(shown.form.wrong) == ["resistance_ohm"]


def test_a_value_is_proposed_with_what_it_comes_from_and_not_taken_by_itself() -> None:
    shown = Shown(describe("tea-urn"))
    before = shown.form.text
    said = shown.press("suggest", kind="vessel", key="loss_W_per_K", typed={"water_kg": "6"})
    assert shown.form.suggested == {"key": "loss_W_per_K", "typed": "1.8"}
    assert said.startswith("Filled in 1.8 W/K: a bare can")
    assert "no source" in said
    pressure = {"kind": "pressure_switch", "key": "closes_at_bar"}
    shown.press("suggest", **pressure, typed={"opens_at_bar": "60 kPa"})
    assert shown.form.suggested["typed"] == "0.45"
    assert "Type that first." in shown.press("suggest", **pressure, typed={"opens_at_bar": ""})
    assert (shown.form.text, shown.form.suggested) == (before, {})


def test_a_save_over_a_file_asks_first() -> None:
    shown = Shown(describe("tea-urn"))
    Path("appliances").mkdir()
    path = Path("appliances/my-urn.toml")
    path.write_text("# mine", "utf-8")
    assert "already exists" in shown.press("save", name="my-urn", replace=False)
    assert (shown.form.in_the_way, path.read_text("utf-8")) == ("my-urn", "# mine")
    said = shown.press("save", name="my-urn", replace=True)
    assert (said, shown.form.in_the_way) == (
        "Saved as appliances/my-urn.toml. The old text is kept as my-urn earlier.",
        "",
    )
    assert path.read_text("utf-8") == shown.form.text


def test_the_name_to_save_under_follows_what_is_opened() -> None:
    shown = Shown(describe())
    shown.press("save", describe("tea-urn").text, name="my-urn", replace=False)
    assert shown.form.save_as == "my-urn"
    assert shown.press("start", name="") == "Started a new one. Undo goes back to your text."
    assert shown.form.save_as == "my-appliance"
    assert shown.press("start", name="wax-melter").startswith("Opened wax-melter.")
    assert shown.form.save_as == "wax-melter-2"  # the lessons' own name is not proposed
    assert "is another appliance" in shown.press("save", name="my-urn", replace=False)


def test_a_point_is_renamed_everywhere() -> None:
    shown = Shown(describe("tea-urn"))
    assert shown.press("point", name="boost", new_name=" after ") == "boost is now called after."
    assert shown.form.nodes == ["L", "N", "PE", "after"]
    assert "Type a new name for after" in shown.press("point", name="after", new_name=" ")
    assert "would be joined" in shown.press("point", name="after", new_name="N")


def test_a_text_that_can_be_read_is_told_what_it_does_at_its_worst() -> None:
    shown = Shown(describe("tea-urn"))
    shorting = shown.form.text.replace('["L", "boost"]', '["L", "N"]')
    shown.press("type", shorting.replace('between = ["boost", "N"]', 'between = ["L", "N"]'))
    assert (shown.form.problems, shown.form.standing) == ([], "The description is complete.")
    first = shown.form.remarks[0]
    assert first["warning"]
    assert first["words"].startswith("S1 on – the mains is shorted: L – S1 – N.")
    shown.press("type", "title = ")
    assert shown.form.remarks == []


def test_a_folder_that_cannot_be_written_is_told() -> None:
    Path("appliances").write_text("a file in its place", "utf-8")
    shown = Shown(describe("tea-urn"))
    assert "exists" in shown.press("save", name="my-urn", replace=False)
    assert not shown.form.done


def test_an_appliance_that_cannot_be_worked_out_is_told_and_loses_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shown = Shown(describe("tea-urn"))
    picture, text = shown.form.picture, shown.form.text.replace("1200", "1500")

    def refuse(appliance: object) -> object:
        raise SolverError("the balance does not hold")

    for step in ("box.schematic", "description.remarks"):
        monkeypatch.setattr(f"lessonlib.workbench.{step}", refuse)
        shown.press("type", text)
        assert shown.form.standing.endswith("could not be solved. the balance does not hold")
        assert (shown.form.text, shown.form.picture, shown.form.stale) == (text, picture, True)
    assert repr(shown.description).endswith("the balance does not hold")


def test_plain_code_and_the_form_are_one() -> None:
    shown = Shown(describe("tea-urn"))
    shown.description.add("lamp", between=["L", "N"], resistance_ohm=1e5)
    assert shown.form.text == shown.description.text
    assert "H1" in [row["name"] for row in shown.form.parts]


def test_starting_from_another_takes_its_text_and_offers_own_files_too() -> None:
    describe("tea-urn").save("my-urn")
    shown = Shown(describe())
    assert {"my-urn", "wax-melter"} <= {*shown.form.saved, *shown.form.examples}
    assert "my-urn" not in shown.form.examples
    shown.press("start", name="my-urn")
    assert (shown.form.text, shown.form.begun_from) == (describe("tea-urn").text, "my-urn")
    shown.press("start", name="")
    assert shown.form.begun_from == ""


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
def test_odd_text_is_answered_in_every_action(text: str) -> None:
    shown = Shown(describe())
    shown.press("type", text)
    assert shown.form.problems
    for row in shown.form.parts:
        shown.press("change", name=row["name"], typed={"name": "new", "power_W": "5"})
        shown.press("undo")
        shown.press("remove", name=row["name"])
        shown.press("undo")
        shown.press("redo")
        shown.press("undo")
    shown.press("add", kind="vessel", typed={"water_kg": "1"})
    shown.press("add", kind="element", typed={"name": "E1", "between": ["L", "N"]})
    shown.press("save", name="odd", replace=False)
    still = shown.description.problems.counted
    assert shown.form.said == f"Saved as appliances/odd.toml. It still has {still}."
