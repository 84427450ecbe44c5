"""The browser's engine against `heat_up`, in Chromium: the same events at the same times."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from typing import Any, get_args

import pytest

from lessonlib import appliance_names, heat_up, load_appliance, single_faults
from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.settings import Setting
from lessonlib.heat.result import ENDS, EventKind
from lessonlib.heat.stepping import MOST_EVENTS
from lessonlib.page.join import script
from lessonlib.panels.data import choices
from lessonlib.panels.heating_data import heating_data
from tests.heat.kettles import (
    WIRE,
    behind_thermostat,
    dry_steamer,
    fuse,
    kettle,
    pressure_switch,
    thermostat,
)

pytestmark = pytest.mark.browser

# Both evaluate the same closed forms in the same order, so they differ by the last bits of expm1
# and log1p only (1e-16 of their values). Where a temperature creeps up on a mark the division by
# what is left of the way makes that larger, and each cycle adds its own: 1e-12 of the time leaves
# room for ten thousand times the rounding, and is some nanoseconds in an hour.
TIME = 1e-12
# The same rounding, carried on from stretch to stretch.
STATE = 1e-11

Schedule = tuple[tuple[float, Setting], ...]
Engine = Callable[..., dict[str, Any]]

PLAY = """async ([source, table, fault, start, stops]) => {
  const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  const { HeatingRun } = await import(url);
  URL.revokeObjectURL(url);
  const run = new HeatingRun(table, fault, start);
  const points = [];
  for (const [time_s, turned] of stops) {
    run.advanceTo(time_s);
    if (turned === null)
      points.push([time_s, run.temperature_C, run.water_kg, run.pressure_bar, run.heat_W]);
    else for (const [part, position] of turned) run.turn(part, position);
  }
  return { events: run.events, points, time_s: run.time_s, ended: run.ended };
}"""

VESSELS = [name for name in appliance_names() if load_appliance(name).vessel is not None]


@pytest.fixture(scope="module")
def engine(browser: Any) -> Iterator[Engine]:
    page = browser.new_page()
    source = script("panels/heating_engine.js")

    def play(
        appliance: Appliance,
        setting: Setting,
        minutes: float,
        schedule: Schedule = (),
        fault: str | None = None,
        looks: int = 40,
        most_events: int = MOST_EVENTS,
    ) -> dict[str, Any]:
        offer = choices(appliance, [appliance.supply.voltage_V], [fault] if fault else False)
        start = offer.positions(setting)
        table = heating_data(offer, "", "", start, minutes) | {"most_events": most_events}
        names = [part.name for part in appliance.movable]

        def moves(turned: Setting) -> list[tuple[int, int]]:
            parts = [(names.index(name), appliance.part(name), at) for name, at in turned.items()]
            return [(index, part.positions.index(at)) for index, part, at in parts]

        stops: list[tuple[float, Any]] = [(at * 60, moves(turned)) for at, turned in schedule]
        stops += [(minutes * 60 * (look / looks), None) for look in range(1, looks + 1)]
        # at the very end a hand may still move something, and is then the last
        stops.sort(key=lambda stop: (stop[0], stop[1] is not None))
        fault_index = 0 if fault is None else 1
        return dict(page.evaluate(PLAY, [source, table, fault_index, list(start), stops]))

    yield play
    page.close()


def agree(
    engine: Engine,
    appliance: Appliance,
    setting: Setting,
    minutes: float,
    schedule: Schedule = (),
    fault: str | None = None,
) -> set[tuple[str, str]]:
    """Assert that both say the same; kind and words of each event that there was."""
    run = heat_up(appliance, setting, minutes=minutes, schedule=schedule, fault=fault)
    found = engine(appliance, setting, minutes, schedule, fault)
    said = [(e["kind"], e["what"], e["part"], e["position"]) for e in found["events"]]
    assert said == [(e.kind, e.what, e.part, e.position) for e in run.events]
    for theirs, ours in zip(found["events"], run.events, strict=True):
        assert theirs["time_s"] == pytest.approx(ours.time_s, rel=TIME, abs=TIME), ours.what
        assert theirs["temperature_C"] == pytest.approx(ours.temperature_C, rel=STATE, abs=STATE)
    assert found["time_s"] == pytest.approx(run.end_s, rel=TIME)
    assert bool(found["ended"]) == bool(run.events and run.events[-1].kind in ENDS)
    moments = [event.time_s for event in run.events]
    for time_s, temperature_C, kg, bar, heat_W in found["points"]:
        if time_s > run.end_s:
            continue
        assert temperature_C == pytest.approx(run.temperature_C(time_s), rel=STATE, abs=STATE)
        assert kg == pytest.approx(run.water_kg(time_s), rel=STATE, abs=STATE)
        assert bar == pytest.approx(run.pressure_bar(time_s), rel=1e-9, abs=1e-9)
        if not any(abs(time_s - at) < TIME * (1 + at) for at in moments):  # on either side of it
            assert heat_W == pytest.approx(run.heat_W(time_s), rel=1e-12)  # a sum in another order
    return {(event.kind, event.what) for event in run.events}


def hands(draw: random.Random, appliance: Appliance, minutes: float, most: int) -> Schedule:
    """Up to `most` moments at which a hand moves one or two switches."""
    switches = appliance.switches
    found = []
    for _ in range(draw.randrange(most + 1)):
        parts = draw.sample(switches, draw.randint(1, min(2, len(switches))))
        moved = {part.name: draw.choice(part.positions) for part in parts}
        found.append((draw.uniform(0, minutes), moved))
    return tuple(sorted(found, key=lambda pair: pair[0]))


@pytest.mark.parametrize("name", VESSELS)
def test_a_bundled_vessel_does_the_same_with_every_fault_and_any_hands(
    engine: Engine, name: str
) -> None:
    appliance = load_appliance(name)
    on = {part.name: part.positions[-1] for part in appliance.switches}
    draw = random.Random(name)
    for fault in (None, *map(str, single_faults(appliance))):
        minutes = draw.uniform(30, 240)
        schedule = hands(draw, appliance, minutes, most=6)
        agree(engine, appliance, on, minutes, schedule, fault)


def drawn(seed: int) -> tuple[Appliance, Setting, float, Schedule, str | None]:
    """A random vessel, one to three guards in series or beside one another, a fault, and hands."""
    draw = random.Random(seed)
    sealed = draw.random() < 0.5
    opens = draw.uniform(40, 95)
    resettable = draw.random() < 0.5
    guards = [
        WIRE,
        thermostat(opens, opens - draw.uniform(2, 12)),
        fuse(draw.uniform(60, 300), resettable=resettable),
        fuse(draw.uniform(80, 200), resettable, rise_K_per_W=draw.uniform(0.005, 0.06)),
        pressure_switch(p := draw.uniform(0.3, 3), p * draw.uniform(0.6, 0.95)),
    ]
    guard = draw.choice(guards)
    if draw.random() < 0.5 and guard is not guards[2]:  # a fuse beside: either carries on alone
        guard += guards[2].replace('"F1"', '"F2"')
    vessel: dict[str, object] = {
        "water_kg": draw.choice([0, draw.uniform(0.05, 3)]),
        "heat_capacity_J_per_K": draw.uniform(200, 2000),
        "loss_W_per_K": draw.choice([0, draw.uniform(0.5, 6)]),
        "sealed": sealed,
        "start_C": draw.uniform(1, 70),
        "ambient_C": draw.choice([-20, draw.uniform(5, 30)]),
        "altitude_m": draw.uniform(-400, 4000),
    }
    if sealed and draw.random() < 0.6:
        vessel["relief_bar"] = draw.uniform(0.5, 4)
    appliance = kettle(draw.uniform(200, 3000), guard, **vessel)
    minutes = draw.uniform(30, 120)
    schedule = hands(draw, appliance, minutes, most=5)
    if resettable and '"F1"' in guard:
        schedule += tuple((draw.uniform(0, minutes), {"F1": "closed"}) for _ in range(3))
    fault = draw.choice([None, None, *map(str, single_faults(appliance))])
    return appliance, {}, minutes, schedule, fault


def test_the_steam_of_a_dry_vessel_does_the_same_as_in_python(engine: Engine) -> None:
    for seed in range(15):
        appliance, minutes, schedule = dry_steamer(seed)
        agree(engine, appliance, {}, minutes, schedule)


def test_random_vessels_do_the_same_as_in_python_and_meet_every_kind_of_event(
    engine: Engine,
) -> None:
    # in 74 a hand resets a fuse too soon
    seeds = (*range(50), 74)
    events = {event for seed in seeds for event in agree(engine, *drawn(seed))}
    assert {kind for kind, _ in events} == set(get_args(EventKind))
    for fate in ("reset by hand", "opens again at once"):
        assert any(fate in what for _, what in events)


def test_how_often_a_run_is_looked_at_changes_nothing(engine: Engine) -> None:
    for seed in (3, 11, 42):
        seldom = engine(*drawn(seed), looks=1)
        often = engine(*drawn(seed), looks=401)
        assert seldom["events"] == often["events"]
        assert seldom["points"][-1] == often["points"][-1]


def test_a_contact_that_chatters_stops_the_run_and_says_why(engine: Engine) -> None:
    chatters = kettle(1000, thermostat(60, 59.999999), water_kg=0.01, loss_W_per_K=1)
    found = engine(chatters, {}, 60, most_events=200)
    assert "a contact that moves this often chatters" in found["ended"]
    assert found["events"][-1]["kind"] == "beyond"
    assert len(found["events"]) == 202  # the one too many, and the end


def test_a_flip_after_the_end_changes_nothing(engine: Engine) -> None:
    dry = kettle(2000, water_kg=0.1, heat_capacity_J_per_K=300)
    found = engine(dry, {}, 60, ((59, {"S1": "off"}),))
    assert [event["kind"] for event in found["events"]] == ["boils", "dry", "fire", "melts"]


def test_a_fuse_that_new_power_makes_too_hot_opens_at_the_same_moment(engine: Engine) -> None:
    # the thermostat closes at 80 °C, and E1 makes the fuse's place 20 K warmer at once
    guard = behind_thermostat(85, 80, fuse(95, rise_K_per_W=0.02))
    appliance = kettle(1000, guard, water_kg=0.5, start_C=90, loss_W_per_K=4)
    agree(engine, appliance, {"S1": "off"}, 60, ((1, {"S1": "on"}),))
    events = engine(appliance, {"S1": "off"}, 60, ((1, {"S1": "on"}),))["events"]
    assert [(e["kind"], e["part"]) for e in events[-2:]] == [("closes", "T1"), ("opens", "F1")]
    assert events[-1]["time_s"] == events[-2]["time_s"]
