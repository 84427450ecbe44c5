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
        shares = sorted({each.share for each in sizes if each.share is not None})
        if shares and (shares[0], shares[-1]) not in ((_LEFT[0], _LEFT[-1]), (0.0, 1.0)):
            what = "left" if fault.kind == "part shorted" else "along"
            said.append(f"{span_words(100 * shares[0], 100 * shares[-1], '%')} {what}")
        ohms = sorted({each.ohm for each in sizes if each.ohm is not None})
        most = _LEAK_OHM if fault.kind == "leaking" else _BAD_OHM
        if ohms and (ohms[0], ohms[-1]) != (most[0], most[-1]):
            said.append(span_words(ohms[0], ohms[-1], "Ω"))
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
        yield from _steps(fault)


def pair_guesses(appliance: Appliance) -> Iterator[Guess]:
    """Every two faults that can be there together, each from its least size to its most."""
    for one, other in fault_pairs(appliance):
        corners = tuple(product(_ends(one), _ends(other)))
        yield Guess((one, other), corners)


def _steps(fault: Fault) -> Iterator[Guess]:
    if fault.kind == "part shorted":
        for low, high in pairwise(_LEFT):
            sizes = tuple((replace(fault, share=share),) for share in (low, high))
            yield Guess((replace(fault, share=(low + high) / 2),), sizes)
    elif fault.kind == "leaking":
        for places, leaks in product(pairwise(_ALONG), pairwise(_LEAK_OHM)):
            sizes = tuple((replace(fault, share=s, ohm=o),) for s, o in product(places, leaks))
            middle = replace(fault, share=sum(places) / 2, ohm=_middle(*leaks))
            yield Guess((middle,), sizes)
    elif fault.ohm is not None:
        for ohms in pairwise(_BAD_OHM):
            sizes = tuple((replace(fault, ohm=ohm),) for ohm in ohms)
            yield Guess((replace(fault, ohm=_middle(*ohms)),), sizes)
    else:
        yield exact((fault,))


def _middle(low: float, high: float) -> float:
    return float((low * high) ** 0.5) if low else high / 2


def _ends(fault: Fault) -> list[Fault]:
    """`fault` in its least and its most sizes."""
    if fault.kind == "part shorted":
        return [replace(fault, share=share) for share in (_LEFT[0], _LEFT[-1])]
    if fault.kind == "leaking":
        sizes = product((_ALONG[0], _ALONG[-1]), (_LEAK_OHM[0], _LEAK_OHM[-1]))
        return [replace(fault, share=share, ohm=ohm) for share, ohm in sizes]
    if fault.ohm is not None:
        return [replace(fault, ohm=ohm) for ohm in (_BAD_OHM[0], _BAD_OHM[-1])]
    return [fault]
