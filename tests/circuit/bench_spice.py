"""Faults at the bench in the general-purpose SPICE engine `ngspice`, written from their words.

Every case is a circuit of its own in one netlist, and the engine finds the operating point of all
of them at once. Nothing of the library's networks is used: a wire is 10 microohm, and every point
leaks through 1e12 ohm so that none is left without a potential.
"""

from __future__ import annotations

import math
import re
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, Diode, Element, Resistive
from lessonlib.appliance.terminals import has_earth
from lessonlib.meter.ohmmeter import TEST_V

WIRE_OHM = 1e-5
GAP = None
METER_V = 30e3  # so high that the drops of the engine's diodes do not matter


@dataclass(frozen=True)
class Case:
    """An appliance with a fault; measured from `red` to `black`, or energised where these are
    empty."""

    appliance: Appliance
    setting: Mapping[str, str]
    fault: Fault | None
    red: str = ""
    black: str = ""


def _parts(case: Case) -> Iterator[str]:
    """Lines of the netlist with the names of points in brackets."""
    fault = case.fault
    kind = "" if fault is None else fault.kind
    cores = {
        "[L] [fuse]": "plug fuse blown",
        "[fuse] [L.]": "line core broken",
        "[N] [N.]": "neutral core broken",
        "[PE] [PE.]": "earth wire off",
    }
    for ends, broken in cores.items():
        missing = kind == broken or (ends.startswith("[PE]") and not has_earth(case.appliance))
        yield f"r {ends} {GAP if missing else WIRE_OHM}"
    for part in case.appliance.parts:
        for contact, rung in enumerate(part.rungs, 1):
            here = fault is not None and (fault.part, fault.contact) == (part.name, contact)
            mine = kind if here else ""
            number = f".{contact}" if len(part.rungs) > 1 else ""
            ends = [f"{part.name}{number} at {node}" for node in rung]
            for node, end in zip(rung, ends, strict=True):
                hub = f"{node}." if node in ("L", "N", "PE") else node
                ohm = WIRE_OHM
                if here and fault.node == node:
                    ohm = {"wire off": GAP, "bad joint": fault.ohm}.get(mine, WIRE_OHM)
                yield f"r [{hub}] [{end}] {ohm}"
            a, b = (f"[{end}]" for end in ends)
            if mine in ("shorted", "welded"):
                yield f"r {a} {b} {WIRE_OHM}"
            elif mine in ("open", "not making"):
                yield f"r {a} {b} {GAP}"
            elif part.contacts:
                closed = case.setting[part.name] in part.contacts[contact - 1].closed_in
                made = fault.ohm if mine == "resistive" else WIRE_OHM
                yield f"r {a} {b} {made if closed else GAP}"
            elif isinstance(part, Diode):
                if part.forward_drop_V < TEST_V:  # no meter turns on any other
                    yield f"d {b} {a} near" if mine == "reversed" else f"d {a} {b} near"
            elif isinstance(part, Element) and mine == "leaking":
                before, after = fault.share * part.resistance_ohm, (1 - fault.share)
                yield f"r {a} [in {part.name}] {max(before, WIRE_OHM)}"
                yield f"r [in {part.name}] {b} {max(after * part.resistance_ohm, WIRE_OHM)}"
                yield f"r [in {part.name}] [PE.] {max(fault.ohm, WIRE_OHM)}"
            elif isinstance(part, Resistive):
                left = fault.share if mine == "part shorted" else 1.0
                yield f"r {a} {b} {part.resistance_ohm * left}"


_LINE = r"(.) \[(.+?)\] \[(.+?)\] (.+)"
_NAMES = {"case": "PE.", "plug fuse": "fuse"}


def operating_points(cases: list[Case], folder: Path) -> list[dict[str, float]]:
    """Of each case the potentials of its points, V, with L at the supply's voltage; or, of one that
    is measured, what the meter shows under "ohm". Nothing where the engine gives up."""
    if len(cases) > 1 and any(case.appliance.diodes for case in cases):
        return [operating_points([case], folder)[0] for case in cases]
    lines, wanted = ["* cases at the bench", ".model near d(is=1e-12 n=1)"], []
    count = 0
    for index, case in enumerate(cases):
        number: dict[str, int] = {}

        def node(name: str, number: dict[str, int] = number) -> str:
            name = _NAMES.get(name, name)
            if name not in number:
                number[name] = len(number)
            return f"c{index}n{number[name]}"  # noqa: B023 - used before the next case

        for line in _parts(case):
            count += 1
            letter, first, second, rest = re.fullmatch(_LINE, line).groups()
            ends = f"{node(first)} {node(second)}"
            if rest != str(GAP):
                lines.append(f"{letter}{count} {ends} {rest}")
        lines += [f"rl{index}x{n} c{index}n{n} 0 1e12" for n in number.values()]
        if case.red:
            red, black = node(case.red), node(case.black)
            lines += [f"vm{index} c{index}in {black} {METER_V}", f"rm{index} c{index}in {red} 1"]
            lines.append(f"vr{index} {black} 0 0")
            wanted.append({"ohm": f"i(vm{index})"})
        else:
            lines.append(f"vs{index} {node('L')} 0 {case.appliance.supply.voltage_V}")
            lines += [f"v{each}{index} {node(each)} 0 0" for each in ("N", "PE")]
            wanted.append({name: f"v({node(name)})" for name in list(number)})
    every = [vector for each in wanted for vector in each.values()]
    lines += [".options reltol=1e-6 abstol=1e-12 gmin=1e-15", ".control", "op", "set numdgt=12"]
    lines += [f"print {vector}" for vector in every] + ["quit", ".endc", ".end"]
    (folder / "bench.cir").write_text("\n".join(lines), encoding="utf-8")
    done = subprocess.run(
        ["ngspice", "-b", str(folder / "bench.cir")],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    values = {}
    for line in done.stdout.splitlines():
        name, equals, value = line.partition(" = ")
        if equals and name.startswith(("i(", "v(")):
            values[name.strip()] = float(value)
    if len(values) < len(every) or not all(map(math.isfinite, values.values())):
        assert len(cases) == 1, done.stdout[-500:] + done.stderr[-500:]
        return [{}]
    found = [{name: values[vector] for name, vector in each.items()} for each in wanted]
    for each in found:
        if "ohm" in each:
            drawn_A = -each["ohm"]
            each["ohm"] = METER_V / drawn_A - 1 if drawn_A > METER_V / 1e9 else float("inf")
    return found
