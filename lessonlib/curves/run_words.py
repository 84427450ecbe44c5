"""The finding of a heating curve in words: when it is ready, how it cycles, what ends it."""

from __future__ import annotations

from lessonlib.curves.traces import happenings
from lessonlib.heat.result import Cycle, HeatRun, clock
from lessonlib.quantities import format_quantity


def finding(run: HeatRun, from_s: float, to_s: float) -> str:
    """What the run shows from `from_s` to `to_s`, for those who cannot see the picture."""
    cycle = cycle_within(run, from_s, to_s)
    said = [f"{celsius(run.temperature_C(from_s))} at the start"]
    ready_s = run.time_to_ready_s
    sealed = run.body.vessel.sealed
    if ready_s is None:
        boils = "" if sealed else ", and nothing boils"
        said.append(f"not ready: no thermostat or pressure switch opens{boils}")
    for words, event in happenings(run, from_s, to_s).items():
        moves = event.kind in ("opens", "closes")
        if event.time_s == ready_s and event.kind in ("opens", "boils"):
            said.append(f"ready after {clock(ready_s)}: {words}")
        elif cycle is None or not (moves and event.part == cycle.part):
            said.append(f"after {clock(event.time_s)} {words}")
    if cycle is not None:
        said.append(
            f"{cycle.part} opens every {clock(cycle.period_s)}, is closed for "
            f"{100 * cycle.duty:.3g} % of the time, between {celsius(cycle.lowest_C)} and "
            f"{celsius(cycle.highest_C)}, drawing {format_quantity(cycle.mean_power_W, 'W')} "
            "on average"
        )
    end = f"{celsius(run.temperature_C(to_s))} at the end"
    if sealed:
        end += f", {format_quantity(run.pressure_bar(to_s), 'bar')} gauge"
    said.append(end)
    whole = from_s == 0 and to_s == run.end_s
    window = "" if whole else f" (from {clock(from_s)} to {clock(to_s)})"
    return f"{run.caption}{window}: {'; '.join(said)}"


def predicted_finding(predicted: HeatRun, name: str, to_s: float) -> str:
    """What a predicted run shows, in a few words."""
    ready_s = predicted.time_to_ready_s
    end_s = min(to_s, predicted.end_s)
    ready = "not ready" if ready_s is None or ready_s > end_s else f"ready after {clock(ready_s)}"
    at_end = celsius(predicted.temperature_C(end_s))
    return f"{name}, dashed: {ready}, {at_end} after {clock(end_s)}"


def cycle_within(run: HeatRun, from_s: float, to_s: float) -> Cycle | None:
    """The run's last cycle, if its contact opens and closes in the time shown."""
    cycle = run.cycle
    if cycle is None:
        return None
    kinds = {e.kind for e in run.events if e.part == cycle.part and from_s <= e.time_s <= to_s}
    return cycle if {"opens", "closes"} <= kinds else None


def celsius(temperature_C: float) -> str:
    return f"{temperature_C:.1f} °C".replace("-", "−")
