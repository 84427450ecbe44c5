"""Messages about invalid TOML, for somebody who has never heard of TOML."""

from __future__ import annotations

import pytest

from lessonlib import read_appliance
from lessonlib.errors import ApplianceError


def told(text: str) -> tuple[str, str]:
    with pytest.raises(ApplianceError) as caught:
        read_appliance(text)
    problem = caught.value.problems[0]
    return problem.found, problem.next_step


@pytest.mark.parametrize(
    ("line", "step"),
    [
        ("voltage_V = 230,5", "write a decimal point: voltage_V = 230.5"),
        ("voltage_V = 230 V", "the key has the unit; write the number alone: voltage_V = 230"),
        ("voltage_V = 52.9Ω", "the key has the unit; write the number alone: voltage_V = 52.9"),
        ("name = E1", 'put words in quotes: name = "E1"'),
        ("name = big one", 'put words in quotes: name = "big one"'),
        ('name = "E1', "close the quotes: they come in pairs"),
        ("[[element]", "close the brackets: they come in pairs"),
        ("power_W =", "write a value after power_W ="),
        ("power_W == 230", "write one = only"),
        ("the element is burnt", "write it as key = value, or put # before a note"),
    ],
)
def test_a_line_that_is_no_toml_is_quoted_and_says_what_to_do(line: str, step: str) -> None:
    found, next_step = told(f'title = "Pot"\n{line}\n')
    assert found.startswith("line 2 is not valid TOML: ")
    assert line.split('"')[0] in found
    assert next_step == step


def test_a_text_that_ends_too_early_is_reported_at_its_last_line() -> None:
    found, next_step = told('title = "Pot"\nbetween = ["L",\n\n')
    assert found.startswith("line 2 is not valid TOML: ")
    assert next_step == "close the brackets: they come in pairs"
