"""What lines of data cannot draw or work out for lesson 5's questions."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, pairwise

from lessonlib.appliance.parts import Appliance
from lessonlib.circuit.wave import Wave
from lessonlib.questions.answers import Order
from lessonlib.questions.content_lines import Numbers
from lessonlib.questions.draw import Draw
from lessonlib.questions.reading import written

_EXCHANGED = {
    ("mean", "needle"): "needle-below-the-mean",
    ("mean", "coupled"): "d-c-left-out-below-the-mean",
    ("mean", "rms"): "mean-above-rms",
    ("needle", "coupled"): "needle-above-the-other-meter",
    ("needle", "rms"): "needle-above-rms",
    ("needle", "mains"): "needle-above-the-mains",
    ("coupled", "rms"): "d-c-left-out-above-rms",
    ("coupled", "mains"): "d-c-left-out-above-the-mains",
    ("rms", "mains"): "diode-raises-rms",
    ("rms", "peak"): "rms-above-the-peak",
    ("mains", "peak"): "rms-as-the-highest",
}
"""The slip that has two neighbours the wrong way round."""


def smallest_first(draw: Draw, circuit: Appliance, wave: Wave, asked: Mapping[str, str]) -> Numbers:
    """Values of one half-wave in order of size; `asked` has the words for each."""
    size_V = {
        "mean": wave.mean,
        "needle": wave.averaging_meter,
        "coupled": wave.ac_coupled_true_rms_meter,
        "rms": wave.rms,
        "mains": circuit.supply.voltage_V,
        "peak": wave.peak,
    }
    pairs = [set(pair) for pair in combinations(list(size_V)[:5], 2)]
    left_out = draw.one_of([pair for pair in pairs if pair != {"rms", "mains"}])
    right = sorted(size_V.keys() - left_out, key=size_V.__getitem__)
    orders = {
        _EXCHANGED[lower, upper]: [*right[:place], upper, lower, *right[place + 2 :]]
        for place, (lower, upper) in enumerate(pairwise(right))
    }
    orders["largest-first"] = right[::-1]
    lines = [f"{asked[name]}: {written(round(size_V[name], 1), 'V')}." for name in right]
    return Numbers(
        answer=Order(tuple(asked[name] for name in right)),
        slips={slip: tuple(asked[name] for name in order) for slip, order in orders.items()},
        words={"worked": "\n".join(lines)},
    )
