"""One limit held against one number; and the table of all findings of an appliance."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Literal

from lessonlib.appliance.parts import Appliance
from lessonlib.quantities import format_quantity
from lessonlib.tables import Table

Verdict = Literal["fail", "cannot tell", "pass"]
VERDICTS: tuple[Verdict, ...] = ("fail", "cannot tell", "pass")


def sized(value: float, unit: str) -> str:
    """A value as a finding shows it."""
    if unit in ("%", "mm²", "°C", "K"):
        return f"{value:.3g} {unit}"
    return format_quantity(value, unit)


SLACK = 1e-9
"""Rounding: so much over a limit still counts as on it."""


@dataclass(frozen=True, repr=False)
class Finding:
    """`found` and `limit` in `unit`; None where there is none. `at_most` says on which side of the
    limit is good. `where` is the setting and voltage of the worst case, `do` the next step, `write`
    what to put into the file then."""

    part: str
    what: str
    verdict: Verdict
    found: float | None
    limit: float | None
    unit: str
    where: str
    source: str
    do: str
    at_most: bool = True
    write: str = ""

    @property
    def margin(self) -> float | None:
        """How far on the good side of the limit, in `unit`; below 0 where it fails."""
        if self.found is None or self.limit is None:
            return None
        return self.limit - self.found if self.at_most else self.found - self.limit

    @property
    def margin_words(self) -> str:
        """The margin in words: "2.83 A to spare", "1.15 A too much"."""
        if self.margin is None:
            return "–"
        size = sized(abs(self.margin), "K" if self.unit == "°C" else self.unit)
        if self.margin >= 0:
            return f"{size} to spare"
        return f"{size} too {'much' if self.at_most else 'little'}"

    @property
    def limit_words(self) -> str:
        """The limit with its side: "at most 10 A"."""
        if self.limit is None:
            return "–"
        size = sized(self.limit, self.unit)
        return f"at {'most' if self.at_most else 'least'} {size}"

    @property
    def told(self) -> str:
        """Number, limit, margin, where that is, and what to do."""
        numbers = [] if self.found is None else [sized(self.found, self.unit)]
        numbers += [] if self.limit is None else [f"{self.limit_words}, {self.margin_words}"]
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
    found: float,
    limit: float,
    unit: str,
    source: str,
    *,
    do: str,
    where: str = "",
    at_most: bool = True,
    passing: str = "",
) -> Finding:
    """A finding that passes or fails by its number; `do` is for a fail, `passing` for a pass."""
    over = found - limit if at_most else limit - found
    good = over <= SLACK * max(abs(limit), 1.0)
    verdict: Verdict = "pass" if good else "fail"
    told = passing if good else do
    return Finding(part, what, verdict, found, limit, unit, where, source, told, at_most)


def untold(
    part: str, what: str, do: str, source: str, *, write: str = "", found: float | None = None,
    unit: str = "", where: str = "",
) -> Finding:  # fmt: skip
    """A finding that cannot be told: `do` says how to find out, `write` what the file lacks."""
    return Finding(part, what, "cannot tell", found, None, unit, where, source, do, write=write)


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
