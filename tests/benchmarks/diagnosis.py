"""The plan of tests of the largest bundled appliance, against the table of readings it needs.

.venv/bin/python -m tests.benchmarks.diagnosis
"""

from statistics import median
from time import perf_counter

from lessonlib import appliance_names, diagnose, load_appliance
from lessonlib.diagnosis.plan import planned
from lessonlib.diagnosis.predicted import predict
from lessonlib.diagnosis.ranges import plain_guesses

ROUNDS = 7


def timed(work, *given):
    """Median seconds of `work`, and what it gave."""
    seconds = []
    for _ in range(ROUNDS):
        start = perf_counter()
        found = work(*given)
        seconds.append(perf_counter() - start)
    return median(seconds), found


def main() -> None:
    appliance = max(map(load_appliance, appliance_names()), key=lambda each: len(each.parts))
    guesses = plain_guesses(appliance)
    table_s, predicted = timed(predict, appliance, guesses, 600.0)
    tree_s, plan = timed(planned, appliance, predicted)
    print(f"{plan.caption}: {len(guesses)} guesses, {len(predicted)} tests that differ")
    print(f"table of readings {1e3 * table_s:.0f} ms, tree {1e3 * tree_s:.0f} ms")
    print(f"whole plan, against its table: {(table_s + tree_s) / table_s:.2f} x (wanted: under 2)")
    lines = "L to N = OL at S1 on\nL to N = OL at S1 on, S2 high"
    print(f"diagnosis of two readings: {1e3 * timed(diagnose, appliance, lines)[0]:.0f} ms")


if __name__ == "__main__":
    main()
