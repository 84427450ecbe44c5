"""A family of one's own: shown beside the others, ordered, saved, opened and printed."""

from __future__ import annotations

from base64 import b64decode
from pathlib import Path
from typing import Any

import pytest

from lessonlib import family
from lessonlib.workbench.beside import BesideForm
from tests.page.notebook import Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook
from tests.workbench.hands import Shown, save_another, tab_to


@pytest.fixture
def shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shown:
    """The tea urn, in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return Shown("tea-urn")


def beside(shown: Shown, **action: Any) -> Any:
    """The form for a family, after a press on it."""
    form = shown.box.children[1]
    if action:
        form.action = action
        form.asked += 1
        assert form.heard == form.asked
    return form


def labels(form: Any) -> list[str]:
    return [member["label"] for member in form.table["members"]]


def test_it_is_shown_beside_the_others_that_were_saved_in_the_order_of_their_names(
    shown: Shown,
) -> None:
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
    shown.type(shown.form.text.replace("1200", "1500"))
    assert beside(shown) is form
    assert form.rows[-1] == {"label": "Six-litre tea urn", "name": "3 urn"}
    assert "1900 W (400 W + 1500 W)" in str(form.table["rows"])  # as in the form, not as saved


def test_it_is_labelled_ordered_saved_and_opened_again(shown: Shown) -> None:
    save_another("kettle")
    shown.press("look", name="beside")
    form = beside(shown)
    form.rows = [*form.rows[::-1], {"label": "a melter", "name": "wax-melter"}]
    form.title = "Three of ours"
    assert labels(beside(shown, do="show")) == ["Six-litre tea urn", "kettle", "a melter"]
    assert "Save it above first" in beside(shown, do="save", name="three").said
    shown.press("save", name="urn", replace=False)
    shown.type(shown.form.text.replace("1200", "1500"))
    assert beside(shown, do="save", name="three").said == "Saved as families/three.toml."
    found = family("three")
    assert (found.title, [member.label for member in found.members]) == (form.title, labels(form))
    form.rows = form.rows[:1]
    assert "kept" not in beside(shown, do="save", name="three").said  # its own list
    Path("families/other.toml").write_text('title = "not ours"', "utf-8")
    assert "is another list" in beside(shown, do="save", name="other").said
    assert {"other", "floor-steamer"} <= {*form.lists}
    assert beside(shown, do="open", name="three").rows == [
        {"label": "Six-litre tea urn", "name": "urn"}
    ]


def test_it_is_written_for_the_printer_and_nothing_is_lost(shown: Shown) -> None:
    Path("ours-family.pdf").write_text("mine", "utf-8")
    shown.press("look", name="beside")
    form = beside(shown, do="write", name="ours", paper="letter")
    assert form.said == (
        "Written beside this notebook: ours-family.pdf and ours-family.html. What was there before "
        "is kept: ours-family earlier.pdf."
    )
    assert [paper["name"] for paper in form.papers] == ["ours-family.pdf", "ours-family.html"]
    assert b64decode(form.papers[0]["data"]) == Path("ours-family.pdf").read_bytes()


@pytest.mark.browser
def test_it_is_ordered_labelled_and_saved_by_keyboard_alone(book: Notebook, shown: Shown) -> None:
    save_another("old kettle")
    book.live(BesideForm(shown.description.appliance))
    keyboard = book.page.keyboard
    tab_to(book, "Move down: old kettle")
    keyboard.press("Enter")
    book.page.locator(".hcf-label", has_text="1Six-litre tea urn").wait_for()
    assert book.focused() == "Move up: old kettle"  # at the end, where down leads no further
    keyboard.press("Shift+Tab")
    keyboard.press("ControlOrMeta+a")
    keyboard.insert_text("the old one")
    keyboard.press("Enter")
    book.page.locator(".hcf-label", has_text="2the old one").wait_for()
    tab_to(book, "Leave out: Six-litre tea urn")
    keyboard.press("Enter")
    book.wait_for("This one is alone.")
    assert book.focused() == "Label of number 1"
    tab_to(book, "Save the list as")
    keyboard.press("Enter")
    book.wait_for("Saved as families/my-family.toml.")
    assert family("my-family").members[0].label == "the old one"
    assert set(book.page.evaluate("reached")) <= {"Tab", "Shift"}
