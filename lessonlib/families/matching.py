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
from itertools import combinations

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
_Between = dict[tuple[str, str], Counter[tuple[Sign, int]]]


@dataclass(frozen=True)
class Match:
    """Every path of both wirings once: `same` (first, then second), in the same place with another
    rating or kind (`replaced`), `moved`, `removed` and `added`. `points` maps points of the first
    to those of the second. A path in `in_series` has its ends joined where it is not there."""

    same: tuple[tuple[Path, Path], ...]
    replaced: tuple[tuple[Path, Path], ...]
    moved: tuple[tuple[Path, Path], ...]
    removed: tuple[Path, ...]
    added: tuple[Path, ...]
    in_series: frozenset[Path]
    points: Mapping[str, str | None]

    @property
    def cost(self) -> int:
        """How many paths differ."""
        return sum(map(len, (self.replaced, self.moved, self.removed, self.added)))

    @property
    def pairs(self) -> tuple[tuple[Path, Path], ...]:
        """Every path that is still there in some form, with what it has become."""
        return (*self.same, *self.replaced, *self.moved)


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
        self.count = Counter(path.sign for path in ours)
        self.count.subtract(path.sign for path in theirs)
        self.best: Match | None = None
        self.rank: tuple[int, ...] = ()
        self.steps = self.enough = 0

    @property
    def limit(self) -> int:
        return self.rank[0] if self.best else len(self.both) + 1

    @property
    def tired(self) -> bool:
        """Whether to be content with the best match so far."""
        related = self.limit <= max(_FEW_CHANGES, len(self.ours) // 2, len(self.theirs) // 2)
        return self.best is not None and self.steps > (_MOST_STEPS if related else _FEW_STEPS)

    def worth_joining(self, count: int) -> Iterator[tuple[int, ...]]:
        """Every choice of so many paths that may cost less than the best match."""
        every = combinations(range(len(self.both)), count)
        # of two that cost the same, a switch or a fuse was moved rather than an element
        least = sorted((self._least(some), self._elements(some), some) for some in every)
        yield from (some for cost, _, some in least if cost < self.limit and not self.tired)

    def _elements(self, joined: Sequence[int]) -> int:
        return sum(self.both[index].sign[0] == "element" for index in joined)

    def _least(self, joined: Sequence[int]) -> int:
        """The least that a match costs in which these paths are not the same: of each sign as many
        are left over on either side as are joined there, and as the other side lacks."""
        here, there = Counter[Sign](), Counter[Sign]()
        for index in joined:
            side = here if index < len(self.ours) else there
            side[self.both[index].sign] += 1
        ours = theirs = 0
        for sign, more in self.count.items():
            left = max(here[sign], there[sign] + more, 0)
            ours += left
            theirs += left - more
        return max(ours, theirs)

    def try_joined(self, joined: tuple[int, ...]) -> None:
        """Look for a better match with the ends of these paths joined."""
        self.steps += _STEPS_TO_JOIN
        self.enough = self.steps + _STEPS_AT_ONCE
        kept = [i for i in range(len(self.both)) if i not in joined]
        cut = len(self.ours)
        one = _Side(
            [self.both[i] for i in joined if i < cut], [self.both[i] for i in kept if i < cut]
        )
        two = _Side(
            [self.both[i] for i in joined if i >= cut], [self.both[i] for i in kept if i >= cut]
        )
        if one.shorted or two.shorted:
            return
        for points in self._points(one, two, dict.fromkeys(TERMINALS) | {t: t for t in TERMINALS}):
            self.steps += _STEPS_TO_PAIR
            found = self._with(one, two, points)
            rank = (found.cost, len(joined), *_likelihood(found))
            if self.best is None or rank < self.rank:
                self.best, self.rank = found, rank

    def _points(self, one: _Side, two: _Side, start: Points) -> Iterator[Points]:
        """Every pairing of the points that may cost as little as the best match."""
        order = one.from_terminals()

        def cost(points: Points, point: str, other: str | None) -> tuple[int, int]:
            """Paths left over on either side between `point` and those paired before it."""
            left = right = 0
            for beside, there in (*points.items(), (point, other)):
                mine = one.between.get((point, beside), _NONE)
                yours = two.between.get((other, there), _NONE) if other and there else _NONE
                if mine or yours:
                    shared = (mine & yours).total()
                    left += mine.total() - shared
                    right += yours.total() - shared
            return left, right

        def go(place: int, points: Points, left: int, right: int) -> Iterator[Points]:
            if place == len(order):
                yield dict(points)
                return
            point = order[place]
            taken = set(points.values())
            ways = []
            for other in (*(node for node in two.nodes if node not in taken), None):
                more, extra = cost(points, point, other)
                ways.append((more + extra, more, extra, other))
            for _, more, extra, other in sorted(ways, key=lambda way: way[0]):
                self.steps += 1
                if max(left + more, right + extra) > self.limit - (self.best is not None):
                    continue
                if self.best is not None and (self.tired or self.steps > self.enough):
                    return
                yield from go(place + 1, {**points, point: other}, left + more, right + extra)

        terminals = [(t, u) for i, t in enumerate(TERMINALS) for u in TERMINALS[i:]]
        left = right = 0
        for pair in terminals:
            mine, yours = one.between.get(pair, _NONE), two.between.get(pair, _NONE)
            left += (mine - yours).total()
            right += (yours - mine).total()
        yield from go(0, start, left, right)

    def _with(self, one: _Side, two: _Side, points: Points) -> Match:
        """The match in which the points are paired like that."""
        groups: dict[object, tuple[list[Path], list[Path]]] = defaultdict(lambda: ([], []))
        left, right = list(one.joined), list(two.joined)
        for path in one.kept:
            ends = one.ends(path, points)
            if None in ends:
                left.append(path)
            else:
                groups[path.sign, ends if path.directed else frozenset(ends)][0].append(path)
        for path in two.kept:
            ends = two.ends(path)
            groups[path.sign, ends if path.directed else frozenset(ends)][1].append(path)
        same: list[tuple[Path, Path]] = []
        together = Counter[tuple[str, str]]()
        # contacts that are alone between their points first: they say which switch is which
        for mine, yours in sorted(groups.values(), key=lambda group: len(group[0])):
            mine, yours = list(mine), list(yours)
            while mine and yours:
                pair = max(
                    ((a, b) for a in mine for b in yours),
                    key=lambda pair: together[pair[0].part, pair[1].part],
                )
                same.append(pair)
                together[pair[0].part, pair[1].part] += 1
                mine.remove(pair[0])
                yours.remove(pair[1])
            left += mine
            right += yours
        replaced, moved = self._paired(left, right, one, two, points)
        gone = {a for a, _ in (*replaced, *moved)}
        new = {b for _, b in (*replaced, *moved)}
        return Match(
            tuple(same),
            tuple(replaced),
            tuple(moved),
            tuple(path for path in self.ours if path in left and path not in gone),
            tuple(path for path in self.theirs if path in right and path not in new),
            frozenset((*one.joined, *two.joined)),
            {node: points.get(one.root(node)) for node in one.root_of},
        )

    def _paired(
        self, left: list[Path], right: list[Path], one: _Side, two: _Side, points: Points
    ) -> tuple[list[tuple[Path, Path]], list[tuple[Path, Path]]]:
        """Of what is left over, as many pairs as can be: replaced where they are, or moved."""
        if not left or not right:
            return [], []
        graph = nx.Graph()
        for i, mine in enumerate(left):
            for j, yours in enumerate(right):
                if worth := _alike(mine, yours, one, two, points):
                    graph.add_edge((0, i), (1, j), weight=worth)
        replaced: list[tuple[Path, Path]] = []
        moved: list[tuple[Path, Path]] = []
        for pair in nx.max_weight_matching(graph, maxcardinality=True):
            (_, i), (_, j) = sorted(pair)
            found = moved if left[i].sign == right[j].sign else replaced
            found.append((left[i], right[j]))
        return sorted(replaced, key=_place), sorted(moved, key=_place)


_NONE: Counter[tuple[Sign, int]] = Counter()


class _Side:
    """One wiring with the ends of `joined` paths made one point, and its other paths `kept`."""

    def __init__(self, joined: Sequence[Path], kept: Sequence[Path]) -> None:
        self.joined, self.kept = tuple(joined), tuple(kept)
        self.root_of = {node: node for path in (*joined, *kept) for node in path.ends}
        self.root_of |= {node: node for node in TERMINALS}
        self.shorted = False
        for path in joined:
            first, second = (self.root(node) for node in path.ends)
            if first == second or {first, second} <= set(TERMINALS):
                self.shorted = True
                return
            if second in TERMINALS:
                first, second = second, first
            self.root_of[second] = first
        self.between: _Between = {}
        for path in kept:
            first, second = (self.root(node) for node in path.ends)
            ways = (
                [(first, second, 1), (second, first, -1)]
                if first != second
                else [(first, first, 0)]
            )
            for a, b, way in ways:
                key = (path.sign, way if path.directed else 0)
                self.between.setdefault((a, b), Counter())[key] += 1
        roots = dict.fromkeys(self.root(node) for node in self.root_of)
        self.nodes = [node for node in roots if node not in TERMINALS]

    def root(self, node: str) -> str:
        """The point that `node` is part of."""
        while self.root_of[node] != node:
            node = self.root_of[node]
        return node

    def ends(self, path: Path, points: Points | None = None) -> tuple[str | None, ...]:
        """The ends of a path, or with `points` those that they are paired with."""
        roots = [self.root(node) for node in path.ends]
        return tuple(roots if points is None else [points[node] for node in roots])

    def from_terminals(self) -> list[str]:
        """The points, each beside as many of those before it as can be."""
        done: list[str] = []
        left = list(self.nodes)
        while left:
            placed = (*TERMINALS, *done)
            node = max(
                left,
                key=lambda n: sum(self.between.get((n, d), _NONE).total() for d in placed),
            )
            done.append(node)
            left.remove(node)
        return done


def _place(pair: tuple[Path, Path]) -> tuple[str, int]:
    return (pair[1].part, pair[1].contact)


def _alike(mine: Path, yours: Path, one: _Side, two: _Side, points: Points) -> int:
    """How well two paths left over fit each other; 0 where one has nothing to do with the other."""
    if mine.sign == yours.sign:
        return 2
    here = {points[one.root(node)] for node in mine.ends}
    if None in here or here != {two.root(node) for node in yours.ends}:
        return 0
    if (mine in one.joined) != (yours in two.joined):
        return 0
    if mine.sign[0] == yours.sign[0]:
        return 3
    return int({mine.sign[0], yours.sign[0]} <= _OPENING)


def _likelihood(found: Match) -> tuple[int, int]:
    """Of matches that cost the same, the plainer first: less of another kind, less moved."""
    other = sum(a.sign[0] != b.sign[0] for a, b in found.replaced)
    return other, len(found.moved)


def switch_pairs(
    pairs: Iterable[tuple[Path, Path]],
) -> Iterator[tuple[str, str, list[int], list[int]]]:
    """Switches that have contacts paired: both names, and the numbers of these contacts."""
    found: dict[tuple[str, str], list[tuple[int, int]]] = {}
    for first, second in pairs:
        if first.sign[0] == second.sign[0] == "switch":
            found.setdefault((first.part, second.part), []).append((first.contact, second.contact))
    for (name, other), numbers in found.items():
        yield name, other, [a for a, _ in numbers], [b for _, b in numbers]
