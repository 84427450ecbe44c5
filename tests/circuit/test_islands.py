"""What the supply reaches, along chains as long as an appliance can have."""

from __future__ import annotations

import random

import numpy as np
import pytest

from lessonlib.appliance.parts import Appliance, Element, Supply
from lessonlib.circuit.islands import reach
from lessonlib.circuit.network import network_of


def chain(order: list[int]) -> Appliance:
    """A chain of elements from L to N, listed in that order."""
    nodes = ["L", *(f"n{number}" for number in range(1, len(order))), "N"]
    return Appliance(
        "Chain",
        "",
        Supply(230),
        tuple(Element(f"E{n}", (nodes[n], nodes[n + 1]), resistance_ohm=1) for n in order),
    )


@pytest.mark.parametrize("kind", ["forwards", "backwards", "shuffled"])
def test_every_node_of_a_cut_chain_is_reached_from_its_own_side(kind: str) -> None:
    order = list(range(200))
    if kind == "backwards":
        order.reverse()
    elif kind == "shuffled":
        random.Random(1).shuffle(order)
    network = network_of(chain(order))
    links = np.ones((1, 200), dtype=bool)
    links[0, order.index(120)] = False  # the element between n120 and n121
    masks = dict(zip(network.nodes, reach(network, links)[:, 0].tolist(), strict=True))
    assert {masks[f"n{number}"] for number in range(1, 121)} == {1}
    assert {masks[f"n{number}"] for number in range(121, 200)} == {2}


@pytest.mark.parametrize("step", [1, -1])
def test_a_long_chain_takes_few_rounds_from_either_end(
    monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    network = network_of(chain(list(range(200))[::step]))
    rounds = 0

    def counted(one: np.ndarray, other: np.ndarray) -> bool:
        nonlocal rounds
        rounds += 1
        return bool((one == other).all())

    monkeypatch.setattr("lessonlib.circuit.islands.np.array_equal", counted)
    reach(network, np.ones((1, 200), dtype=bool))
    assert rounds <= 4  # there, back, and once more to see that nothing changes
