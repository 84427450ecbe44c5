"""The plan of tests of the largest bundled appliance, against the table of readings it needs; and
the test that a fault bench advises in Chromium, against a frame.

.venv/bin/python -m tests.benchmarks.diagnosis
"""

from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from lessonlib import appliance_names, diagnose, fault_bench, load_appliance
from lessonlib.appliance.parts import Appliance
from lessonlib.diagnosis.plan import planned
from lessonlib.diagnosis.predicted import predict
from lessonlib.diagnosis.ranges import plain_guesses
from tests.look import chromium_page

ROUNDS = 7

# The press of the button on pages just opened, so that nothing is compiled yet.
PRESS = """() => {
  const button = [...document.querySelectorAll('button')]
    .find((each) => each.textContent === 'Which test next?');
  const before = performance.now();
  button.click();
  return performance.now() - before;
}"""


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
    table_s, predicted = timed(predict, appliance, guesses)
    tree_s, plan = timed(planned, appliance, predicted)
    print(f"{plan.caption}: {len(guesses)} guesses, {len(predicted.tests)} tests that differ")
    print(f"table of readings {1e3 * table_s:.0f} ms, tree {1e3 * tree_s:.0f} ms")
    print(f"whole plan, against its table: {(table_s + tree_s) / table_s:.2f} x (wanted: under 2)")
    lines = "L to N = OL at S1 on\nL to N = OL at S1 on, S2 high"
    print(f"diagnosis of two readings: {1e3 * timed(diagnose, appliance, lines)[0]:.0f} ms")
    advised(appliance)


def advised(appliance: Appliance) -> None:
    bench = fault_bench(appliance, level=3)
    with TemporaryDirectory() as folder, chromium_page(1100, 900) as page:
        address = bench.save(Path(folder) / "bench.html").as_uri()
        ms = []
        for _ in range(ROUNDS):
            page.goto(address)
            ms.append([page.evaluate(PRESS), page.evaluate(PRESS)])
    first, again = map(median, zip(*ms, strict=True))
    faults, tests = len(bench.table["faults"]), len(bench.table["advised"])
    print(
        f"next test in Chromium, of {tests} for {faults} faults: {first:.1f} ms on a page just "
        f"opened, {again:.1f} ms when pressed again (wanted: under 16.7)"
    )


if __name__ == "__main__":
    main()
