"""How long a schematic takes, against schemdraw drawing as many parts by hand.

Run by hand: python -m tests.benchmarks.schematics
"""

from __future__ import annotations

from lessonlib import load_appliance, schematic
from lessonlib.schematics.layout import layout
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
    """Print the ratio, layout and solution included."""
    appliance = load_appliance("hot-trolley")  # nine parts

    def solved_and_drawn() -> str:
        layout.cache_clear()
        return schematic(appliance).svg

    solved_and_drawn()
    by_hand()
    ours, hand = medians(solved_and_drawn, by_hand, 60)
    detail = f"{ours * 1e3:.2f} ms against {hand * 1e3:.2f} ms"
    report("schematic, solved and laid out", ours / hand, "at most 2", detail)


if __name__ == "__main__":
    main()
