"""How fast findings and hazards are, as ratios. Run by hand: python -m tests.benchmarks.ratings"""

from __future__ import annotations

from lessonlib import (
    findings,
    hazards,
    load_appliance,
    single_faults,
    solve_all,
)
from lessonlib.appliance.settings import settings
from tests.benchmarks.circuit import largest, medians, report


def all_against_bare_solve() -> None:
    """Every setting with every single fault, the plug both ways, solved and nothing else."""

    name = largest()
    appliance = load_appliance(name)
    every = settings(appliance, appliance.movable)
    faults = (None, *single_faults(appliance))
    ours, bare = medians(
        lambda: (findings(appliance), hazards(appliance)),
        lambda: [
            solve_all(appliance, every, faults=faults, reversed_plug=turned)
            for turned in (False, True)
        ],
        30,
    )
    report(
        f"all findings and hazards, {name}",
        ours / bare,
        "at most 3",
        f"{ours * 1e3:.1f} ms against {bare * 1e3:.1f} ms for {2 * len(every) * len(faults)} cases",
    )


if __name__ == "__main__":
    all_against_bare_solve()
