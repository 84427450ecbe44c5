"""The pen on paper draws each symbol in its place and in its one state, and each text."""

from __future__ import annotations

from typing import Any

import pytest

from lessonlib.appliance.bundled import appliance_names, load_appliance
from lessonlib.appliance.settings import settings
from lessonlib.circuit.solution import solve
from lessonlib.schematics.look import stroke
from lessonlib.schematics.painter import Drawing, paint
from lessonlib.schematics.symbols import Point
from lessonlib.sheet.schematic_pen import SchematicPen


class Path:
    def __init__(self, origin: Point) -> None:
        self.origin, self.points = origin, list[Point]()

    def moveTo(self, x: float, y: float) -> None:
        self.points.append((self.origin[0] + x, -self.origin[1] - y))

    lineTo = moveTo


class Recorder:
    """A canvas that keeps the outlines of symbols and the words, in the drawing's own pixels."""

    def __init__(self) -> None:
        self.origins = [(0.0, 0.0)]
        self.width, self.outlines, self.said = 0.0, list[list[Point]](), list[str]()

    def saveState(self) -> None:
        self.origins.append(self.origins[-1])

    def translate(self, x: float, y: float) -> None:
        self.origins[-1] = (self.origins[-1][0] + x, self.origins[-1][1] + y)

    def restoreState(self) -> None:
        self.origins.pop()

    def setLineWidth(self, width: float) -> None:
        self.width = width

    def beginPath(self) -> Path:
        return Path(self.origins[-1])

    def drawPath(self, path: Path, stroke: int, fill: int) -> None:
        if self.width == OUTLINE:
            self.outlines.append(path.points)

    def drawString(self, x: float, y: float, text: str) -> None:
        self.said.append(text)

    drawCentredString = drawString

    def __getattr__(self, name: str) -> Any:
        return lambda *_, **__: None


OUTLINE = stroke("outline").width


@pytest.mark.parametrize("name", appliance_names())
def test_every_symbol_is_drawn_in_its_place_and_state(name: str) -> None:
    appliance = load_appliance(name)
    for setting in settings(appliance, appliance.movable):
        drawing, canvas = Drawing(appliance, solve(appliance, setting)), Recorder()
        paint(SchematicPen(canvas), drawing)
        for rung in drawing.place.rungs:
            body = rung.symbol[0]
            inside = [
                points
                for points in canvas.outlines
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
            assert rung.name.text in canvas.said
