"""Any case of an appliance as a netlist for the general-purpose SPICE engine `ngspice`.

The reference is independent of the solver: it sweeps the supply's phase angle with exponential
diodes, and the results are integrated from its samples. (The network has no memory, so a sweep
from the negative to the positive peak holds all that a cycle does.) What it cannot do exactly is
made small instead: a closed contact is 1 microohm, a diode is nearly ideal (emission coefficient
0.01, so that it drops about 8 mV) in series with a source of the file's drop, and every node leaks
to earth through 1e14 ohm so that floating nodes have some potential.
"""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from lessonlib.appliance.parts import Appliance, Diode, Resistive
from lessonlib.circuit.solution import Solution

CONTACT_OHM = 1e-6
SAMPLES = 2000  # from peak to peak; the trapezoid rule is then within 4e-6 of smooth means
SMOOTH = 50
"""Enough without a diode: the mean of a sine's square over its period is exact with any few."""


def available() -> bool:
    return shutil.which("ngspice") is not None


def samples(appliance: Appliance) -> int:
    """How many steps the engine takes from peak to peak."""
    return SAMPLES if appliance.diodes else SMOOTH


@dataclass(frozen=True)
class Simulated:
    """`branches` has the values of each contact of each part under the names of a `PathReading`."""

    power_W: float
    current_A: float
    branches: dict[tuple[str, int], dict[str, float]]


def netlist(solution: Solution, output: Path) -> str:
    """The case of `solution` as a netlist; only its inputs are used, none of its results."""
    appliance = solution.appliance
    number = {name: index + 1 for index, name in enumerate(appliance.nodes)}
    hot, neutral = ("N", "L") if solution.reversed_plug else ("L", "N")
    peak_V = solution.supply_voltage_V * 2**0.5
    lines = [
        "* one case",
        "vangle angle 0 0",
        f"bs supply 0 v={peak_V!r}*sin(v(angle))",
        f"vs {number[hot]} supply 0",
        f"vn {number[neutral]} 0 0",
        ".model near d(is=1e-12 n=0.01)",
        ".options reltol=1e-5 abstol=1e-9 vntol=1e-6 gmin=1e-15",
    ]
    lines += [f"rleak{index} {index} 0 1e14" for index in number.values()]
    if "PE" in number:
        lines.append(f"vpe {number['PE']} 0 0")
    saved = ["i(vs)"]
    count = 0
    for part in appliance.parts:
        for contact, (first, second) in enumerate(part.rungs, 1):
            count += 1
            a, b = number[first], number[second]
            state = _state(appliance, solution, part.name, contact)
            sense = f"vm{count} {a} m{count} 0"  # an ammeter
            if state == "gap":
                lines += [sense, f"rg{count} m{count} {b} 1e15"]
            elif state == "join":
                lines += [sense, f"rc{count} m{count} {b} {CONTACT_OHM!r}"]
            elif isinstance(part, Resistive):
                lines += [sense, f"re{count} m{count} {b} {part.resistance_ohm!r}"]
            elif isinstance(part, Diode):
                lines += [
                    sense,
                    f"vd{count} m{count} d{count} {part.forward_drop_V!r}",
                    f"dd{count} d{count} {b} near",
                ]
            saved += [f"i(vm{count})", f"v({a})", f"v({b})"]
    end = 1.5707963267948966  # pi / 2
    lines += [
        ".control",
        "set wr_singlescale",
        "set wr_vecnames",
        "set numdgt=12",
        f"dc vangle {-end!r} {end!r} {2 * end / samples(appliance)!r}",
        f"wrdata {output} {' '.join(saved)}",
        "quit",
        ".endc",
        ".end",
    ]
    return "\n".join(lines)


def _state(appliance: Appliance, solution: Solution, name: str, contact: int) -> str:
    part = appliance.part(name)
    fault = solution.fault
    if fault is not None and (fault.part, fault.contact) == (name, contact):
        return "join" if fault.kind in ("shorted", "welded") else "gap"
    if part.contacts:
        closed = solution.setting[name] in part.contacts[contact - 1].closed_in
        return "join" if closed else "gap"
    return "as it is"


def simulate(solution: Solution, folder: Path) -> Simulated:
    """Run the engine on the case of `solution` and integrate its samples over one cycle."""
    output, source = folder / "out.txt", folder / "case.cir"
    output.unlink(missing_ok=True)
    source.write_text(netlist(solution, output), encoding="utf-8")
    done = subprocess.run(
        ["ngspice", "-b", str(source)], capture_output=True, text=True, timeout=300, check=False
    )
    if not output.exists():
        raise AssertionError(f"ngspice wrote nothing:\n{done.stdout}\n{done.stderr}")
    table = np.loadtxt(output, skiprows=1, ndmin=2)
    angle = table[:, 0]
    wanted = samples(solution.appliance)
    assert len(angle) >= wanted, f"ngspice stopped after {len(angle)} of {wanted} points"

    def mean(values: np.ndarray) -> float:
        return float(np.trapezoid(values, angle) / (angle[-1] - angle[0]))

    drawn = -table[:, 1]
    supply = solution.supply_voltage_V * 2**0.5 * np.sin(angle)
    contacts = [(part.name, n) for part in solution.appliance.parts for n in range(len(part.rungs))]
    branches = {}
    for column, (name, number) in zip(range(2, table.shape[1], 3), contacts, strict=True):
        current, voltage = table[:, column], table[:, column + 1] - table[:, column + 2]
        branches[name, number] = {
            "voltage_V": mean(voltage**2) ** 0.5,
            "voltage_mean_V": mean(voltage),
            "current_A": mean(current**2) ** 0.5,
            "current_mean_A": mean(current),
            "power_W": mean(voltage * current),
        }
    return Simulated(mean(supply * drawn), mean(drawn**2) ** 0.5, branches)
