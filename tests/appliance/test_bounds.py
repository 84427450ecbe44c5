"""A description too large, too deep or too long is refused in few words, before any work on it."""

from __future__ import annotations

import tomllib

import pytest

from lessonlib import read_appliance
from lessonlib.appliance.document import MOST_DOTS
from lessonlib.appliance.problems import MOST_PROBLEMS
from lessonlib.errors import ApplianceError

GOOD = 'title = "Rig"\nsupply.voltage_V = 230\n'
RIG = GOOD + '[[element]]\nname = "E1"\nbetween = ["L", "N"]\nresistance_ohm = 100\n'


def refused(text: str) -> ApplianceError:
    with pytest.raises(ApplianceError) as caught:
        read_appliance(text, "rig.toml")
    # 30 problems, of which each may list some of the positions of a switch: never megabytes
    assert len(str(caught.value)) < 20_000
    return caught.value


def only(text: str) -> str:
    (problem,) = refused(text).problems
    return problem.found


@pytest.mark.parametrize("frame", ["{} = 1", "[{}]", "[[{}]]", "a = {{ {} = 1 }}"])
def test_a_key_of_thousands_of_parts_never_reaches_the_parser(
    monkeypatch: pytest.MonkeyPatch, frame: str
) -> None:
    monkeypatch.setattr(tomllib, "loads", lambda text: pytest.fail("the parser was asked"))
    key = ".".join(["a"] * 100_000)
    assert only(f'title = "..."\n{frame.format(key)}\n') == "line 2 has 99,999 dots"


@pytest.mark.parametrize("line", ["# " + "." * MOST_DOTS, 'purpose = "' + "." * MOST_DOTS + '"'])
def test_a_line_may_have_as_many_dots_as_allowed(line: str) -> None:
    assert read_appliance(line + "\n" + RIG).title == "Rig"
    assert only(f"# {line}.\n{RIG}") == f"line 1 has {MOST_DOTS + 1} dots"


@pytest.mark.parametrize(
    "text",
    [
        "element = [" + "{}," * 60_000 + "]",
        "[[element]]\n" * 20_000,
        "".join(f"a{number} = 1\n" for number in range(20_000)),
        "".join(f"[[a{number}]]\n" for number in range(20_000)),
        "".join(f'[[thermal_fuse]]\nname = "F{n}"\nplaced_on = "E"\n' for n in range(5_000)),
        '[[switch]]\nname = "S"\ncontacts = []\n' * 5_000,
    ],
)
def test_a_file_full_of_problems_reports_the_first_of_them(text: str) -> None:
    error = refused(text)
    assert len(error.problems) <= MOST_PROBLEMS
    if error.more:
        assert str(error).startswith(
            f"more than {MOST_PROBLEMS} problems, of which these are the first {MOST_PROBLEMS}, in "
        )


def test_as_many_problems_as_fit_in_a_report_are_not_called_more() -> None:
    error = refused("".join(f"a{number} = 1\n" for number in range(MOST_PROBLEMS)) + RIG)
    assert len(error.problems) == MOST_PROBLEMS
    assert not error.more
    assert str(error).startswith(f"{MOST_PROBLEMS} problems in ")


def test_thousands_of_parts_are_counted_and_not_looked_at() -> None:
    error = refused(GOOD + "[[element]]\nx = 1\n" * 10_000)
    assert [problem.found for problem in error.problems] == ["10,000 parts and contacts"]


def test_thousands_of_positions_are_counted_and_not_listed() -> None:
    positions = ", ".join(f'"p{number}"' for number in range(10_000))
    contacts = '{ between = ["L", "N"], closed_in = ["x"] },' * 190
    found = only(
        f'{RIG}[[switch]]\nname = "S1"\npositions = [{positions}]\ncontacts = [{contacts}]\n'
    )
    assert found.startswith("10,000 names: ['p0', 'p1', ")


def test_as_many_positions_as_allowed_with_a_wrong_one_at_every_contact() -> None:
    positions = ", ".join(f'"{"p" * 37}{number}"' for number in range(50))
    contacts = '{ between = ["L", "N"], closed_in = ["x"] },' * 190
    refused(f'{RIG}[[switch]]\nname = "S1"\npositions = [{positions}]\ncontacts = [{contacts}]\n')


def test_a_number_of_thousands_of_digits_is_refused_as_one_with_its_line() -> None:
    line = GOOD.count("\n") + 1
    found = only(f"{GOOD}power_W = {'9' * 5_000}\n\n")
    assert found == f"line {line} has a number of thousands of digits"


@pytest.mark.parametrize("number", ["0x" + "f" * 200_000, "1" * 4_000, "1" + "0" * 400])
def test_a_huge_number_is_out_of_range_like_any_other(number: str) -> None:
    error = refused(RIG.replace("100", number))
    assert error.problems[0].key == "resistance_ohm"
    assert error.problems[0].found.startswith(("a huge number", "1"))


def test_a_huge_name_or_text_is_cut_in_the_message() -> None:
    assert only(RIG.replace("E1", "E" * 200_000)) == f"'{'E' * 58}…, 200,000 characters long"
    refused(RIG.replace("Rig", "R" * 200_000))
    refused(f'"{"k" * 200_000}" = 1\n{RIG}')
