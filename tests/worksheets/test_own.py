"""Questions of one's own: what is wrong is said before a class sees them."""

from __future__ import annotations

from pathlib import Path

import pytest

from lessonlib import check_questions, mark_worksheet, set_worksheet
from lessonlib.errors import AnswerError
from lessonlib.worksheets.setting import HANDED_OUT
from tests.worksheets.a_class import hands_in, right

GOOD = """\
# Lesson 2

## flask-warmer
new circuit: say what it gives on any other voltage

    marked_W = from 200 to 900 by 50
    supply_V = one of 207, 210, 214, 253
    circuit  = tea-urn, E1.power_W = marked_W, supply.voltage_V = supply_V, at S1 off
    answer   = now.power_W in W, because three figures

E1 is marked {marked_W} W, 230 V, and the mains is at {supply_V} V. S1 is off. What does it give?

- as-marked = marked_W
  When: the marking is taken for what it gives on any voltage
  Why: On {supply_V} V the element gives something else.
  Try: Set the supply in the live picture and read the power of E1.
? The element stays the same: what changes with the voltage?
? Power goes with the square of the voltage.
= {marked_W} W × ({supply_V} ÷ 230)² = {now.power_W: W}.
"""


def said_of(folder: Path, text: str) -> str:
    (folder / "mine.md").write_text(text, "utf-8")
    return "\n".join(check_questions(folder / "mine.md").problems)


def test_a_good_file_passes_and_shows_three_draws_as_a_trainee_sees_them(tmp_path: Path) -> None:
    (tmp_path / "mine.md").write_text(GOOD, "utf-8")
    checked = check_questions(tmp_path / "mine.md")
    assert checked.problems == ()
    assert len({one.text for _, _, one in checked.draws}) == 3
    assert "nothing wrong found" in repr(checked)
    html = checked._repr_html_()
    assert html.count("Worked answer") == 3
    assert checked.draws[0][2].text.split(",")[0] in html


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("= {marked_W} W × ({supply_V} ÷ 230)² = {now.power_W: W}.\n", "", "a worked answer"),
        ("? Power goes with the square of the voltage.\n", "", "two hints"),
        ("{marked_W} W, 230 V, and", "{marked_W} W, 240 V, and", '"240 V" is typed'),
        ("from 200 to 900 by 50", "one of 800", "neighbours get the same"),
        ("in W, because", "in bananas, because", "bananas"),
        ("tea-urn, E1", "tea-earn, E1", "tea-earn"),
        ("as-marked = marked_W", "as-marked = now.power_W", "for as-marked"),
        ("as-marked = marked_W", "as-marked = now.power_W * 1.01", "for as-marked"),
        ("from 200 to 900", "from 0.00002 to 900", "cannot be drawn"),
        ("now.power_W in W", "now.power_W * 1e9 in W", "silly number"),
        ("because three figures", "as it is", "as it is"),
        ("    marked_W = from", "marked_W = from", '"marked_W =" stands among its words'),
        ("? The element", "half = 1 / 2\n  When: it is halved\n? The element", "found When twice"),
        ("## flask-warmer", "## urn-on-low-mains", "the workbook has a question of that name"),
    ],
)
def test_each_mistake_is_said(old: str, new: str, says: str, tmp_path: Path) -> None:
    assert old in GOOD
    assert says in said_of(tmp_path, GOOD.replace(old, new))


def test_a_file_that_cannot_be_read_and_one_without_a_question_say_so(tmp_path: Path) -> None:
    assert "no question" in said_of(tmp_path, "# Lesson 2\n")
    with pytest.raises(AnswerError, match="Accepted: a text file"):
        check_questions(tmp_path / "none.md")
    (tmp_path / "bytes.md").write_bytes(b"\xff\xfe\x00\xd8")
    with pytest.raises(AnswerError, match="not UTF-8"):
        check_questions(tmp_path / "bytes.md")


def test_a_question_of_ones_own_is_set_handed_out_and_marked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "questions").mkdir()
    (tmp_path / "questions" / "mine.md").write_text(GOOD, "utf-8")
    of = set_worksheet(["flask-warmer", "urn-on-low-mains"], ["Ada"], "monday")
    assert "everyone needs the folder questions" in repr(of)
    handed_out = of.folder / HANDED_OUT / "questions" / "mine.md"
    assert handed_out.read_text("utf-8") == GOOD
    hands_in(of, of.trainees[0], [("flask-warmer", right("flask-warmer", of.trainees[0]))])
    assert mark_worksheet(of.folder).sheets[0].points == 1
