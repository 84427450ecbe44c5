"""The front door `fault_bench`: a hidden fault to find with a meter, on the drawing.

The browser draws the fault from the seed, reads the meter and judges, without a kernel. What the
person did is in the synced traits, which a saved notebook keeps.
"""

from __future__ import annotations

from typing import Any

import traitlets

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance
from lessonlib.errors import FaultError, shown
from lessonlib.page.join import script, style
from lessonlib.panels.export import PANEL
from lessonlib.panels.fault_bench_data import LEVELS, bench_data, drawn, findable
from lessonlib.panels.widget import Live
from lessonlib.words import counted

MOST_SEED = 999_999


class FaultBench(Live):
    """A fault bench. Its traits say which fault is hidden and what was done to find it."""

    _esm = script("panels/fault_bench.js")
    _css = style("panels/fault_bench.css", PANEL, own_paper=True)

    seed = traitlets.Int(1, help="Which fault is hidden.").tag(sync=True)
    taken: traitlets.List[Any] = traitlets.List(
        help="Each test as the browser has it: unhooked, range, setting, red, black."
    ).tag(sync=True)
    wrong: traitlets.List[Any] = traitlets.List(help="Faults named that it was not, in words.").tag(
        sync=True
    )
    ended = traitlets.Unicode("", help='"", "found" or "shown".').tag(sync=True)

    def __init__(self, appliance: Appliance, level: int, seed: int) -> None:
        predicted = findable(appliance, level)
        self.faults = [guess.faults[0] for guess in predicted.guesses]
        super().__init__(appliance, table=bench_data(appliance, level, predicted), seed=seed)

    @property
    def fault(self) -> Fault:
        """The hidden fault, for whoever sets it."""
        return self.faults[drawn(self.seed, self.table["tiers"])]

    def __repr__(self) -> str:
        level = self.table["level"]
        done = {"found": ", found", "shown": ", given up"}.get(self.ended, "")
        return (
            f"Fault bench of {self.appliance.title}, level {level}, seed {self.seed}: "
            f"{counted(len(self.taken), 'test')}{done}"
        )


def fault_bench(appliance: Appliance, *, seed: int = 1, level: int = 1) -> FaultBench:
    """A bench with one hidden fault: put two probes on the drawing, turn switches, read the meter,
    and name the fault. Afterwards your tests stand beside those of the best plan.

    `seed` says which fault is hidden: the same one for a whole class. `level` is 1 for parts that
    fail altogether and the plug's fuse, 2 with wires, joints and the cord too, 3 with leaks, part
    shorts and resistive contacts too. `.save("x.html")` writes a page that works without Python,
    and `.fault` is the hidden fault. Raises `FaultError` (a `ValueError`) for a seed or level that
    cannot be, for an appliance in which no meter finds a fault of that level, and for what is no
    appliance; `SettingError` for one with too many settings.
    """
    if not isinstance(appliance, Appliance):
        raise FaultError(
            f"found {shown(appliance)}; accepted: an appliance. Load one first, as in "
            'fault_bench(load_appliance("tea-urn")).'
        )
    if type(seed) is not int or not 0 <= seed <= MOST_SEED:
        raise FaultError(
            f"found seed = {shown(seed)}; accepted: a whole number from 0 to {MOST_SEED}. Give one "
            "of these: the same seed hides the same fault, on every computer."
        )
    if type(level) is not int or not 1 <= level <= len(LEVELS):
        raise FaultError(
            f"found level = {shown(level)}; accepted: 1, 2 or 3. Use 1 to begin with: parts that "
            "fail altogether."
        )
    return FaultBench(appliance, level, seed)
