"""How fast a day of cycling is, as a ratio from one run: python -m tests.benchmarks.heat

Against a general solver of differential equations with events, at the tolerance that the tests
compare at, so that both give the same event times to 0.1 ms. The two take turns.
"""

from __future__ import annotations

import os
import sys

import scipy

from lessonlib import heat_up, load_appliance
from tests.benchmarks.electric import medians, report
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


if __name__ == "__main__":
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, scipy {scipy.__version__}")
    for name in ("garment-steamer", "wallpaper-steamer"):
        day_of_cycling(name)
