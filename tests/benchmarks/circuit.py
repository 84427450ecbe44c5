"""How fast the solver is, as ratios from one run. Run by hand: python -m tests.benchmarks.circuit

Each figure is the median of several repeats, and the two sides of a ratio take turns, so that a
noisy machine spoils both alike.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from lessonlib import appliance_names, load_appliance, single_faults, solve, solve_all
from lessonlib.appliance.settings import settings
from lessonlib.circuit.islands import joined
from lessonlib.circuit.solution import Solutions
from tests.circuit import spice


def medians(one: Callable[[], object], other: Callable[[], object], repeats: int) -> list[float]:
    """Median seconds of each of two calls that take turns."""
    times: list[list[float]] = [[], []]
    for _ in range(repeats):
        for call, found in zip((one, other), times, strict=True):
            start = time.perf_counter()
            call()
            found.append(time.perf_counter() - start)
    return [statistics.median(found) for found in times]


def report(name: str, ratio: float, wanted: str, detail: str) -> None:
    print(f"{name:55s} {ratio:8.2f}   wanted {wanted:12s} {detail}")


def largest() -> str:
    """The bundled appliance with the most settings times single faults."""

    def size(name: str) -> int:
        appliance = load_appliance(name)
        return len(settings(appliance, appliance.movable)) * (1 + len(single_faults(appliance)))

    return max(appliance_names(), key=size)


def batch_against_plain_solve() -> None:
    name = largest()
    appliance = load_appliance(name)
    every = settings(appliance, appliance.movable)
    faults = (None, *single_faults(appliance))
    systems = plain_systems(solve_all(appliance, every, faults=faults))
    ours, theirs = medians(
        lambda: solve_all(appliance, every, faults=faults),
        lambda: [np.linalg.solve(matrix, right) for matrix, right in systems],
        60,
    )
    count = sum(len(matrix) for matrix, _ in systems)
    report(
        f"all settings x all single faults, {name}",
        ours / theirs,
        "at most 3",
        f"{len(every) * len(faults)} cases, {count} matrices: {ours * 1e3:.2f} ms against "
        f"{theirs * 1e3:.2f} ms of numpy.linalg.solve",
    )


def plain_systems(batch: Solutions) -> list[tuple[np.ndarray, np.ndarray]]:
    """The systems that a plain solver has to solve for a batch without diodes, set up beforehand:
    one for the potentials of the groups of joined nodes, one for the currents through the joins."""
    network, cases = batch.network, batch.cases.take(np.flatnonzero(~batch.short))
    node, size = np.arange(len(network.nodes)), len(network.nodes)
    group = joined(network, cases.join).T
    with_terminals = np.where(group < network.terminals, np.int16(0), group).T
    fixed = joined(network, cases.conductance_S > 0, with_terminals).T == 0
    merged = network.incidence @ (group[:, :, None] == node).astype(float)
    potentials = np.einsum("cba,cb,cbd->cad", merged, cases.conductance_S, merged)
    shares = np.einsum(
        "ba,cb,bd->cad", network.incidence, cases.join.astype(float), network.incidence
    )
    right = np.zeros((len(cases), size, 1))
    right[:, 0] = 1.0
    own = group == node
    for matrix, known in ((potentials, ~own | ~fixed | (node < network.terminals)), (shares, own)):
        matrix[known] = 0.0
        matrix[:, node, node] += known
    return [(potentials, right), (shares, np.zeros_like(right))]


def one_setting_against_spice() -> None:
    appliance = load_appliance("wax-melter")
    every = settings(appliance, appliance.movable)
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "case.cir"
        source.write_text(spice.netlist(solve(appliance, {"S1": "on"}), Path(folder) / "out.txt"))
        command = ["ngspice", "-b", str(source)]

        def engine() -> None:
            subprocess.run(command, capture_output=True, check=False)

        batch, process = medians(lambda: solve_all(appliance, every), engine, 15)
        single, again = medians(lambda: solve(appliance, {"S1": "on"}).power_W, engine, 15)
    report(
        "one setting within the batch, against a SPICE process",
        process / (batch / len(every)),
        "at least 50",
        f"{batch / len(every) * 1e3:.3f} ms against {process * 1e3:.1f} ms",
    )
    report(
        "one setting by a single solve, against a SPICE process",
        again / single,
        "at least 10",
        f"{single * 1e3:.3f} ms against {again * 1e3:.1f} ms",
    )


def import_against_numpy() -> None:
    def importing(module: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, "-c", f"import {module}"], check=True)

    ours, numpys = medians(importing("lessonlib"), importing("numpy"), 11)
    report(
        "import lessonlib, against import numpy",
        ours / numpys,
        "at most 1.5",
        f"{ours * 1e3:.0f} ms against {numpys * 1e3:.0f} ms, interpreter included",
    )


if __name__ == "__main__":
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, numpy {np.__version__}")
    batch_against_plain_solve()
    one_setting_against_spice()
    import_against_numpy()
