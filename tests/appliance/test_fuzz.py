"""Mutated files: whatever is typed, the reader and the solver answer with their own errors only."""

import random

import pytest

from lessonlib import read_appliance, solve_all
from lessonlib.appliance.bundled import appliance_files
from lessonlib.errors import LessonlibError

_SNIPPETS = [
    "[", "]", "[[", "]]", "{", "}", '"', "'", "=", ",", "\n", "\0", "\\u0000", "#", "inf", "-inf",
    "nan", "-1", "0", "1e308", "1e-308", "9" * 30, "true", '"L"', '"N"', '"PE"', "[[element]]",
    "[[diode]]", "[[switch]]", "[supply]", "[vessel]", "between", "name", "voltage_V", "<script>",
    "é", "漢", "\u202e", "\ud83d\ude00".encode("utf-16", "surrogatepass").decode("utf-16"),
]  # fmt: skip


def _mutated(rng: random.Random, text: str) -> str:
    for _ in range(rng.randint(1, 6)):
        at, to = sorted(rng.randrange(len(text) + 1) for _ in range(2))
        match rng.randrange(6):
            case 0:
                text = text[:at] + rng.choice(_SNIPPETS) + text[at:]
            case 1:
                text = text[:at] + text[at + rng.randint(1, 20) :]
            case 2:
                text = text[:at] + chr(rng.randrange(1, 0x3000)) + text[at + 1 :]
            case 3:
                text = text[:to] + text[at:to][:200] + text[to:]
            case 4:
                lines = text.split("\n")
                rng.shuffle(lines)
                text = "\n".join(lines)
            case _:  # swap two words: node and part names, keys, numbers
                words = text.split(" ")
                i, j = rng.randrange(len(words)), rng.randrange(len(words))
                words[i], words[j] = words[j], words[i]
                text = " ".join(words)
    return text


def test_a_thousand_mutated_files_meet_only_the_librarys_own_errors():
    rng = random.Random(20261125)
    texts = [path.read_text(encoding="utf-8") for path in appliance_files().values()]
    refused = accepted = 0
    for _ in range(1000):
        text = _mutated(rng, rng.choice(texts))
        try:
            appliance = read_appliance(text)
            for solution in solve_all(appliance):
                assert (solution.power_W is None) == (solution.short is not None)
        except LessonlibError:
            refused += 1
        else:
            accepted += 1
    # Both must happen often, or the mutations are too wild or too tame to test anything.
    assert refused > 170
    assert accepted > 30


def test_random_byte_strings_are_refused_calmly():
    rng = random.Random(7)
    for _ in range(300):
        with pytest.raises(LessonlibError):
            read_appliance(rng.randbytes(rng.randrange(200)))
