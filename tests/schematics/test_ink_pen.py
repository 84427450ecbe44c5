"""A pen on paper draws each symbol in its place and in its one state, and each text."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from lessonlib.appliance.bundled import appliance_names, load_appliance
from lessonlib.appliance.settings import settings
from lessonlib.circuit.solution import solve
from lessonlib.schematics.ink_pen import InkPen
from lessonlib.schematics.look import Face, Stroke, stroke
from lessonlib.schematics.painter import Drawing, paint
from lessonlib.schematics.symbols import Point


class Recorder(InkPen):
    def __init__(self) -> None:
        super().__init__()
        self.outlines: list[Sequence[Point]] = []
        self.said: list[str] = []

    def line(self, points: Sequence[Point], colour: str, stroke: Stroke) -> None:
        if stroke == OUTLINE:
            self.outlines.append(points)

    def disc(self, centre: Point, radius: float, colour: str, width: float) -> None:
        pass

    def words(
        self, at: Point, text: str, colour: str, face: Face, size: float, middle: bool
    ) -> None:
        self.said.append(text)


OUTLINE = stroke("outline")


@pytest.mark.parametrize("name", appliance_names())
def test_every_symbol_is_drawn_in_its_place_and_state(name: str) -> None:
    appliance = load_appliance(name)
    for setting in settings(appliance, appliance.movable):
        drawing, pen = Drawing(appliance, solve(appliance, setting)), Recorder()
        paint(pen, drawing)
        for rung in drawing.place.rungs:
            body = rung.symbol[0]
            inside = [
                [(x - rung.x, rung.y + y) for x, y in points]
                for points in pen.outlines
                if all(body.left <= x <= body.right and -body.bottom <= y for x, y in points)
                and all(y <= -body.top for _, y in points)
            ]
            part = appliance.part(rung.part)
            assert inside or rung.pole, rung.part
            if part.contacts:
                closed = setting[part.name] in part.contacts[rung.contact - 1].closed_in
                # closed, a line goes through on the rung, or from the pole of a change-over switch
                ends = {0, -rung.y + rung.pole.y} if rung.pole else {0}
                through = [
                    line
                    for line in inside
                    if len(line) == 2
                    and all(min(abs(y + end) for end in ends) < 3 for _, y in line)
                    and (rung.pole or not any(y for _, y in line))
                ]
                assert bool(through) == closed, (setting, rung.part)
            assert rung.name.text in pen.said
