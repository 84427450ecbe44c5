"""Random appliances for the drawing: any graph, with islands, dangling parts and parallel parts."""

from __future__ import annotations

import random

import networkx as nx

from lessonlib.appliance.parts import (
    Appliance,
    Contact,
    Diode,
    Element,
    Lamp,
    Link,
    Part,
    PressureSwitch,
    Supply,
    Switch,
    ThermalFuse,
    Thermostat,
)

Pair = tuple[str, str]


def appliance_of(pairs: list[Pair], rng: random.Random) -> Appliance:
    """One rung of a random kind for each pair; some become switches of several contacts."""
    parts: list[Part] = []
    left = list(pairs)
    while left:
        name = f"X{len(parts)}"
        kind = rng.randrange(9)
        if kind < 2:
            count = rng.randint(1, min(4, len(left)))
            contacts = tuple(
                Contact(left.pop(), (rng.choice(("one", "two")),)) for _ in range(count)
            )
            parts.append(Switch(name, ("one", "two"), contacts, "one"))
        elif kind == 2:
            parts.append(Thermostat(name, left.pop(), 80, 70))
        elif kind == 3:
            parts.append(PressureSwitch(name, left.pop(), 1, 0.5))
        elif kind == 4:
            parts.append(ThermalFuse(name, left.pop(), 152))
        elif kind == 5:
            parts.append(Diode(name, left.pop()))
        elif kind == 6:
            parts.append(Lamp(name, left.pop(), 0.5, 230, 105_800))
        elif kind == 7:
            parts.append(Link(name, left.pop(), resistance_ohm=0.05))
        else:
            parts.append(Element(name, left.pop(), resistance_ohm=rng.uniform(20, 200)))
    return Appliance("Random circuit", "", Supply(230.0), tuple(parts))


def random_pairs(rng: random.Random) -> list[Pair]:
    """Ends of up to thirty rungs: a tree, a piece of a square grid, islands, or anything."""
    kind = rng.choice(("any", "any", "sparse", "tree", "grid", "islands"))
    nodes = ["L", "N", *(["PE"] if rng.random() < 0.3 else [])]
    nodes += [f"n{number}" for number in range(rng.randint(1, 16))]
    if kind == "tree":
        return [(node, rng.choice(nodes[:place])) for place, node in enumerate(nodes) if place]
    if kind == "grid":
        grid = nx.grid_2d_graph(rng.randint(2, 5), rng.randint(2, 5))
        names = {place: f"g{place[0]}{place[1]}" for place in grid}
        first, last = rng.sample(sorted(names), 2)
        names[first], names[last] = "L", "N"
        kept = [edge for edge in sorted(grid.edges) if rng.random() < 0.9]
        return [(names[a], names[b]) for a, b in kept]
    half = len(nodes) // 2 + 1
    pools = [nodes[:half], nodes[half:]] if kind == "islands" and len(nodes) > 5 else [nodes]
    count = rng.randint(1, 12 if kind == "sparse" else 30)
    pairs = []
    for _ in range(count):
        a, b = rng.sample(rng.choice(pools), 2)
        pairs.append((a, b))
    return pairs


def random_appliance(seed: int) -> Appliance:
    """The random appliance of that number."""
    rng = random.Random(seed)
    return appliance_of(random_pairs(rng), rng)


def is_planar(appliance: Appliance) -> bool:
    """Whether the circuit, with its supply from L to N, can be drawn without crossings."""
    graph = nx.Graph([("L", "N")])
    graph.add_edges_from(rung for part in appliance.parts for rung in part.rungs)
    planar, _ = nx.check_planarity(graph)
    return bool(planar)
