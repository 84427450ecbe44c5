"""How long a schematic takes, against schemdraw drawing the same ten parts by hand.

Run by hand: python -m tests.benchmarks.schematics
"""

from __future__ import annotations

from lessonlib.appliance.parts import (
    Appliance,
    Contact,
    Diode,
    Element,
    Lamp,
    Part,
    PressureSwitch,
    Supply,
    Switch,
    ThermalFuse,
    Thermostat,
)
from lessonlib.circuit.solution import solve
from lessonlib.schematics.layout import layout
from lessonlib.schematics.painter import Drawing
from lessonlib.schematics.schematic import Schematic, schematic
from tests.benchmarks.circuit import medians, report

PARTS: tuple[Part, ...] = (
    Switch("S1", ("off", "on"), (Contact(("L", "fed"), ("on",)),), "on"),
    ThermalFuse("F1", ("fed", "safe"), 152),
    Thermostat("T1", ("safe", "warm"), 90, 80),
    Switch("S2", ("half", "full"), (Contact(("warm", "heat"), ("full",)),), "half"),
    Diode("D1", ("warm", "heat")),
    Element("E1", ("heat", "return"), 1000, 230, 52.9),
    Element("E2", ("warm", "return"), 500, 230, 105.8),
    PressureSwitch("P1", ("return", "N"), 0.8, 0.6),
    Lamp("H1", ("fed", "N"), 0.5, 230, 105_800),
    Lamp("H2", ("warm", "return"), 0.5, 230, 105_800),
)


def by_hand() -> bytes:
    """Ten symbols and the wires between them, placed by hand with schemdraw."""
    import schemdraw
    import schemdraw.elements as elm

    drawing = schemdraw.Drawing(canvas="svg", show=False)
    drawing.add(elm.Switch().right().label("S1"))
    start = drawing.here
    drawing.add(elm.FuseIEC().right().label("F1"))
    drawing.add(elm.Switch().right().label("T1"))
    warm = drawing.here
    drawing.add(elm.Switch().right().label("S2"))
    drawing.add(elm.ResistorIEC().right().label("E1"))
    drawing.add(elm.Switch().right().label("P1"))
    end = drawing.here
    drawing.add(elm.Line().at(warm).down())
    drawing.add(elm.Diode().right().label("D1"))
    drawing.add(elm.ResistorIEC().right().label("E2"))
    drawing.add(elm.Line().down().at(start).length(6))
    drawing.add(elm.Lamp2().right().label("H1"))
    drawing.add(elm.Lamp2().right().label("H2"))
    drawing.add(elm.Line().to(end))
    return drawing.get_imagedata("svg")


def main() -> None:
    """Print the ratios."""
    appliance = Appliance("Ten parts", "", Supply(230.0), PARTS)
    solved = solve(appliance)

    def first() -> str:
        layout.cache_clear()
        return schematic(appliance).svg

    first()
    by_hand()
    for name, run in (
        ("schematic, solved and drawn", lambda: schematic(appliance).svg),
        ("schematic, drawing alone", lambda: Schematic(Drawing(solved.appliance, solved)).svg),
        ("schematic, layout and solution included", first),
    ):
        ours, hand = medians(run, by_hand, 60)
        report(name, ours / hand, "at most 2", f"{ours * 1e3:.2f} ms against {hand * 1e3:.2f} ms")


if __name__ == "__main__":
    main()
