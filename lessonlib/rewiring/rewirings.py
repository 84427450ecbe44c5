"""The front door `rewirings`: wirings of given elements that give wanted powers, on paper."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from lessonlib.appliance.parts import Appliance
from lessonlib.rewiring.given import stock, wanted_of
from lessonlib.rewiring.result import Rewirings
from lessonlib.rewiring.steps import PATIENCE_S, Progress, Search

A_WHILE_S = 5.0
"""From here on it is said beforehand how long a search takes, s."""


def rewirings(
    elements: Appliance | Sequence[float | Mapping[str, float]],
    wanted: Sequence[str | float | tuple[str, float]],
    *,
    diode: bool = False,
    thermal_fuse_C: float | None = None,
    supply_voltage_V: float = 230.0,
    reversible_plug: bool = False,
    tolerance_percent: float = 5.0,
    most_s: float = PATIENCE_S,
    progress: Callable[[Progress], None] | None = None,
) -> Rewirings:
    """Wirings of these elements that give the wanted powers with one switch, on paper.

    `elements` is a list of up to four: watts at the supply's voltage, or dict(power_W=1000,
    voltage_V=240), or dict(resistance_ohm=52.9). Or it is an appliance: its elements, its diode if
    it has one, its supply, and its thermal fuses, thermostats and pressure switches, which then
    stand in the line; the other options are left out. `wanted` has two to five positions: watts,
    ("a name", watts), or "off", "low" and "high" (the weakest and strongest element alone),
    "medium" and "both" or "all". Off is a real one: it cuts the line, and both conductors where the
    plug goes in either way.

    All wirings with the fewest contacts are tried, up to six; those with a short circuit, a live
    off or a failing rating are dropped. It says beforehand how long that takes where it is more
    than a few seconds, and leaves out what would take longer than `most_s`. An interrupt (the
    square in a notebook) ends it with what has been found. `progress` is called now and then.

    Raises `RewiringError` for what cannot be searched, and `ApplianceError` for values that no
    part has (both are `ValueError`).

    >>> found = rewirings([500, 1000], ["off", "low", "high", "both"])
    >>> len(found[0].switch.contacts)
    2
    """
    of = stock(elements, diode=bool(diode), thermal_fuse_C=thermal_fuse_C,
               supply_voltage_V=supply_voltage_V, reversible_plug=reversible_plug)  # fmt: skip
    search = Search(of, wanted_of(wanted, of, tolerance_percent), most_s)
    try:
        if not search.nearest and progress is None and search.takes_s(search.reach) > A_WHILE_S:
            print(f"{search.beforehand} To stop it, interrupt the kernel (■).")
        for step in search.steps():
            if progress is not None:
                progress(step)
    except KeyboardInterrupt:
        pass  # the result says so
    return search.result()
