"""How fast a day of cycling is and what its cost grows with, as ratios from one run:
python -m tests.benchmarks.heat

Against a general solver of differential equations with events, at the tolerance that the tests
compare at, so that both give the same event times to 0.1 ms. The two take turns.
"""

from __future__ import annotations

import os
import sys

import scipy

from lessonlib import heat_up, load_appliance
from tests.benchmarks.circuit import medians, report
from tests.heat.ode import ode_run

DAY = 24 * 60


def day_of_cycling(name: str) -> None:
    appliance = load_appliance(name)
    run = heat_up(appliance, {"S1": "on"}, minutes=DAY)
    reference = ode_run(appliance, {"S1": "on"}, DAY)
    apart = max(
        abs(ours.time_s - time_s)
        for ours, (time_s, _, _) in zip(run.events, reference.events, strict=True)
    )
    ours, theirs = medians(
        lambda: heat_up(appliance, {"S1": "on"}, minutes=DAY),
        lambda: ode_run(appliance, {"S1": "on"}, DAY),
        5,
    )
    report(
        f"24 h of cycling, {name}, against scipy's solve_ivp",
        theirs / ours,
        "at least 100",
        f"{len(run.events)} events, {apart:.1e} s apart at most: {ours * 1e3:.1f} ms against "
        f"{theirs * 1e3:.0f} ms",
    )


def cost_follows_events() -> None:
    """A month in which nothing happens after the first hour, and ten days that cycle."""
    urn, steamer = load_appliance("tea-urn"), load_appliance("garment-steamer")
    hour, month = medians(
        lambda: heat_up(urn, minutes=60), lambda: heat_up(urn, minutes=30 * DAY), 25
    )
    report("30 days without events against one hour", month / hour, "about 1", "")
    day, ten_days = medians(
        lambda: heat_up(steamer, {"S1": "on"}, minutes=DAY),
        lambda: heat_up(steamer, {"S1": "on"}, minutes=10 * DAY),
        5,
    )
    report("10 days with 10 times the events against one day", ten_days / day, "about 10", "")


if __name__ == "__main__":
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, scipy {scipy.__version__}")
    for name in ("garment-steamer", "wallpaper-steamer"):
        day_of_cycling(name)
    cost_follows_events()
