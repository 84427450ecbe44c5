"""One limit held against one number; and the table of all findings of an appliance."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Literal, NamedTuple

from lessonlib.appliance.parts import Appliance
from lessonlib.limits.input_power import input_power_limits
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table

Verdict = Literal["fail", "cannot tell", "pass"]
VERDICTS: tuple[Verdict, ...] = ("fail", "cannot tell", "pass")

SLACK = 1e-9
"""Rounding: so much over a limit still counts as on it."""


class Worst(NamedTuple):
    """The largest value, and the setting and voltage in words."""

    value: float
    where: str = ""


def sized(value: float, unit: str) -> str:
    """A value as a finding shows it."""
    if unit in ("%", "mm²", "°C", "K"):
        return f"{value:.3g} {unit}"
    return format_quantity(value, unit)


@dataclass(frozen=True, repr=False)
class Finding:
    """`found` and `limit` in `unit`; None where there is none. `at_most` says on which side of the
    limit is good. `where` is the setting and voltage of the worst case, `do` the next step, `write`
    what to put into the file then."""

    part: str
    what: str
    verdict: Verdict
    do: str
    source: str
    found: float | None = None
    limit: float | None = None
    unit: str = ""
    where: str = ""
    at_most: bool = True
    write: str = ""

    @property
    def limit_words(self) -> str:
        """The limit with its side: "at most 10 A"."""
        return f"at {'most' if self.at_most else 'least'} {sized(self.limit or 0.0, self.unit)}"

    @property
    def told(self) -> str:
        """Number, limit, margin ("2.83 A to spare"), where that is, and what to do."""
        numbers = [] if self.found is None else [sized(self.found, self.unit)]
        if self.found is not None and self.limit is not None:
            margin = (self.limit - self.found) * (1 if self.at_most else -1)
            size = sized(abs(margin), "K" if self.unit == "°C" else self.unit)
            short = f"too {'much' if self.at_most else 'little'}"
            numbers += [self.limit_words, f"{size} {'to spare' if margin >= 0 else short}"]
        where = f" ({self.where})" if self.where else ""
        first = f"{', '.join(numbers)}{where}".strip()
        do = f"{self.do.removesuffix('.')}, and write {self.write}." if self.write else self.do
        return " ".join(filter(None, [f"{first}." if first else "", do]))

    def __str__(self) -> str:
        return f"{self.part}, {self.what}: {self.verdict}. {self.told} Source: {self.source}."

    __repr__ = __str__


def judged(
    part: str,
    what: str,
    most: Worst,
    limit: float | None,
    unit: str,
    source: str,
    *,
    do: str,
    at_most: bool = True,
    passing: str = "",
    unknown: str = "",
    write: str = "",
) -> Finding:
    """A finding that passes or fails by its number; it cannot be told where there is no limit. `do`
    is for a fail, `passing` for a pass, `unknown` and `write` for a limit that is not known."""
    found, where = most
    if limit is None:
        return Finding(
            part, what, "cannot tell", unknown, source, found, None, unit, where, write=write
        )
    over = found - limit if at_most else limit - found
    good = over <= SLACK * max(abs(limit), 1.0)
    verdict: Verdict = "pass" if good else "fail"
    told = passing if good else do
    return Finding(part, what, verdict, told, source, found, limit, unit, where, at_most)


def judged_power(part: str, what: str, most: Worst, marked_W: float, of: str, do: str) -> Finding:
    """A power against what one marked `marked_W` may draw; `of` says whose mark that is."""
    limits = input_power_limits(marked_W)
    low = most.value < limits.low_W
    allowed = f"{limits.below if low else limits.above} of {of}: " if of else ""
    limit = limits.low_W if low else limits.high_W
    source = f"{allowed}{limits.source}"
    return judged(part, what, most, limit, "W", source, do=do, at_most=not low)


class FindingTable(Table):
    """Findings as a table, with their sources numbered below it."""

    rows: tuple[Finding, ...]

    @property
    def sources(self) -> tuple[str, ...]:
        """Every source once, in the order of the rows: the numbers in brackets count them."""
        return tuple(dict.fromkeys(row.source for row in self.rows))

    @property
    def header(self) -> tuple[str, ...]:
        return ("part", "verdict", "found, limit, what to do")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        numbers = {source: number for number, source in enumerate(self.sources, 1)}
        return [
            (row.part, row.verdict, f"{row.what}: {row.told} [{numbers[row.source]}]")
            for row in self.rows
        ]

    def __str__(self) -> str:
        return "\n".join([super().__str__(), *self._numbered])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        listed = "<br>".join(escape(line) for line in self._numbered)
        return f"{super()._repr_html_()}<p><small>{listed}</small></p>"

    @property
    def _numbered(self) -> list[str]:
        return [f"[{number}] {source}" for number, source in enumerate(self.sources, 1)]


@dataclass(frozen=True, repr=False, eq=False)
class Findings(FindingTable):
    """Every finding of an appliance: those that fail first, then what cannot be told."""

    appliance: Appliance
    rows: tuple[Finding, ...]

    def of(self, verdict: Verdict) -> tuple[Finding, ...]:
        """The findings with that verdict."""
        return tuple(row for row in self.rows if row.verdict == verdict)

    def about(self, part: str) -> tuple[Finding, ...]:
        """The findings about the part of that name, or about "cord", "plug" and so on."""
        return tuple(row for row in self.rows if row.part == part)

    @property
    def caption(self) -> str:
        fails, unknown, passes = (len(self.of(verdict)) for verdict in VERDICTS)
        told = f"{fails} fail, {unknown} cannot be told, {passes} pass"
        return f"{self.appliance.title} against published limits: {told}"
