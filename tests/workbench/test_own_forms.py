"""What the forms of one's own have in common: no text raises, and what was typed is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from lessonlib import load_appliance, own_lugs, own_readings, own_rewirings, own_spare
from lessonlib.workbench.own_form import OwnForm
from tests.page.notebook import MARKUP, Notebook
from tests.page.notebook import book as book
from tests.page.notebook import notebook as notebook

URN = load_appliance("tea-urn")


@pytest.mark.parametrize("text", ["-5", "1e400", "nan", MARKUP, "9" * 5000, " at ", ":"])
@pytest.mark.parametrize(
    ("make", "typed"),
    [
        (own_lugs, lambda text: {"typed": {"1–2": text}, "volts": text}),
        (own_spare, lambda text: {"appliance": text or "?", "part": text}),
        (own_spare, lambda text: {"watts": text, "volts": text, "part": "cord"}),
        (
            own_spare,
            lambda text: {
                **{"appliance": "wax-melter", "part": "F1"},
                **{"typed": {"place_C": text}, "mains": text},
            },
        ),
        (
            own_rewirings,
            lambda text: {
                **dict.fromkeys(("volts", "fuse", "tolerance"), text),
                **{"elements": [text], "wanted": [text, text]},
            },
        ),
    ],
)
def test_no_text_raises(
    make: Callable[[], OwnForm], typed: Callable[[str], dict[str, Any]], text: str
) -> None:
    own = make()
    own.set_state({"act": "begin", "given": {**own.given, **typed(text)}, "asked": 1})
    assert own.heard == 1
    assert own.found is None
    assert own.reply


@pytest.mark.browser
@pytest.mark.parametrize(
    ("make", "label", "typed", "said"),
    [
        (own_lugs, "Ohms between 1 and 2", "60", "1 element."),
        (own_spare, "power on its plate (W)", "0", "found 0 W"),
        (own_rewirings, "position 1", "eco: 300 W", ""),
        (lambda: own_readings(URN), "the meter shows (Ω, or OL)", "131.5", "Agrees."),
    ],
)
def test_what_was_typed_is_there_again_in_a_second_view_and_after_a_lost_kernel(
    book: Notebook, make: Callable[[], OwnForm], label: str, typed: str, said: str
) -> None:
    def stands() -> None:
        assert book.page.get_by_label(label, exact=True).input_value() == typed
        book.wait_for(said)

    book.live(make())
    book.page.get_by_label(label, exact=True).fill(typed)
    book.wait_for(said)
    book.page.evaluate("document.body.replaceChildren(); view()")
    stands()
    book.live(make())
    stands()
    book.page.evaluate("model.fire('comm_live_update')")
    assert book.page.get_by_text("the cells above must run again").is_visible()
