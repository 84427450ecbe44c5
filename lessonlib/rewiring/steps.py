"""The search step by step, so that it can show how far it is, and be stopped."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from lessonlib.appliance.parts import Appliance
from lessonlib.rewiring.given import Wanted, wired, without
from lessonlib.rewiring.network import LINE, NEUTRAL, Drawn, graphs
from lessonlib.rewiring.result import Rewirings, duration
from lessonlib.rewiring.search import Found, Sought
from lessonlib.rewiring.wiring import Proposal, alike, in_use, proposal, rank
from lessonlib.words import counted

MOST_CONTACTS = 6
MOST_SHOWN = 4
A_SECOND = 50_000
"""Ways to fit contacts that are tried in a second, on an ordinary computer."""
PATIENCE_S = 120.0
SUPPLY = ("appliance", "cord", "plug fuse", "coupler", "earth")
"""What findings are about that depend on the powers wanted, however the parts are wired."""


_Kept = tuple[tuple[object, ...], Found, tuple[str, ...]]
"""The rank of a wiring, the wiring, and the parts that it does without."""


@dataclass(frozen=True)
class Progress:
    """How far a search is: among wirings with so many contacts, so many tried of so many."""

    contacts: int
    tried: int
    of: int
    fit: int

    def __str__(self) -> str:
        share = 100 * self.tried // max(self.of, 1)
        return (
            f"{counted(self.contacts, 'contact')}: {share} % of {self.of:,} wirings, "
            f"{self.fit:,} fit so far"
        )


class Search:
    """A search step by step: `steps` until it ends or one has had enough, then `result`."""

    def __init__(
        self, of: Appliance, wanted: tuple[Wanted, ...], most_s: float = PATIENCE_S
    ) -> None:
        self.of, self.wanted, self.most_s = of, wanted, most_s
        self.heats = [each for each in wanted if not each.is_off]
        self.searched, self.too_long_s, self.ended = 0, 0.0, False
        self._good: list[Proposal] = []
        self._fitting: dict[object, _Kept] = {}
        self._dropped: Counter[str] = Counter()
        self._hopeless = True  # whether all were dropped for what no other wiring can mend
        self._partly: set[int] = set()
        self._of = self._refused = 0  # with as many contacts as now

    @cached_property
    def _jobs(self) -> list[tuple[Sought, tuple[str, ...]]]:
        """What to search for with all of the parts, and with all but some of them, those unused."""
        apart: tuple[int, ...] = ()
        if len(self.heats) < len(self.wanted):
            apart = (LINE, NEUTRAL) if self.of.supply.reversible_plug else (LINE,)
        watts = tuple(each.range_W for each in self.heats)
        held = {getattr(part, "placed_on", None) for part in self.of.self_acting}
        spare = [part.name for part in wired(self.of) if part.name not in held]
        jobs = []
        for count in range(len(spare) + 1):
            for unused in combinations(spare, count):
                some = without(self.of, unused)
                if some.elements:
                    ohms = [part.resistance_ohm for part in some.elements]
                    drawn = Drawn(ohms, some.supply.voltage_V, bool(some.diodes))
                    jobs.append((Sought(drawn, watts, apart, _alike(some)), unused))
        return jobs

    @cached_property
    def nearest(self) -> tuple[tuple[Wanted, tuple[float, ...]], ...]:
        """For each wanted power that these parts cannot give, those nearest to it, W."""
        can = sorted(
            {
                float(f"{power:.4g}")
                for sought, _ in self._jobs
                for graph in graphs(sought.parts, sought.alike)
                if (power := sought.drawn.power_W(graph))
            }
        )
        found = []
        for each in self.heats:
            least, most = each.range_W
            if not any(least <= power <= most for power in can):
                below = [power for power in can if power < least][-1:]
                found.append((each, (*below, *[power for power in can if power > most][:1])))
        return tuple(found)

    def takes_s(self, contacts: int) -> float:
        """About how long all wirings with up to so many contacts take, s."""
        ways = sum(sought.count(n) for sought, _ in self._jobs for n in range(1, contacts + 1))
        return ways / A_SECOND

    @cached_property
    def reach(self) -> int:
        """The most contacts that there is time for."""
        fits = [n for n in range(1, MOST_CONTACTS + 1) if self.takes_s(n) <= self.most_s]
        return max(fits, default=0)

    @property
    def beforehand(self) -> str:
        """How long it takes, before it begins."""
        told = (
            f"The search tries wirings with 1 contact, then 2, and so on, and ends where one fits: "
            f"at the latest with {self.reach}, after about {duration(self.takes_s(self.reach))}."
        )
        if self.reach < MOST_CONTACTS:
            more = duration(self.takes_s(self.reach + 1))
            told += f" One contact more would take about {more}, which is longer than allowed."
        return told

    def steps(self) -> Iterator[Progress]:
        """Searches on; stop at any step."""
        if not self.nearest:
            for contacts in range(1, MOST_CONTACTS + 1):
                if contacts > self.reach:
                    self.too_long_s = self.takes_s(contacts)
                    break
                yield from self._level(contacts)
                yield from self._checked()
                self.searched = contacts
                if self._good or (self._dropped and self._hopeless):
                    break
        self.ended = True

    def _level(self, contacts: int) -> Iterator[Progress]:
        self._fitting, self._refused = {}, 0
        self._partly.clear()
        self._of = sum(sought.count(contacts) for sought, _ in self._jobs)
        tried = 0
        for sought, unused in self._jobs:
            for graph in sought.graphs:
                for found in sought.wirings(graph, contacts, self._partly):
                    if found is None:
                        yield Progress(contacts, tried, self._of, len(self._fitting))
                    else:
                        self._keep(found, sought, unused)
                tried += sought.count_in(graph, contacts)
                yield Progress(contacts, tried, self._of, len(self._fitting))

    def _keep(self, found: Found, sought: Sought, unused: tuple[str, ...]) -> None:
        """Remember a wiring, or the better of two that are alike."""
        if not in_use(found, sought.drawn):
            return
        turned = self.of.supply.reversible_plug and not self.of.self_acting
        key = (unused, alike(found, sought.alike, turned))
        value = (rank(found, self.of, unused), found, unused)
        if key not in self._fitting or value[0] < self._fitting[key][0]:
            self._fitting[key] = value

    def _checked(self) -> Iterator[Progress]:
        """The best few against which nothing speaks."""
        for _, found, unused in sorted(self._fitting.values(), key=lambda value: value[0]):
            made = proposal(found, self.of, self.wanted, unused)
            if made.objection is None:
                self._good.append(made)
                if len(self._good) == MOST_SHOWN:
                    return
            else:
                about, why = made.objection
                self._dropped[why] += 1
                self._refused += 1
                self._hopeless &= about in SUPPLY
            yield Progress(len(found.contacts), self._of, self._of, len(self._fitting))

    def result(self) -> Rewirings:
        """What has been found by now."""
        if not (self.ended or self._good or self._refused):
            for _ in self._checked():
                pass
        most = max(self._partly, key=int.bit_count, default=0)
        partly = tuple(each for n, each in enumerate(self.heats) if most >> n & 1)
        off = tuple(each for each in self.wanted if each.is_off)
        return Rewirings(
            self.of,
            self.wanted,
            tuple(self._good),
            len(self._fitting) - self._refused,
            tuple(self._dropped.most_common()),
            self.nearest,
            off + partly if partly else (),
            self.searched,
            self.too_long_s,
            not self.ended,
        )


def _alike(of: Appliance) -> tuple[tuple[int, ...], ...]:
    """The places of parts that can change places: elements of the same resistance."""
    groups: dict[str, list[int]] = {}
    for place, part in enumerate(wired(of)):
        ohms = getattr(part, "resistance_ohm", 0.0)
        groups.setdefault(f"{ohms:.9g}", []).append(place)
    return tuple(map(tuple, groups.values()))
