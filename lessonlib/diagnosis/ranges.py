"""Every fault in all the sizes that it can have, in steps: a short or an open has none, a leak is
of any resistance at any place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise, product

from lessonlib.appliance.fault import Fault, fault_pairs, possible_faults
from lessonlib.appliance.parts import Appliance
from lessonlib.diagnosis.bench_test import span_words

# Ends of the steps, our own choice. Less than the first reads as sound, more than the last as open.
_LEFT = (0.02, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9)
_ALONG = (0.0, 0.25, 0.5, 0.75, 1.0)
_LEAK_OHM = (0.0, 20.0, 1e3, 1e4, 1e5, 2e6)
_BAD_OHM = (2.0, 10.0, 50.0, 200.0, 1e3, 1e5)
_NO_SIZE = (None, None)


@dataclass(frozen=True)
class Guess:
    """Faults that may be there together, none for a sound appliance. `corners` has them in all
    sizes between which they lie; what is between is no more and no less than these."""

    faults: tuple[Fault, ...]
    corners: tuple[tuple[Fault, ...], ...]

    @property
    def words(self) -> str:
        """The faults, and between which sizes they lie."""
        return " and ".join(map(self._said, range(len(self.faults)))) or "no fault found"

    @property
    def unsized(self) -> str:
        """The faults without their sizes: "E1 leaking to its sheath"."""
        return " and ".join(map(_head, self.faults)) or "no fault found"

    def _said(self, number: int) -> str:
        fault = self.faults[number]
        sizes = [corner[number] for corner in self.corners]
        if len(sizes) == 1:
            return str(fault)
        said = [_head(fault)]
        shares, ohms = _scales(fault)
        low, *_, high = sorted(size.share or 0.0 for size in sizes)
        if (low, high) not in ((shares[0], shares[-1]), (0.0, 0.0)):
            what = "left" if fault.kind == "part shorted" else "along"
            said.append(f"{span_words(100 * low, 100 * high, '%')} {what}")
        low, *_, high = sorted(size.ohm or 0.0 for size in sizes)
        if (low, high) not in ((ohms[0], ohms[-1]), (0.0, 0.0)):
            said.append(span_words(low, high, "Ω"))
        return ", ".join(said)


def _head(fault: Fault) -> str:
    """The words of `fault` up to its size."""
    words = str(replace(fault, share=None, ohm=None))
    sized = fault.share is not None or fault.ohm is not None
    return words.rpartition(", ")[0].removesuffix(" at ") if sized else words


def exact(faults: tuple[Fault, ...]) -> Guess:
    """These faults in just these sizes."""
    return Guess(faults, (faults,))


def plain_guesses(appliance: Appliance) -> list[Guess]:
    """A sound appliance, and every single fault in one common size."""
    return [exact(()), *(exact((fault,)) for fault in possible_faults(appliance))]


def single_guesses(appliance: Appliance) -> Iterator[Guess]:
    """A sound appliance, and every single fault in steps of its size."""
    yield exact(())
    for fault in possible_faults(appliance):
        for shares, ohms in product(*map(pairwise, _scales(fault))):
            middle = replace(fault, share=_mean(*shares), ohm=_middle(*ohms))
            yield Guess((middle,), tuple((each,) for each in _sized(fault, shares, ohms)))


def pair_guesses(appliance: Appliance) -> Iterator[Guess]:
    """Every two faults that can be there together, each from its least size to its most."""
    for pair in fault_pairs(appliance):
        scales = [[(scale[0], scale[-1]) for scale in _scales(fault)] for fault in pair]
        sizes = (_sized(fault, *ends) for fault, ends in zip(pair, scales, strict=True))
        yield Guess(pair, tuple(product(*sizes)))


def _scales(fault: Fault) -> tuple[tuple[float | None, ...], tuple[float | None, ...]]:
    """The steps of its share, and of its ohms."""
    if fault.kind == "part shorted":
        return _LEFT, _NO_SIZE
    if fault.kind == "leaking":
        return _ALONG, _LEAK_OHM
    return _NO_SIZE, _NO_SIZE if fault.ohm is None else _BAD_OHM


def _sized(
    fault: Fault, shares: tuple[float | None, ...], ohms: tuple[float | None, ...]
) -> list[Fault]:
    """`fault` in each of these sizes, once."""
    sizes = dict.fromkeys(product(shares, ohms))
    return [replace(fault, share=share, ohm=ohm) for share, ohm in sizes]


def _mean(low: float | None, high: float | None) -> float | None:
    return None if low is None or high is None else (low + high) / 2


def _middle(low: float | None, high: float | None) -> float | None:
    if low is None or high is None:
        return None
    return float((low * high) ** 0.5) if low else high / 2
