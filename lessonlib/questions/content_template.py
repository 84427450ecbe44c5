"""From a question's entry in a file to the question with its numbers.

Lines of data are worked out from top to bottom, each with the names above it:

    keep_W   = from 300 to 600 by 50            drawn from the seed
    supply_V = one of 207, 230, 253             also words, and pairs: a, b = one of (1, 2), (3, 4)
    circuit  = tea-urn, E1.power_W = keep_W, at S1 on     a bundled appliance with other values;
                                                `now` is its solution in that setting
    before   = at S1 off, fault E1 open, plug reversed, supply 115 V    another solution of it
    run      = heated for 30 minutes, at S1 on  as `content_readings` has it: run.ready_s, run.cycle
    cold_ohm = ohms from L to N, at S1 on
    which    = by burnt: E1 -> the first; E2 -> the second     words that depend on a name
    share    = supply_V / 230                   arithmetic
    answer   = file that keeps off is dead, positions      `circuit` is right; a slip's value says
               what it changes: E1.power_W = 2 * keep_W, E2: fed N, F1: left out
    start    = H2: fed bottom                   what the file begins as; else with title and supply
    picture  = no, or: with readings            the drawing shows the circuit unless it says no
    answer   = now.current_A in A, within 2 %, because the slips are 6 % apart
               option "{now.power_W: W}" · setting S1 low · live points of fed, top · order "a"; "b"
    numbers  = python                           a function of the question's name in `numbers/`,
                                                called with the names that its parameters have, gives
                                                more names, or all the rest; for our own only

A slip's value is what its answer's kind has: arithmetic, "words", a setting, points, an order. With
`, if volts > 230` behind it, it is a slip in those draws alone.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Iterable, Iterator, Mapping
from copy import copy
from dataclasses import dataclass, field, replace
from inspect import signature
from typing import TYPE_CHECKING, Any

from lessonlib.appliance.variant import variant
from lessonlib.circuit.solution import Solution, solve
from lessonlib.errors import AnswerError, LessonlibError, shown
from lessonlib.questions.answers import (
    Answer,
    Choice,
    CircuitFile,
    Number,
    OneSetting,
    Order,
    Points,
)
from lessonlib.questions.answers.file_text import file_text
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.content import Entry, Item, Line
from lessonlib.questions.content_readings import heated, ohms
from lessonlib.questions.draw import Draw
from lessonlib.questions.exercise import GRADES, Exercise, Slip, Template
from lessonlib.questions.rewiring import rewired
from lessonlib.questions.written_words import filled

if TYPE_CHECKING:
    from lessonlib.appliance.parts import Appliance

_FROM = re.compile(r"from (\S+) to (\S+) by (\S+)")
_ANSWER = re.compile(
    r"(?P<value>.+?)(?: in (?P<unit>[^\s,]+))?(?:, within (?P<percent>[0-9.]+) %)?"
    r"(?:, safe (?P<safe>above|below))?(?:, because (?P<because>.+))?"
)
_HEATED = re.compile(r"heated for (?P<minutes>\S+) minutes at (?P<case>.+)")
_OHMS = re.compile(r"ohms from (?P<red>\S+) to (?P<black>\S+) at (?P<case>.+)")
_QUOTED = re.compile(r'"([^"]*)"')
MOST_SOLVED = 20
"""Solutions that one question may ask for: each is one run of the solver."""


@dataclass(frozen=True)
class Numbers:
    """What a Python function gives for a question: its answer, the value of each slip that this
    draw has, in order, other words and numbers for its texts, and what the drawing shows."""

    answer: Answer
    slips: Mapping[str, Any]
    words: Mapping[str, object] = field(default_factory=dict)
    appliance: Appliance | None = None
    setting: Mapping[str, str] = field(default_factory=dict)
    readings_shown: bool = False


@dataclass(frozen=True)
class PredictionText:
    """A prediction with its numbers: `options` with the thought behind each, and the one of them
    that turns out to be true."""

    name: str
    lesson: int
    question: str
    options: Mapping[str, str]
    truth: str


def prediction_of(entry: Entry, ours: bool = False) -> PredictionText:
    """The prediction of an entry. Raises `AnswerError` where it has no true option, or two."""
    making = _Making(entry, Draw(entry.name, 0), ours)
    making.take_data()
    options = {}
    for item in entry.items:
        thought = item.fields.get("Why", "")
        options[making.fill(item.number, item.head)] = making.fill(item.number, thought)
    true = [making.fill(item.number, item.head) for item in entry.items if item.true]
    if len(true) != 1 or len(options) < 2 or "" in options.values():
        raise entry.wrong(
            entry.number,
            f"found {len(options)} options, {len(true)} of them true. Accepted: two or more, each "
            "with its Why, and one of them marked [x]. Add what a learner may well think.",
        )
    text = making.fill(entry.number, entry.text)
    return PredictionText(entry.name, entry.lesson, text, options, true[0])


def template_of(entry: Entry, ours: bool = False) -> Template:
    """The template of an entry that is an exercise or a check. `ours`: it may name a function."""
    if entry.kind not in (*GRADES, "check"):
        raise entry.wrong(
            entry.number + 1,
            f"found {shown(entry.kind)}. Accepted: {', '.join(GRADES)}, each with an "
            "objective behind a colon; check; prediction. Write one under the name.",
        )
    grade: Any = entry.kind

    def make(draw: Draw) -> Exercise:
        return _Making(entry, draw, ours).made()

    return Template(entry.name, entry.lesson, grade, entry.objective, make)


class _Making:
    """One question being made from one draw."""

    def __init__(self, entry: Entry, draw: Draw, ours: bool) -> None:
        self.entry, self.draw, self.ours = entry, draw, ours
        self.names: dict[str, Any] = {}
        self.circuit: Appliance | None = None
        self.setting: Mapping[str, str] = {}
        self.answer: tuple[int, str] | None = None
        self.numbers: Numbers | None = None
        self.picture = "yes"
        self.solved = 0
        self.case, self.cases = "", list[str]()
        self.start = ""

    def take_data(self) -> None:
        """Work out every line of data."""
        self.names["seen"] = self.names
        for line in self.entry.data:
            self.take(line)

    def take(self, line: Line) -> None:
        """Work out one line of data."""
        try:
            self._take(line)
        except LessonlibError as error:
            raise self.entry.wrong(line.number, str(error)) from None
        except (ArithmeticError, TypeError, ValueError) as error:
            raise self.entry.wrong(
                line.number, f"found {shown(line.value)}, which cannot be used here: {error}."
            ) from None

    def made(self) -> Exercise:
        """The question with its numbers."""
        entry = self.entry
        self.take_data()
        answer, values = self._answer_and_values()
        self.names["answer"] = answer.written(answer.value)
        slips = tuple(self._slip(item, values[name]) for item, name in self._items(values))
        shows = self.picture != "no"
        given = self.numbers
        return Exercise(
            text=self.fill(entry.number, entry.text),
            answer=answer,
            slips=slips,
            hints=tuple(self.fill(entry.number, hint) for hint in entry.hints),
            worked=tuple(
                line for text in entry.worked for line in self.fill(entry.number, text).split("\n")
            ),
            appliance=(given.appliance if given else self.circuit) if shows else None,
            setting=(given.setting if given else self.setting) if shows else {},
            readings_shown=given.readings_shown if given else self.picture == "with readings",
        )

    # -- data --------------------------------------------------------------------------------

    def _take(self, line: Line) -> None:
        name, value = line.name, line.value
        if name == "answer":
            self.answer = (line.number, value)
        elif name == "picture":
            self.picture = value
        elif name == "start":
            self.start = value
        elif name == "numbers":
            self._from_python(value)
        elif name == "circuit":
            self._circuit(value)
        elif drawn := _FROM.fullmatch(value):
            low, high, step = (work_out(each, self.names) for each in drawn.groups())
            self.names[name] = self.draw.number(low, high, step)
        elif value.startswith("one of "):
            self._one_of(name, value.removeprefix("one of "))
        elif value.startswith("by "):
            self.names[name] = self._by(value.removeprefix("by "))
        elif value.startswith("case of "):
            self.case, self.cases = name, _split(value.removeprefix("case of "))
            self.names[name] = self.draw.one_of(self.cases)
        elif _QUOTED.fullmatch(value):
            self.names[name] = self._words(value)
        elif value.startswith("at ") or value == "at start":
            self.names[name] = self._solution(value.removeprefix("at "))
        elif found := _HEATED.fullmatch(value):
            minutes = work_out(found["minutes"], self.names)
            self.names[name] = heated(*self._case(found["case"], minutes))
        elif found := _OHMS.fullmatch(value):
            self.names[name] = ohms(*self._case(found["case"], found["red"], found["black"]))
        else:
            self.names[name] = work_out(value, self.names)

    def _one_of(self, name: str, listed: str) -> None:
        pieces = _split(listed)
        chosen = self.draw.one_of([self._literal(piece) for piece in pieces])
        keys = [key.strip() for key in name.split(",")]
        if len(keys) == 1:
            self.names[name] = chosen
        elif isinstance(chosen, tuple) and len(chosen) == len(keys):
            self.names.update(zip(keys, chosen, strict=True))
        else:
            raise AnswerError(
                f"found {shown(chosen)} for {name}. Accepted: {len(keys)} values in round "
                "brackets. Give as many values as names."
            )

    def _literal(self, piece: str) -> Any:
        """A number, a pair, or words as they stand."""
        if piece.startswith("("):
            return tuple(self._literal(each) for each in _split(piece[1:-1]))
        if piece.startswith('"'):
            return piece.strip('"')
        try:
            return work_out(piece, self.names)
        except AnswerError:
            return piece

    def _by(self, text: str) -> str:
        name, _, cases = text.partition(":")
        value = work_out(name, self.names)
        wanted = ("yes" if value else "no") if isinstance(value, bool) else str(value)
        found = dict(_case(each) for each in cases.split(";"))
        if wanted not in found:
            raise AnswerError(
                f"found {shown(wanted)} for {name}. Accepted: {', '.join(found)}. Add this case."
            )
        return filled(found[wanted], self.names)

    def _circuit(self, value: str) -> None:
        named, *rest = _split(value)
        starts = [place for place, piece in enumerate(rest) if piece.startswith("at ")]
        cut = starts[0] if starts else len(rest)
        at = [piece.removeprefix("at ") for piece in rest[cut:]]
        changes, wires, without = self._changes(rest[:cut])
        circuit = self.draw.appliance(filled(named, self.names), changes)
        self.circuit = rewired(circuit, wires, without) if wires else circuit
        self.names["circuit"] = self.circuit
        now = self._solution(", ".join(at))
        self.names["now"] = now
        movable = {part.name for part in self.circuit.movable}
        named_parts = [name for name in now.setting if any(f"{name} " in piece for piece in at)]
        self.setting = {name: now.setting[name] for name in named_parts if name in movable}

    def _changes(
        self, pieces: Iterable[str]
    ) -> tuple[dict[str, dict[str, Any]], dict[str, str], list[str]]:
        """New values by part and key, from E1.power_W = keep_W, and wires as `rewired` takes them,
        from E1: fed N and F1: left out."""
        changes: dict[str, dict[str, Any]] = {}
        wires: dict[str, str] = {}
        without: list[str] = []
        for piece in pieces:
            place, sign, new = piece.partition("=")
            owner, dot, key = place.strip().partition(".")
            if piece.startswith("without "):
                without.append(piece.removeprefix("without "))
            elif key in ("between", "contacts"):
                wires[owner] = filled(new.strip(), self.names)
            elif sign and dot:
                changes.setdefault(owner, {})[key] = work_out(new, self.names)
            else:
                raise AnswerError(
                    f"found {shown(piece)}. Accepted: a value such as E1.power_W = keep_W, wires "
                    "such as E1: fed N, or a setting such as at S1 on. Write it so."
                )
        return changes, wires, without

    def _solution(self, text: str) -> Solution:
        """The circuit solved as the text says: positions, a fault, the plug, the supply."""
        circuit, setting, more = self._case(text)
        return solve(circuit, setting, **more)

    def _case(self, text: str, *between: Any) -> tuple[Any, ...]:
        """The circuit, what stands `between`, and a setting with what else the solver is told."""
        if self.circuit is None:
            raise AnswerError(
                'found no circuit to solve. Accepted: a line "circuit = ..." above. Add it.'
            )
        self.solved += 1
        if self.solved > MOST_SOLVED:
            raise AnswerError(
                f"found more than {MOST_SOLVED} solutions. Accepted: fewer. Drop those not used."
            )
        setting: dict[str, str] = {}
        more: dict[str, Any] = {}
        for piece in _split(filled(text, self.names)):
            if piece in ("start", "as it is"):
                continue
            what, _, rest = piece.partition(" ")
            if what == "fault":
                more["fault"] = None if rest == "none" else rest
            elif what == "plug":
                more["reversed_plug"] = _one_word(rest, {"reversed": True, "as marked": False})
            elif what == "supply":
                volts = rest.removesuffix("V").strip()
                more["supply_voltage_V"] = work_out(volts, self.names)
            else:
                setting[what] = rest
        return (self.circuit, *between, setting, more)

    def _from_python(self, value: str) -> None:
        if not self.ours or value != "python":
            raise AnswerError(
                f"found numbers = {shown(value)}. Accepted: only in the workbook's own files. "
                "Give the numbers as lines of data."
            )
        module = importlib.import_module(
            f"lessonlib.questions.numbers.lesson_{self.entry.lesson:02}"
        )
        function = getattr(module, self.entry.name.replace("-", "_"))
        known = self.names | {"draw": self.draw}
        found = function(*(known[name] for name in signature(function).parameters))
        if isinstance(found, Numbers):
            self.numbers = found
            self.names |= found.words
        else:
            self.names |= found

    # -- answer and slips --------------------------------------------------------------------

    def _answer_and_values(self) -> tuple[Answer, dict[str, Any]]:
        """The answer, and the value of each slip by its name."""
        if self.numbers is not None:
            return self.numbers.answer, dict(self.numbers.slips)
        if self.answer is None:
            raise self.entry.wrong(
                self.entry.number,
                "found no answer. Accepted: a line such as answer = now.power_W in W. Add it.",
            )
        number, text = self.answer
        try:
            return self._by_kind(text)
        except LessonlibError as error:
            raise self.entry.wrong(number, str(error)) from None

    def _by_kind(self, text: str) -> tuple[Answer, dict[str, Any]]:
        kind, _, rest = text.partition(" ")
        heads = {}
        for item in self.entry.items:
            name, _, value = item.head.partition("=")
            value, _, condition = value.partition(", if ")
            if not condition or work_out(condition, self.names):
                heads[name.strip()] = value.strip()
        if kind == "option" and rest.startswith(("named ", "of the case")):
            words = {name: self._words(value) for name, value in heads.items()}
            if rest == "of the case":
                name = list(heads)[self.cases.index(self.names[self.case])]
            else:
                name = work_out(rest.removeprefix("named "), self.names)
            right = words.pop(name)
            options = [words.get(each, right) for each in heads]
            return Choice(right, tuple(self.draw.shuffled(options))), words
        if kind == "option":
            right = self._words(rest)
            values: dict[str, Any] = {name: self._words(value) for name, value in heads.items()}
            return Choice(right, tuple(self.draw.shuffled([right, *values.values()]))), values
        if kind == "order":
            values = {name: self._list(value) for name, value in heads.items()}
            return Order(self._list(rest)), values
        if kind == "file," and self.circuit is not None:
            values = {name: self._changed(value) for name, value in heads.items()}
            whole = (
                self._changed(self.start)
                if self.start
                else replace(self.circuit, purpose="", parts=(), vessel=None)
            )
            must: Any = tuple(_split(rest.removeprefix("judged by ")))
            return CircuitFile(self.circuit, file_text(whole), must), values
        if kind == "setting" and self.circuit is not None:
            values = {name: _positions(self._words(value)) for name, value in heads.items()}
            right_setting = _positions(self._words(rest))
            return OneSetting(self.circuit, (right_setting,), tuple(right_setting)), values
        if text.startswith("live points of "):
            points = tuple(_split(text.removeprefix("live points of ")))
            node = self.names["now"].node
            live = frozenset(each for each in points if node[each].condition == "live")
            values = {
                name: frozenset(_split(self._words(value))) - {"none"}
                for name, value in heads.items()
            }
            return Points(live, points), values
        return self._number(text), {n: work_out(v, self.names) for n, v in heads.items()}

    def _changed(self, text: str) -> Appliance:
        """The circuit with other values and wires."""
        assert self.circuit is not None
        changes, wires, without = self._changes(_split(text))
        return rewired(variant(self.circuit, changes), wires, without)

    def _number(self, text: str) -> Number:
        found = _ANSWER.fullmatch(text)
        assert found is not None  # every text fits: the value takes what is left
        more: dict[str, Any] = {}
        if found["percent"]:
            more["tolerance"] = round(float(found["percent"]) / 100, 9)
        if found["because"]:
            more["because"] = found["because"]
        if found["safe"]:
            more["safe_side"] = found["safe"]
        return Number(work_out(found["value"], self.names), found["unit"] or "", **more)

    def _words(self, text: str) -> str:
        quoted = _QUOTED.fullmatch(text.strip())
        return filled(quoted[1] if quoted else text.strip(), self.names)

    def _list(self, text: str) -> tuple[str, ...]:
        return tuple(self._words(piece) for piece in text.split(";"))

    def _items(self, values: Mapping[str, Any]) -> Iterator[tuple[Item, str]]:
        """The slips that this draw has, in the file's order."""
        items = {item.head.partition("=")[0].strip(): item for item in self.entry.items}
        unknown = [name for name in values if name not in items]
        if unknown:
            raise self.entry.wrong(
                self.entry.number, f"found no words for the slips {', '.join(unknown)}. Add them."
            )
        yield from ((item, name) for name, item in items.items() if name in values)

    def _slip(self, item: Item, value: Any) -> Slip:
        names = self._as_if(item)
        words = {
            field: self.fill(item.number, text, names).rstrip()
            for field, text in item.fields.items()
        }
        source = {"source": words["Source"]} if "Source" in words else {}
        if "Say" in words:
            return Slip(item.head.partition("=")[0].strip(), value, "", words["Say"], "", **source)
        missing = [field for field in ("When", "Why", "Try") if field not in words]
        if missing:
            raise self.entry.wrong(
                item.number, f"found no {' and no '.join(missing)}. Accepted: all three. Add them."
            )
        return Slip(
            item.head.partition("=")[0].strip(),
            value,
            thought=words["When"],
            why=words["Why"],
            attempt=words["Try"],
            **source,
        )

    def _as_if(self, item: Item) -> Mapping[str, Any]:
        """The names as they would be if the case of this slip had been drawn; `seen` has them as
        they are."""
        if not self.cases:
            return self.names
        other = copy(self)
        case = self.cases[self.entry.items.index(item)]
        other.names = self.names | {self.case: case, "seen": self.names}
        names = [line.name for line in self.entry.data]
        for line in self.entry.data[names.index(self.case) + 1 :]:
            if not line.value.startswith(("from ", "one of ")):
                other.take(line)
        return other.names

    def fill(self, number: int, text: str, names: Mapping[str, Any] | None = None) -> str:
        """`text` of line `number` with its gaps filled."""
        try:
            return filled(text, self.names if names is None else names)
        except AnswerError as error:
            raise self.entry.wrong(number, str(error)) from None


def _split(text: str) -> list[str]:
    """Pieces between commas, those inside brackets or quotes left whole."""
    pieces = re.findall(r'(?:[^,("]|\([^)]*\)|"[^"]*")+', text)
    return [piece.strip() for piece in pieces if piece.strip()]


def _case(text: str) -> tuple[str, str]:
    key, sign, words = text.partition("->")
    if not sign:
        raise AnswerError(
            f"found {shown(text)}. Accepted: cases such as E1 -> the first. Write ->."
        )
    return key.strip(), words.strip()


def _positions(text: str) -> dict[str, str]:
    pairs = (piece.partition(" ") for piece in _split(text))
    return {name: position for name, _, position in pairs}


def _one_word(word: str, meant: Mapping[str, bool]) -> bool:
    if word not in meant:
        raise AnswerError(f"found {shown(word)}. Accepted: {', '.join(meant)}. Use one of these.")
    return meant[word]
