"""What an ohmmeter shows between two points of the unplugged appliance.

Nothing here is measured on a live appliance. Without the supply, L and N are points like any other;
the meter is a source of `TEST_V` behind a resistor of its own, with its red lead positive, and the
circuit it drives is solved like any other. Each reading comes with the range in which a real meter
may show it:

- An element has its cold resistance: the file's, which is the hot one, divided by the alloy's
  factor at work. Where the file names no alloy, cold is taken equal to hot, and a note says so.
- A diode of the file conducts from red to black if its forward drop is below `TEST_V`. A meter's
  low test voltage does not turn a silicon diode on reliably, so the range runs from what a diode
  without a drop would give to what a diode that blocks would give.
- A lamp is a resistor of its marked power. A neon lamp does not strike on a meter and reads open;
  a filament has far less resistance cold than hot. The range runs from one to the other.
- Contacts that act by themselves are as in the setting: closed, as at room temperature, unless it
  says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lessonlib.appliance.fault import Fault, find_fault
from lessonlib.appliance.parts import TERMINALS, Appliance, Diode, Element, Lamp
from lessonlib.appliance.settings import Setting, complete
from lessonlib.appliance.settings import settings as every_setting
from lessonlib.appliance.terminals import terminals
from lessonlib.circuit.cycle import pieces
from lessonlib.circuit.islands import joined
from lessonlib.circuit.linear import at
from lessonlib.circuit.network import Cases, Flags, Floats, Network
from lessonlib.circuit.opened import Faults, cases_with, needs_opening, network_for, points
from lessonlib.errors import ReadingError, shown
from lessonlib.meter.alloys import hot_factor
from lessonlib.quantities import format_quantity
from lessonlib.words import listed

TEST_V = 0.3
"""Voltage of the meter's resistance range, V: common practice, no source (meters differ)."""

METER_OHM = 1.0
"""The meter's own resistor: with it a direct join draws no endless current. It is taken off again
from each reading."""

# Tungsten 0.350 ohm cold, 4.8 ohm at 2850 C: OpenStax College Physics 2e, example 20.6.
FILAMENT_FACTOR = 4.8 / 0.350

# Ends of a range closer than this are written as one number: marked powers are no closer to the
# truth (IEC 60335-1 clause 10.1 allows 5 % and more).
_SAME = 0.05


@dataclass(frozen=True)
class OhmReading:
    """`ohm` by the file, and the range from `low_ohm` to `high_ohm` that lamps and diodes leave
    open; None for an open path. `through` names the parts that carry the meter's current, `doubts`
    says why there is a range, and `no_alloy` names the elements whose cold resistance is taken
    equal to the hot one."""

    red: str
    black: str
    setting: Mapping[str, str]
    fault: Faults
    ohm: float | None = None
    low_ohm: float | None = None
    high_ohm: float | None = None
    through: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    no_alloy: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """`ohm`, and the far end of its range: "132 Ω", "open", "52.9 Ω or open"."""
        if _far(self.ohm, self.high_ohm):
            return (
                f"{ohms(self.ohm)} {'or' if self.high_ohm is None else 'to'} {ohms(self.high_ohm)}"
            )
        if self.ohm is None and self.low_ohm is not None:
            return f"open or {ohms(self.low_ohm)}"
        return ohms(self.ohm)

    def __repr__(self) -> str:
        said = [f"{self.red} to {self.black}: {self.text}", *self.doubts]
        if self.no_alloy:
            said.append(f"no alloy named for {', '.join(self.no_alloy)}: cold taken equal to hot")
        return "; ".join(said)


def ohms(value: float | None) -> str:
    """A resistance to three figures, or "open" for None."""
    return "open" if value is None else format_quantity(value, "Ω")


def resistance(
    appliance: Appliance,
    setting: Setting | None = None,
    *,
    red: str,
    black: str,
    fault: Fault | str | None = None,
) -> OhmReading:
    """What an ohmmeter shows between nodes `red` and `black` of the unplugged appliance.

    `setting` and `fault` are those of `solve`. Raises `ReadingError`, `SettingError`, `FaultError`
    (all `ValueError`) for points, a setting or a fault that do not fit.
    """
    chosen = [complete(appliance, setting)]
    return resistances(appliance, chosen, red=red, black=black, faults=(fault,))[0]


def resistances(
    appliance: Appliance,
    settings: Sequence[Setting] | None = None,
    *,
    red: str,
    black: str,
    faults: Sequence[Fault | str | tuple[Fault, ...] | None] = (None,),
) -> list[OhmReading]:
    """Every given setting with every given fault, settings outermost; see `resistance`. Several
    faults at once are a tuple.

    `settings` left out means every setting of the hand-operated switches.
    """
    check_points(appliance, red, black)
    if settings is None:
        chosen = every_setting(appliance)
    else:
        chosen = [complete(appliance, setting) for setting in settings]
    found: list[Faults] = [
        each if isinstance(each, tuple) else find_fault(appliance, each) for each in faults
    ]
    open_readings = [OhmReading(red, black, row, fault) for row in chosen for fault in found]
    closed = {red, black} <= {*appliance.nodes, "PE"} and not any(map(needs_opening, found))
    if closed and not {red, black} <= set(appliance.nodes):
        return open_readings  # nothing of the file reaches PE
    network = network_for(appliance, found, (red, black))
    factors = [hot_factor(p.alloy) if isinstance(p, Element) else 1.0 for p in network.parts]
    network = replace(network, conductance_S=network.conductance_S * factors)
    cases = cases_with(network, chosen, found)
    network = _metered(network, red, black)
    is_lamp = network.of_kind(Lamp)
    as_filed, carrying = _driven(network, cases)
    without_lamps = cases.conductance_S * ~is_lamp
    most, _ = _driven(network, Cases(without_lamps, cases.join, diode=np.zeros_like(cases.diode)))
    as_filament = np.where(is_lamp, FILAMENT_FACTOR, 1.0)
    least, _ = _driven(
        replace(network, drop_V=network.drop_V * 0),
        replace(cases, conductance_S=cases.conductance_S * as_filament),
    )
    ohm = np.stack((as_filed, least, most), axis=1)
    return [
        _told(reading, network, ohm[case], carrying[case], cases.diode[case])
        for case, reading in enumerate(open_readings)
    ]


def check_points(appliance: Appliance, red: str, black: str) -> None:
    """Raises `ReadingError` unless `red` and `black` are two points that a probe can be put on."""
    if red in (*TERMINALS, *appliance.nodes) and black in (*TERMINALS, *appliance.nodes):
        every: tuple[str, ...] = (*TERMINALS, *appliance.nodes)
    else:
        every = points(appliance)
    ends = [str(end) for end in terminals(appliance)]
    some = [point for point in dict.fromkeys((*TERMINALS, *every)) if point not in ends]
    for point in (red, black):
        if not isinstance(point, str) or point not in every:
            raise ReadingError(
                f"{appliance.title} has no point {shown(point)}; accepted: {', '.join(some)}, or "
                f'an end of a part such as "{ends[0]}". Use one of these names, spelled the same.'
            )
    if red == black:
        raise ReadingError(
            f"found both leads on {red}; accepted: two different points of "
            f"{', '.join(some)}. Name another for one of them."
        )


def _metered(network: Network, red: str, black: str) -> Network:
    """`network` with the meter as its supply: terminals are the meter's inside and `black`,
    the last branch is the meter's own resistor, from the inside to `red`."""
    nodes = (black, *(node for node in network.nodes if node != black))
    place = np.argsort([network.nodes.index(node) for node in nodes]) + 1
    rows = np.arange(len(network.branches) + 1)
    first = np.append(place[network.first], 0)
    second = np.append(place[network.second], 1 + nodes.index(red))
    incidence = np.zeros((len(rows), 1 + len(nodes)))
    incidence[rows, first] = 1.0
    incidence[rows, second] = -1.0
    return replace(
        network,
        nodes=("meter", *nodes),
        terminals=2,
        first=first,
        second=second,
        drop_V=np.append(network.drop_V, 0.0),
        incidence=incidence,
    )


def _driven(network: Network, cases: Cases) -> tuple[Floats, Flags]:
    """Ohms from `red` to `black` (cases), infinite where open, and the branches (cases, branches)
    that carry the current. The meter's voltage is the positive peak of a supply."""
    gap = np.zeros((len(cases), 1), dtype=bool)
    own = np.full((len(cases), 1), 1 / METER_OHM)
    metered = Cases(
        np.hstack((cases.conductance_S, own)),
        np.hstack((cases.join, gap)),
        np.hstack((cases.diode, gap)),
    )
    lines = next(pieces(network, metered, 0, TEST_V)).lines
    labels = joined(network, metered.join | lines.conducting | (metered.conductance_S > 0))
    path = labels[0] == labels[1]
    current = np.abs(at(lines.current, np.full((len(cases), 1), TEST_V)))
    drawn = current[:, -1]
    ohm = np.divide(TEST_V, drawn, out=np.full(len(cases), np.inf), where=path) - METER_OHM
    # A billionth of the current is rounding.
    return ohm, path[:, None] & (current[:, :-1] > 1e-9 * drawn[:, None])


def _told(
    reading: OhmReading, network: Network, ohm: Floats, carrying: Flags, diodes: Flags
) -> OhmReading:
    """`reading` with its ohms (filed, least, most) and what follows from its flags by branch."""
    filed, least, most = (float(value) if np.isfinite(value) else None for value in ohm)
    # an opened element has two pieces, and wires that are no part
    passed = zip(network.parts, carrying, strict=True)
    through = list(dict.fromkeys(part for part, carries in passed if carries and part))
    doubts = []
    if _far(least, filed) or _far(filed, most):
        for diode in (part for part, on in zip(network.parts, diodes, strict=True) if on):
            if diode in through:
                doubts.append(f"{diode.name} may not conduct at the meter's low voltage")
            elif isinstance(diode, Diode) and diode.forward_drop_V >= TEST_V:
                doubts.append(f"{diode.name} needs more voltage than the meter may give")
        lamps = [part.name for part in through if isinstance(part, Lamp)]
        if lamps:
            doubts.append(f"{listed(lamps)}: neon reads open, a cold filament far less")
    return replace(
        reading,
        ohm=filed,
        low_ohm=least,
        high_ohm=most,
        through=tuple(part.name for part in through if not part.contacts),
        doubts=tuple(doubts),
        no_alloy=tuple(p.name for p in through if isinstance(p, Element) and not p.alloy),
    )


def _far(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is not other
    return abs(one - other) > _SAME * max(one, other)
