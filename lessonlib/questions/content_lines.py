"""Lines of data, worked out from top to bottom, each with the names above it:

    keep_W   = from 300 to 600 by 50            drawn from the seed
    supply_V = one of 207, 230, 253             also words, and pairs: a, b = one of (1, 2), (3, 4);
                                                and out of words above: one of {positions}
    way      = L, N in any order                a shuffled list
    row      = keep at keep_W, boost at 1200, the smallest first     a list in order
    circuit  = tea-urn, E1.power_W = keep_W, at S1 on     a bundled appliance, or one of the file's
                                                own, with other values; `now` is its solution there
    before   = at S1 off, fault E1 open, plug reversed, supply 115 V    another solution of it
    shown    = ohms from L to fed at S1 on      an ohmmeter on it, unplugged: OL where nothing leads
    run      = heated for 30 minutes at S1 on   a heating run of it: `heated` in `content_circuit`
    wave     = voltage across E1                of `now`, with all that a meter makes of it
    live     = live points of L, fed in before
    which    = by burnt: E1 -> the first; E2 -> the second     words that depend on a name
    told     = "{burnt} is open"                words with gaps
    share    = supply_V / 230                   arithmetic
    picture  = no                               without it a drawing shows the circuit
    answer   = ...                              see `content_answers`
    numbers  = python                           more names from a function in `numbers/`; not in
                                                files of one's own

A circuit is rewired with `E1.between = fed-N`, `S1.contacts = (L-low at low/high, L-top at high)`
and `without F1`, and renamed with `title = Plant bench`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from inspect import signature
from typing import TYPE_CHECKING, Any

from lessonlib.circuit.solution import Solution
from lessonlib.circuit.waveform import waveform
from lessonlib.errors import AnswerError, LessonlibError, shown
from lessonlib.questions.arithmetic import work_out
from lessonlib.questions.content import Entry, Line
from lessonlib.questions.content_circuit import (
    changed,
    heated,
    metered,
    own_circuit,
    situation,
    solved,
)
from lessonlib.questions.content_words import (
    by_cases,
    filled,
    literal,
    smallest_first,
    split,
    words,
)
from lessonlib.questions.draw import Draw

if TYPE_CHECKING:
    from lessonlib.appliance.parts import Appliance

MOST_SOLVED = 20
"""Solutions that one question may ask for, for itself and for each slip."""

_FROM = re.compile(r"from (\S+) to (\S+) by (\S+)")
_OHMS = re.compile(r"ohms from (\S+) to (\S+) at (.+)")
_SMALLEST_FIRST = ", the smallest first"
_HEATED = re.compile(r"heated for (\S+) minutes at (.+)")
_POINTS = re.compile(r"live points of (.+?)(?: in (\w+))?")


class Lines:
    """What the lines of data of one question come to, for one draw.

    `names` are the values by name, `circuit` and `setting` what the drawing shows, or `wirings`
    several with their labels. `heats`: there is a heating run among them. A slip may have the lines
    of the `question` worked out again, with other values `instead`; its names are `asked` there.
    """

    def __init__(
        self,
        entry: Entry,
        draw: Draw,
        question: Lines | None = None,
        instead: Mapping[str, Any] | None = None,
    ) -> None:
        self.entry, self.draw = entry, draw
        self.names: dict[str, Any] = {"OL": math.inf}
        self.names["asked"] = question.names if question else self.names
        self.circuit: Appliance | None = None
        self.setting: Mapping[str, str] = {}
        self.wirings: tuple[tuple[str, Appliance], ...] = ()
        self.answer: tuple[int, str] | None = None
        self.from_python = False
        self.picture = "yes"
        self.heats = False
        self._instead = instead or {}
        self._drawn: dict[int, Any] = question._drawn if question else {}
        self._solved = 0
        for line in entry.data:
            try:
                self._take(line)
            except LessonlibError as error:
                raise entry.wrong(line.number, str(error)) from None
            except (ArithmeticError, TypeError, ValueError) as error:
                raise entry.wrong(
                    line.number,
                    f"found {shown(line.value)}, which cannot be used here ({error}). Write "
                    "numbers with a point, as in 0.5, and look at the names in it.",
                ) from None

    def but(self, text: str) -> Lines:
        """The same draw with other values: "plug = reversed, keep_W = 300"."""
        instead = {}
        for piece in split(filled(text, self.names)):
            name, sign, value = piece.partition("=")
            if not sign or name.strip() not in self.names:
                raise AnswerError(
                    f"found with {shown(piece)}. Accepted: a name of a line above and its value, "
                    f"as in with plug = reversed. The names are {', '.join(self.names)}."
                )
            instead[name.strip()] = literal(value.strip(), self.names)
        return Lines(self.entry, self.draw, self, instead)

    def words(self, text: str) -> str:
        """`text`, with or without its quotes, its gaps filled."""
        return words(text, self.names)

    def points(self, text: str) -> tuple[tuple[str, ...], frozenset[str]]:
        """The points that `text` names, as in "live points of fed, top in before", and those of
        them that are live."""
        found = _POINTS.fullmatch(text)
        assert found is not None  # it was asked before
        points = tuple(split(filled(found[1], self.names)))
        node = self._named(found[2] or "now").node
        unknown = [each for each in points if each not in node]
        if unknown:
            raise AnswerError(
                f"found the point {shown(unknown[0])}. Accepted: {', '.join(node)}. Use these."
            )
        return points, frozenset(each for each in points if node[each].condition == "live")

    def _named(self, name: str) -> Solution:
        found = self.names.get(name)
        if not isinstance(found, Solution):
            raise AnswerError(
                f"found no solution {shown(name)}. Accepted: a line such as {name} = at S1 on "
                "above, or circuit = ... for now. Add it."
            )
        return found

    def _take(self, line: Line) -> None:
        name, value = line.name, line.value
        if name == "answer":
            self.answer = (line.number, value)
        elif name == "picture":
            self.picture = value
        elif name == "numbers":
            self._from_python(line)
        elif name == "circuit":
            self._circuit(value)
        else:
            self._give(name, self._value(line))

    def _value(self, line: Line) -> Any:
        value = line.value
        if drawn := _FROM.fullmatch(value):
            low, high, step = (work_out(each, self.names) for each in drawn.groups())
            return self._once(line, lambda: self.draw.number(low, high, step))
        if value.startswith("one of "):
            choices = self._list(filled(value.removeprefix("one of "), self.names))
            return self._once(line, lambda: self.draw.one_of(choices))
        if value.endswith(" in any order"):
            items = self._list(value.removesuffix(" in any order"))
            return self._once(line, lambda: tuple(self.draw.shuffled(items)))
        if value.endswith(_SMALLEST_FIRST):
            return smallest_first(value.removesuffix(_SMALLEST_FIRST), self.names)
        if value.startswith("by "):
            return by_cases(value.removeprefix("by "), self.names)
        if value.startswith("at "):
            return self._solution(value.removeprefix("at "))
        if ohms := _OHMS.fullmatch(value):
            red, black, at = (filled(each, self.names) for each in ohms.groups())
            setting, more = situation(at, self.names)
            return metered(self._asked(), setting, red, black, more.get("fault"))
        if run := _HEATED.fullmatch(value):
            setting, more = situation(run[2], self.names)
            self.heats = True
            return heated(self._asked(), work_out(run[1], self.names), setting, **more)
        if value.startswith("voltage across "):
            part = filled(value.removeprefix("voltage across "), self.names)
            return waveform(self._named("now"), part).defined("voltage")
        if _POINTS.fullmatch(value):
            points, found = self.points(value)
            return tuple(each for each in points if each in found)
        if re.fullmatch(r'"[^"]*"', value):
            return self.words(value)
        return work_out(value, self.names)

    def _list(self, text: str) -> list[Any]:
        return [literal(each, self.names) for each in split(text)]

    def _once(self, line: Line, make: Any) -> Any:
        """What this line draws: the same for the question and for each of its slips."""
        if line.number not in self._drawn:
            self._drawn[line.number] = make()
        return self._drawn[line.number]

    def _give(self, name: str, value: Any) -> None:
        keys = [key.strip() for key in name.split(",")]
        if len(keys) == 1:
            self.names[name] = value
        elif isinstance(value, tuple) and len(value) == len(keys):
            self.names.update(zip(keys, value, strict=True))
        else:
            raise AnswerError(
                f"found {shown(value)} for {name}. Accepted: {len(keys)} values in round "
                "brackets. Give as many values as names."
            )
        self.names.update({key: self._instead[key] for key in keys if key in self._instead})

    def _circuit(self, value: str) -> None:
        named, *rest = split(value)
        at = next((place for place, piece in enumerate(rest) if piece.startswith("at ")), len(rest))
        name = filled(named, self.names)
        own = self.entry.circuits.get(name)
        start = own_circuit(own, name) if own else self.draw.appliance(name)
        self.circuit = changed(start, rest[:at], self.names)
        self.names["circuit"] = self.circuit
        setting = filled(", ".join(rest[at:]).removeprefix("at "), self.names)
        now = self.names["now"] = self._solution(setting)
        movable = {part.name for part in self.circuit.movable}
        self.setting = {
            name: position
            for name, position in now.setting.items()
            if name in movable and any(f"{name} " in piece for piece in split(setting))
        }

    def _solution(self, text: str) -> Solution:
        setting, more = situation(text, self.names)
        return solved(self._asked(), setting, **more)

    def needed_circuit(self) -> Appliance:
        """The circuit. Raises `AnswerError` where no line above gives one."""
        if self.circuit is None:
            raise AnswerError(
                'found no circuit to solve. Accepted: a line "circuit = ..." above. Add it.'
            )
        return self.circuit

    def _asked(self) -> Appliance:
        """The circuit, for one more solution of it."""
        self._solved += 1
        if self._solved > MOST_SOLVED:
            raise AnswerError(
                f"found more than {MOST_SOLVED} solutions. Accepted: fewer. Drop those not used."
            )
        return self.needed_circuit()

    def _from_python(self, line: Line) -> None:
        if not self.entry.ours or line.value != "python":
            raise AnswerError(
                f"found numbers = {shown(line.value)}. Accepted: only in the workbook's own files. "
                "Give the numbers as lines of data."
            )
        from lessonlib.questions.numbers import numbers_for  # loads what few questions need

        function = numbers_for(self.entry.name)
        known = self.names | {"draw": self.draw}
        wanted = [known[name] for name in signature(function).parameters]
        self.from_python = True
        for name, value in self._once(line, lambda: function(*wanted)).items():
            self._give(name, value)
            if name in ("circuit", "wirings"):
                setattr(self, name, value)
