"""Matches the paths of two wirings at the least cost: each path that was added, taken out, moved or
given another rating costs one.

A path put in series, such as a fuse in the common return, parts one point in two. So the search
first joins the ends of a few paths on either side, and then looks for the best pairing of the
points; names and the order in the file play no part. Joining more paths is only tried where it
can cost less than what was found.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, product

import networkx as nx

from lessonlib.appliance.parts import SELF_ACTING, TERMINALS, Appliance
from lessonlib.families.wiring import Path, Sign, paths

MOST_JOINED = 4
"""Most paths in series that are looked for at once."""
_MOST_STEPS, _FEW_STEPS, _STEPS_AT_ONCE = 200_000, 20_000, 3_000
"""Most steps of the search for one pair of members, about a second; and for two that have less than
half of their paths in common, of which no match says much; and with the same paths joined."""
_FEW_CHANGES = 6
_STEPS_TO_JOIN, _STEPS_TO_PAIR = 10, 100

_OPENING = {kind.kind for kind in SELF_ACTING}
"""A part of one of these kinds can be said to take the place of another."""

Points = dict[str, str | None]
Pairs = tuple[tuple[Path, Path], ...]


@dataclass(frozen=True)
class Match:
    """Every path of both wirings once: `same` (first, then second), in the same place with another
    rating or kind (`replaced`), `moved`, `removed` and `added`. `points` maps points of the first
    to those of the second. A path in `in_series` has its ends joined where it is not there."""

    same: Pairs
    replaced: Pairs
    moved: Pairs
    removed: tuple[Path, ...]
    added: tuple[Path, ...]
    in_series: frozenset[Path]
    points: Mapping[str, str | None]

    @property
    def cost(self) -> int:
        """How many paths differ."""
        return sum(map(len, (self.replaced, self.moved, self.removed, self.added)))

    @property
    def pairs(self) -> Pairs:
        """Every path that is still there in some form, with what it has become."""
        return (*self.same, *self.replaced, *self.moved)

    @property
    def rank(self) -> tuple[int, ...]:
        """Of matches that cost the same, the plainer first: fewer paths joined, less of another
        kind, less moved."""
        other = sum(a.sign[0] != b.sign[0] for a, b in self.replaced)
        return self.cost, len(self.in_series), other, len(self.moved)


@lru_cache(maxsize=256)
def match(first: Appliance, second: Appliance) -> Match:
    """The cheapest match of the two."""
    search = _Search(paths(first), paths(second, first))
    for joined in range(MOST_JOINED + 1):
        if 2 * search.limit > joined:  # else nothing can be better
            for some in search.worth_joining(joined):
                search.try_joined(some)
    assert search.best is not None  # with nothing joined there is always one
    return search.best


class _Search:
    """The best match so far. Paths are numbered: those of the first wiring, then the second's."""

    def __init__(self, ours: Sequence[Path], theirs: Sequence[Path]) -> None:
        self.ours, self.theirs = ours, theirs
        self.both = [*ours, *theirs]
        self.more = Counter(path.sign for path in ours)
        self.more.subtract(path.sign for path in theirs)
        self.best: Match | None = None
        self.limit = len(self.both) + 1
        self.steps = self.enough = 0

    @property
    def tired(self) -> bool:
        """Whether to be content with the best match so far."""
        related = self.limit <= max(_FEW_CHANGES, len(self.ours) // 2, len(self.theirs) // 2)
        return self.best is not None and self.steps > (_MOST_STEPS if related else _FEW_STEPS)

    def worth_joining(self, count: int) -> Iterator[tuple[int, ...]]:
        """Every choice of so many paths that may cost less than the best match."""

        def elements(joined: Sequence[int]) -> int:
            return sum(self.both[index].sign[0] == "element" for index in joined)

        every = combinations(range(len(self.both)), count)
        # of two that cost the same, a switch or a fuse was moved rather than an element
        least = sorted((self._least(some), elements(some), some) for some in every)
        yield from (some for cost, _, some in least if cost < self.limit and not self.tired)

    def _least(self, joined: Sequence[int]) -> int:
        """The least that a match costs in which these paths are not the same: of each sign as many
        are left over on either side as are joined there, and as the other side lacks."""
        cut = len(self.ours)
        here = Counter(self.both[index].sign for index in joined if index < cut)
        there = Counter(self.both[index].sign for index in joined if index >= cut)
        left = {s: max(here[s], there[s] + more, 0) for s, more in self.more.items()}
        return max(sum(left.values()), sum(left.values()) - self.more.total())

    def try_joined(self, joined: tuple[int, ...]) -> None:
        """Look for a better match with the ends of these paths joined."""
        self.steps += _STEPS_TO_JOIN
        self.enough = self.steps + _STEPS_AT_ONCE
        one = _Side(self.ours, joined)
        two = _Side(self.theirs, [index - len(self.ours) for index in joined])
        if one.shorted or two.shorted:
            return
        for points in self._points(one, two):
            self.steps += _STEPS_TO_PAIR
            found = _match_with(one, two, points)
            if self.best is None or found.rank < self.best.rank:
                self.best, self.limit = found, found.cost

    def _points(self, one: _Side, two: _Side) -> Iterator[Points]:
        """Every pairing of the points that may cost as little as the best match."""
        order = one.from_terminals()

        def cost(points: Points, point: str, other: str | None) -> tuple[int, int]:
            """Paths left over on either side between `point` and those paired before it."""
            left = right = 0
            for beside, there in (*points.items(), (point, other)):
                mine, yours = one.between(point, beside), two.between(other, there)
                if mine or yours:
                    shared = (mine & yours).total()
                    left += mine.total() - shared
                    right += yours.total() - shared
            return left, right

        def go(points: Points, left: int, right: int) -> Iterator[Points]:
            if len(points) == len(order):
                yield points
                return
            point = order[len(points)]
            free: list[str | None] = [node for node in two.nodes if node not in points.values()]
            others = [point] if point in TERMINALS else [*free, None]
            ways = [(*cost(points, point, other), other) for other in others]
            for more, extra, other in sorted(ways, key=lambda way: way[0] + way[1]):
                self.steps += 1
                if max(left + more, right + extra) < self.limit:
                    if self.best is not None and (self.tired or self.steps > self.enough):
                        return
                    yield from go({**points, point: other}, left + more, right + extra)

        yield from go({}, 0, 0)


class _Side:
    """One wiring with the ends of the paths whose numbers are `joined` made one point, its `root`,
    and its other paths `kept`."""

    def __init__(self, every: Sequence[Path], joined: Sequence[int]) -> None:
        self.every = every
        self.joined = [path for number, path in enumerate(every) if number in joined]
        self.kept = [path for number, path in enumerate(every) if number not in joined]
        self.root = {node: node for node in TERMINALS}
        self.root |= {node: node for path in every for node in path.ends}
        self.shorted = False
        for path in self.joined:
            first, second = sorted(self.ends(path), key=lambda node: node not in TERMINALS)
            self.shorted |= first == second or second in TERMINALS
            self.root = {n: first if root == second else root for n, root in self.root.items()}
        self.nodes = [node for node in dict.fromkeys(self.root.values()) if node not in TERMINALS]
        self._between: dict[object, Counter[tuple[Sign, int]]] = defaultdict(Counter)
        for path in self.kept:
            first, second = self.ends(path)
            for pair, way in {(first, second): 1, (second, first): -1}.items():
                self._between[pair][path.sign, way if path.directed else 0] += 1

    def ends(self, path: Path) -> tuple[str, str]:
        """The points that a path ends in."""
        first, second = path.ends
        return self.root[first], self.root[second]

    def between(self, one: str | None, other: str | None) -> Counter[tuple[Sign, int]]:
        """The kept paths between two points, each with its direction where it has one."""
        return self._between.get((one, other), _NONE)

    def from_terminals(self) -> list[str]:
        """The terminals, then the points, each beside as many of those before it as can be."""
        done, left = list(TERMINALS), list(self.nodes)
        while left:
            node = max(left, key=lambda n: sum(self.between(n, d).total() for d in done))
            done.append(node)
            left.remove(node)
        return done


_NONE: Counter[tuple[Sign, int]] = Counter()


def _match_with(one: _Side, two: _Side, points: Points) -> Match:
    """The match in which the points are paired like that."""
    groups: dict[object, tuple[list[Path], list[Path]]] = defaultdict(lambda: ([], []))
    for number, side in enumerate((one, two)):
        for path in side.kept:
            ends = [node if number else points[node] for node in side.ends(path)]
            place = tuple(ends) if path.directed else frozenset(ends)
            groups[path.sign, place][number].append(path)
    same: list[tuple[Path, Path]] = []
    left, right = list(one.joined), list(two.joined)
    together = Counter[tuple[str, str]]()
    # contacts that are alone between their points first: they say which switch is which
    for mine, yours in sorted(groups.values(), key=lambda group: len(group[0])):
        while mine and yours:
            a, b = max(product(mine, yours), key=lambda p: together[p[0].part, p[1].part])
            same.append((a, b))
            together[a.part, b.part] += 1
            mine.remove(a)
            yours.remove(b)
        left += mine
        right += yours
    graph = nx.Graph()
    for (i, a), (j, b) in product(enumerate(left), enumerate(right)):
        if worth := _alike(a, b, one, two, points):
            graph.add_edge((0, i), (1, j), weight=worth)
    matched = map(sorted, nx.max_weight_matching(graph, maxcardinality=True))
    pairs = [(left[i], right[j]) for (_, i), (_, j) in matched]
    pairs.sort(key=lambda pair: (pair[1].part, pair[1].contact))
    gone, new = {a for a, _ in pairs}, {b for _, b in pairs}
    return Match(
        tuple(same),
        tuple((a, b) for a, b in pairs if a.sign != b.sign),
        tuple((a, b) for a, b in pairs if a.sign == b.sign),
        tuple(path for path in one.every if path in left and path not in gone),
        tuple(path for path in two.every if path in right and path not in new),
        frozenset((*one.joined, *two.joined)),
        {node: points.get(root) for node, root in one.root.items()},
    )


def _alike(mine: Path, yours: Path, one: _Side, two: _Side, points: Points) -> int:
    """How well two paths left over fit each other; 0 where one has nothing to do with the other."""
    if mine.sign == yours.sign:
        return 2
    here = {points[node] for node in one.ends(mine)}
    if here != set(two.ends(yours)) or (mine in one.joined) != (yours in two.joined):
        return 0
    if mine.sign[0] == yours.sign[0]:
        return 3
    return int({mine.sign[0], yours.sign[0]} <= _OPENING)


def switch_pairs(
    pairs: Iterable[tuple[Path, Path]],
) -> Iterator[tuple[str, str, list[int], list[int]]]:
    """Switches that have contacts paired: both names, and the numbers of these contacts."""
    found: dict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
    for first, second in pairs:
        if first.sign[0] == second.sign[0] == "switch":
            found[first.part, second.part].append((first.contact, second.contact))
    for (name, other), numbers in found.items():
        yield name, other, [a for a, _ in numbers], [b for _, b in numbers]
