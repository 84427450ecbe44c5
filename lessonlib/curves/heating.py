"""Picture of a heating run: `heating_curve`, temperature over time and what the contacts do.

From top to bottom: temperature; gauge pressure where the vessel is sealed; a row for each part that
moves (a bar where its contact is closed, a thin line where it is open); power; and a numbered list
of what happens. matplotlib loads when the first picture is made.
"""

from __future__ import annotations

import math
from functools import partial
from typing import Any

from lessonlib.appliance.parts import PressureSwitch, ThermalFuse
from lessonlib.curves.picture import WIDTH_IN, Mark, Picture, panels, style, svg_text
from lessonlib.curves.run_panels import (
    BESIDE_PT,
    RIGHT,
    SMALL_PT,
    WIDE_PT,
    WORDS_PT,
    Trace,
    contact_rows,
    curve,
    numbers,
    power,
    time_axis,
)
from lessonlib.curves.run_words import cycle_within, finding, predicted_finding
from lessonlib.curves.traces import ValueAt, View, happenings, spans
from lessonlib.errors import DrawingError, shown
from lessonlib.heat.contacts import as_it_acts, contacts_of
from lessonlib.heat.result import HeatRun, clock, place_C
from lessonlib.heat.segment import Segment
from lessonlib.heat.water import boiling_point_C
from lessonlib.palette import DRIVE, HEAT, INK, QUIET
from lessonlib.quantities import number
from lessonlib.schematics.text import shortened, width_px, wrapped

_OPENS, _CLOSES, _HELD = (0, (7, 2)), (0, (1, 2)), (0, (7, 2, 1, 2))
_ROW_IN, _LINE_IN = 0.27, 0.185
_NUMBER_PT, _TIME_PT, _WHAT_PT = 14.0, 32.0, 112.0  # columns of the list, from the picture's left
_MOST_LISTED = 9


def heating_curve(
    run: HeatRun,
    *,
    predicted: HeatRun | None = None,
    predicted_name: str = "predicted",
    from_min: float | None = None,
    to_min: float | None = None,
) -> Picture:
    """`run` over time, from `from_min` to `to_min` (minutes; the whole run when left out).

    `predicted` is another run, drawn dashed in grey under `predicted_name`. Raises `DrawingError`
    (a `ValueError`) for times that are not within the run.
    """
    view = _view(run, from_min, to_min)
    said = finding(run, view.from_s, view.to_s)
    expected = None
    name = "".join(c if c.isprintable() else "\ufffd" for c in predicted_name)
    if predicted is not None and predicted.end_s > view.from_s:
        to_s = min(view.to_s, predicted.end_s)
        expected = View(predicted, view.from_s, to_s, view.point_s)
        said += f". {predicted_finding(predicted, name, to_s)}"
    sealed = run.body.vessel.sealed
    listed = _event_lines(view)
    rows = len(run.appliance.movable)
    heights_in = [2.1, *([1.4] if sealed else []), *([_ROW_IN * rows] if rows else []), 0.75]
    key = _key(view)
    bottom_in = 0.72 + _LINE_IN * (len(key) + sum(len(lines) for _, lines in listed))
    temperatures, pressures = _marks(run)
    with style():
        figure, axes = panels(heights_in, right=RIGHT, top_in=0.36, bottom_in=bottom_in)
        placed = [fuse for fuse in run.appliance.of_type(ThermalFuse) if fuse.placed_on is not None]
        warm = [Trace(view, Segment.temperature_C, HEAT), *(_place(view, each) for each in placed)]
        if expected is not None:
            warm.append(_dashed(expected, Segment.temperature_C, name))
        curve(axes[0], warm, "temperature, °C", 4.0, temperatures)
        if sealed:
            pressed = [Trace(view, run.pressure_in, DRIVE)]
            if expected is not None and expected.run.body.vessel.sealed:
                pressed.append(_dashed(expected, expected.run.pressure_in, name))
            boils_C = boiling_point_C(run.body.vessel.altitude_m)
            curve(axes[1], pressed, "gauge, bar", 0.2, pressures, boils_C)
        if rows:
            contact_rows(axes[-2], view)
        power(axes[-1], view)
        numbers(axes, view, [time_s for time_s, _ in listed])
        time_axis(axes[-1], view)
        figure.align_ylabels()
        _write_list(figure, listed, key)
        return Picture(svg_text(figure), said, min_width_px=560)


def _view(run: HeatRun, from_min: float | None, to_min: float | None) -> View:
    """The time to be shown, checked."""
    end_min = run.end_s / 60
    first = 0.0 if from_min is None else number(from_min)
    last = end_min if to_min is None else number(to_min)
    if not 0 <= first < last or last * 60 > run.end_s * (1 + 1e-9):
        raise DrawingError(
            f"found from_min = {shown(from_min)}, to_min = {shown(to_min)}; accepted: minutes from "
            f"0 to {end_min:g}, where the run ends, the first below the last. Choose times within "
            "the run, or run it for more minutes."
        )
    from_s, to_s = first * 60, run.end_s if to_min is None else min(last * 60, run.end_s)
    return View(run, from_s, to_s, (to_s - from_s) / WIDE_PT)


def _dashed(view: View, value_at: ValueAt, name: str) -> Trace:
    """A value of the predicted run."""
    short = shortened(name, BESIDE_PT, WORDS_PT)
    return Trace(view, value_at, QUIET, name=short, width_pt=1.3, dashes=(0, (4, 3)))


def _place(view: View, fuse: ThermalFuse) -> Trace:
    """The place of a thermal fuse that an element makes warmer than the vessel."""
    name = shortened(f"thin: {fuse.name} on {fuse.placed_on}", BESIDE_PT, WORDS_PT)
    return Trace(view, partial(place_C, fuse), INK, name=name, width_pt=1.1)


def _marks(run: HeatRun) -> tuple[list[Mark], list[Mark]]:
    """Marks of temperature and of pressure: where contacts open and close, and what is held."""
    temperatures, pressures, body = [], [], run.body
    acting = [as_it_acts(part, run.fault) for part in run.appliance.self_acting]
    switches = {part.name: part for part in acting if isinstance(part, PressureSwitch)}
    for contact in contacts_of(run.appliance, body, run.fault):
        part = switches.get(contact.name)
        for verb, at_C, at_bar, dashes in (
            ("open", contact.opens_C, None if part is None else part.opens_at_bar, _OPENS),
            ("close", contact.closes_C, None if part is None else part.closes_at_bar, _CLOSES),
        ):
            words = f"{contact.name} {verb}s"
            if contact.stuck is not None:
                if contact.stuck.startswith(verb):
                    continue  # where it is anyway
                words = f"{contact.name} should {verb}"
            if at_C is not None and math.isfinite(at_C):
                temperatures.append(_mark(words, at_C, "°C", dashes))
            if at_bar is not None:
                pressures.append(_mark(words, at_bar, "bar", dashes))
    if body.held_C is not None:
        name = "relief valve" if body.vessel.sealed else "boils"
        temperatures.append(_mark(name, body.held_C, "°C", _HELD))
    if body.vessel.sealed and body.vessel.relief_bar is not None:
        pressures.append(_mark("relief valve", body.vessel.relief_bar, "bar", _HELD))
    return temperatures, pressures


def _mark(name: str, value: float, unit: str, dashes: Any) -> Mark:
    """A mark whose words fit beside the panels, the value uncut."""
    said = f" {round(value, 1 if unit == '°C' else 3):g} {unit}".replace("-", "−")
    room = BESIDE_PT - width_px(said, WORDS_PT)
    return Mark(value, shortened(name, room, WORDS_PT) + said, dashes)


def _event_lines(view: View) -> list[tuple[float, list[str]]]:
    """What happens, in lines that fit, with its times."""
    room = 72 * WIDTH_IN - _WHAT_PT - 6
    found = [
        (event.time_s, wrapped(words, room, SMALL_PT))
        for words, event in happenings(view.run, view.from_s, view.to_s).items()
    ]
    if len(found) > _MOST_LISTED:
        more = len(found) - _MOST_LISTED
        found = found[:_MOST_LISTED]
        found[-1][1].append(f"… and {more} further, listed in the run's table")
    return found


def _write_list(figure: Any, listed: list[tuple[float, list[str]]], key: list[str]) -> None:
    """The list below the time axis: number, time, what happens; then the key to the rows."""
    height_in = figure.get_size_inches()[1]
    y = _LINE_IN * (sum(len(lines) for _, lines in listed) + len(key) - 0.3)

    def write(x_pt: float, text: str, colour: str = INK) -> None:
        figure.text(
            x_pt / (72 * WIDTH_IN),
            y / height_in,
            text,
            fontsize=SMALL_PT,
            va="center",
            color=colour,
            parse_math=False,
        )

    for index, (time_s, lines) in enumerate(listed, start=1):
        write(_NUMBER_PT, str(index))
        write(_TIME_PT, clock(time_s))
        for text in lines:
            write(_WHAT_PT, text)
            y -= _LINE_IN
    for text in key:
        write(_NUMBER_PT, text, QUIET)
        y -= _LINE_IN


def _key(view: View) -> list[str]:
    """What the shapes mean, and of what time the means are."""
    said = ["Bar: closed. Thin line: open."]
    if any(span.moves for part in view.run.appliance.movable for span in spans(view, part.name)):
        said.append("Hatched, or a broad band: too many moves to be drawn one by one.")
    if cycle_within(view.run, view.from_s, view.to_s) is not None:
        said.append("Mean power and share closed: over the last full cycle.")
    return wrapped(" ".join(said), 72 * WIDTH_IN - _NUMBER_PT - 6, SMALL_PT)
