"""A description too large, too deep or too long is refused in few words, before any work on it."""

from __future__ import annotations

import sys
import tomllib
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonlib import read_appliance
from lessonlib.appliance.document import DEEPEST, parsed
from lessonlib.appliance.problems import MOST_PROBLEMS
from lessonlib.appliance.reader import MAX_BYTES
from lessonlib.errors import ApplianceError, MisreadError

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


@pytest.mark.parametrize(
    ("part", "dot"), [("a", "."), ('""', "."), ("''", " .\t"), ('"\\"#"', "."), ("'\"'", ".")]
)
@pytest.mark.parametrize("frame", ["{} = 1", "[{}]", "[[{}]]", "a = {{ {} = 1 }}"])
def test_a_key_of_thousands_of_parts_never_reaches_the_parser(
    monkeypatch: pytest.MonkeyPatch, part: str, dot: str, frame: str
) -> None:
    monkeypatch.setattr(tomllib, "loads", lambda text: pytest.fail("the parser was asked"))
    key = dot.join([part] * ((MAX_BYTES - 200) // len(part + dot)))
    text = f'title = """\n#"""\n# a.b \' "\n{frame.format(key)}\n'
    assert only(text) == f"line 4 has a key of more than {DEEPEST} parts"


@pytest.mark.parametrize(
    "line",
    [
        "# " + "a." * 1000,
        'purpose = "' + "a." * 190 + '"',
        "purpose = '" + "a." * 190 + "'  # " + "b." * 1000,
        'purpose = """' + "a." * 100 + '\\""" # ' + "b." * 50 + '"""',
        'purpose = """""' + "a." * 100 + '"""""',
        "purpose = '''''" + "a." * 100 + "'''''",
        'purpose = "\\\\" # ' + "a." * 1000,
        'purpose = """\\\\""" # ' + "a." * 1000,
        "purpose = '\\' # " + "a." * 1000,
    ],
)
def test_dots_in_texts_and_comments_are_no_key(line: str) -> None:
    assert tomllib.loads(line) is not None  # or it would be refused for another reason
    assert read_appliance(line + "\n" + RIG).title == "Rig"


_STRANGE = st.text(alphabet="a.\"'#=[]{}\\ \n,1", max_size=60)
_DEEP = st.integers(DEEPEST - 1, DEEPEST + 3).map(lambda count: ".".join(["a"] * count))


@settings(derandomize=True, max_examples=800, deadline=None)
@given(st.lists(st.one_of(_STRANGE, _DEEP, st.just(RIG)), max_size=6))
def test_only_what_the_parser_takes_for_a_key_can_be_too_deep(
    pieces: list[str],
) -> None:
    text = "".join(pieces)
    longest = 0

    def watched(source: str, place: int) -> tuple[int, tuple[str, ...]]:
        nonlocal longest
        end, key = parse_key(source, place)
        longest = max(longest, len(key))
        return end, key

    parser = sys.modules["tomllib._parser"]
    parse_key = parser.parse_key
    with patch.object(parser, "parse_key", watched):
        try:
            tomllib.loads(text)
            valid = True
        except tomllib.TOMLDecodeError:
            valid = False
    try:
        parsed(text)
        deep = False
    except MisreadError as error:
        deep = "has a key of more than" in error.found
    assert deep or longest <= DEEPEST
    assert not deep or longest > DEEPEST or not valid


def test_a_key_as_deep_as_allowed_is_reported_like_any_other() -> None:
    deep = ".".join(["a"] * DEEPEST)
    assert only(f"{deep} = 1\n{RIG}") == "an unknown key or table"


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


@pytest.mark.parametrize("number", ["9" * 5_000, "-" + "9" * 5_000, "+9_" + "9" * 4_999])
def test_a_number_of_thousands_of_digits_is_found_in_its_own_line(number: str) -> None:
    text = f'# {"1" * 6_000}\ntitle = "{"2" * 6_000}"\npower_W = {number}\n[supply]\n# end\n'
    assert only(text) == "line 3 has a number of 5,000 digits"


@pytest.mark.parametrize("number", ["0x" + "f" * 200_000, "1" * 4_000, "1" + "0" * 400])
def test_a_huge_number_is_out_of_range_like_any_other(number: str) -> None:
    error = refused(RIG.replace("100", number))
    assert error.problems[0].key == "resistance_ohm"
    assert error.problems[0].found.startswith(("a huge number", "1"))


def test_a_huge_name_or_text_is_cut_in_the_message() -> None:
    assert only(RIG.replace("E1", "E" * 200_000)) == f"'{'E' * 58}…, 200,000 characters long"
    refused(RIG.replace("Rig", "R" * 200_000))
    refused(f'"{"k" * 200_000}" = 1\n{RIG}')
