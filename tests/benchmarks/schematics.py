"""How long a schematic takes, against schemdraw drawing as many parts by hand.

Run by hand: python -m tests.benchmarks.schematics
"""

from __future__ import annotations

from lessonlib import load_appliance, schematic, solve
from lessonlib.schematics.layout import layout
from lessonlib.schematics.schematic import Schematic
from tests.benchmarks.circuit import medians, report


def by_hand() -> bytes:
    """Nine symbols and the wires between them, placed by hand with schemdraw."""
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
    drawing.add(elm.Line().to(end))
    return drawing.get_imagedata("svg")


def main() -> None:
    """Print the ratios."""
    appliance = load_appliance("hot-trolley")  # nine parts
    solved = solve(appliance)

    def first() -> str:
        layout.cache_clear()
        return schematic(appliance).svg

    first()
    by_hand()
    for name, run in (
        ("schematic, solved and drawn", lambda: schematic(appliance).svg),
        ("schematic, drawing alone", lambda: Schematic(solved).svg),
        ("schematic, layout and solution included", first),
    ):
        ours, hand = medians(run, by_hand, 60)
        report(name, ours / hand, "at most 2", f"{ours * 1e3:.2f} ms against {hand * 1e3:.2f} ms")


if __name__ == "__main__":
    main()
