"""The pen on paper draws each symbol in its place and in its one state, and each text."""

from __future__ import annotations

from unittest.mock import MagicMock

import pytest

from lessonlib.appliance.bundled import load_appliance
from lessonlib.appliance.settings import settings
from lessonlib.circuit.solution import solve
from lessonlib.schematics.look import stroke
from lessonlib.schematics.painter import Drawing, paint
from lessonlib.schematics.symbols import Point
from lessonlib.sheet.schematic_pen import SchematicPen


def drawn(drawing: Drawing) -> tuple[list[list[Point]], list[str]]:
    """The outlines of symbols, in the drawing's own pixels, and the words."""
    canvas = MagicMock()
    paint(SchematicPen(canvas), drawing)
    origins, outlines, said, points, width = [(0.0, 0.0)], [], [], list[Point](), 0.0
    for name, args, _ in canvas.mock_calls:
        match name:
            case "saveState":
                origins.append(origins[-1])
            case "translate":
                origins[-1] = (origins[-1][0] + args[0], origins[-1][1] + args[1])
            case "restoreState":
                origins.pop()
            case "setLineWidth":
                (width,) = args
            case "beginPath":
                points = []
            case "beginPath().moveTo" | "beginPath().lineTo":
                points.append((origins[-1][0] + args[0], -origins[-1][1] - args[1]))
            case "drawPath" if width == OUTLINE:
                outlines.append(points)
            case "drawString" | "drawCentredString":
                said.append(args[2])
    return outlines, said


OUTLINE = stroke("outline").width


@pytest.mark.parametrize("name", ["bottle-warmer", "garment-steamer", "wax-melter"])
def test_every_symbol_is_drawn_in_its_place_and_state(name: str) -> None:
    appliance = load_appliance(name)
    for setting in settings(appliance, appliance.movable):
        drawing = Drawing(appliance, solve(appliance, setting))
        outlines, said = drawn(drawing)
        for rung in drawing.place.rungs:
            body = rung.symbol[0]
            inside = [
                points
                for points in outlines
                if all(body.left <= x <= body.right for x, _ in points)
                and all(body.top <= y <= body.bottom for _, y in points)
            ]
            part = appliance.part(rung.part)
            assert inside or rung.pole, rung.part
            if part.contacts:
                closed = setting[part.name] in part.contacts[rung.contact - 1].closed_in
                # closed, a line goes through on the rung, or from the pole of a change-over switch
                ends = {rung.y, rung.pole.y} if rung.pole else {rung.y}
                near = 3 if rung.pole else 1e-9
                through = [
                    line
                    for line in inside
                    if len(line) == 2
                    and all(min(abs(y - end) for end in ends) < near for _, y in line)
                ]
                assert bool(through) == closed, (setting, rung.part)
            assert rung.name.text in said
