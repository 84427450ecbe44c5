"""The numbers of lesson 3's questions that lines of data cannot draw."""

from __future__ import annotations

from functools import lru_cache

from lessonlib.appliance.parts import Appliance
from lessonlib.appliance.reader import read_appliance
from lessonlib.circuit.solution import solve
from lessonlib.questions.answers import CellTable, Choice, CircuitFile, Number, OneSetting
from lessonlib.questions.content_template import Numbers
from lessonlib.questions.draw import Draw

_HEATING = ("low", "medium", "high")

Row = tuple[float, float, float]


def _rail(draw: Draw, power_W: float, supply_V: float = 230) -> Appliance:
    changes: dict[str, dict[str, object]] = {
        "E1": {"power_W": power_W},
        "E2": {"power_W": power_W},
        "supply": {"voltage_V": supply_V},
    }
    return draw.appliance("towel-rail", changes)


def rail_in_each_position(draw: Draw) -> Numbers:
    """Powers and current of two equal elements in series, alone, and in parallel."""
    power_W = draw.number(200, 800, 20)
    rail = _rail(draw, power_W)
    one_A = power_W / 230

    def row(position: str) -> Row:
        now = solve(rail, {"S1": position})
        e1_W, e2_W = now.part["E1"].power_W or 0.0, now.part["E2"].power_W or 0.0
        return round(e1_W, 9), round(e2_W, 9), round(now.current_A or 0.0, 9)

    low, medium, high = map(row, _HEATING)
    return Numbers(
        answer=CellTable(
            rows=_HEATING,
            columns=(("E1", "W"), ("E2", "W"), ("current", "A")),
            value=(low, medium, high),
            because="three figures, and 2 % for rounding on the way",
        ),
        slips={
            "low-halves-the-power": ((power_W / 2, power_W / 2, one_A), medium, high),
            "watts-halved-amperes-right": ((power_W / 2, power_W / 2, low[2]), medium, high),
            "marking-kept-at-low": ((power_W, power_W, 2 * one_A), medium, high),
            "first-takes-it-all": ((power_W, 0.0, one_A), medium, high),
            "current-of-one-at-low": ((low[0], low[1], one_A), medium, high),
            "current-of-one-at-high": (low, medium, (high[0], high[1], one_A)),
            "the-other-one-at-medium": (low, (medium[1], medium[0], medium[2]), high),
        },
        words={
            "power_W": power_W,
            "one_A": one_A,
            "low_A": low[2],
            "low_W": low[0],
            "high_A": high[2],
        },
        appliance=rail,
        setting={"S1": "medium"},
    )


def rail_position_from_readings(draw: Draw) -> Numbers:
    """The position of a worn knob, from the mains current and the volts across one element."""
    power_W, supply_V = draw.number(200, 800, 50), draw.one_of([220, 230, 240])
    rail = _rail(draw, power_W, supply_V)
    right = draw.one_of(_HEATING)
    solved = {position: solve(rail, {"S1": position}) for position in ("off", *_HEATING)}
    return Numbers(
        answer=OneSetting(rail, ({"S1": right},), ("S1",)),
        slips={f"taken-for-{each}": {"S1": each} for each in solved if each != right},
        words={
            "power_W": power_W,
            "supply_V": supply_V,
            "found": solved[right],
            **{position: solved[position] for position in solved},
        },
        appliance=rail,
        setting={"S1": "off"},
    )


@lru_cache(maxsize=512)
def _pair(first_W: float, second_W: float, title: str) -> Appliance:
    """Two elements in series."""
    return read_appliance(
        f"""\
title = "{title}"
supply.voltage_V = 230
element = [
  {{ name = "E1", between = ["L", "middle"], power_W = {first_W:g}, voltage_V = 230 }},
  {{ name = "E2", between = ["middle", "N"], power_W = {second_W:g}, voltage_V = 230 }},
]
"""
    )


def _unequal(draw: Draw) -> tuple[float, float]:
    """Two markings in W, one about twice the other, in either order. At three times, a quarter of
    their sum would be the lesser of them."""
    weak_W = draw.number(200, 500, 50)
    strong_W = 50 * round(weak_W * draw.one_of([1.9, 2.2, 2.5]) / 50)
    first, second = draw.shuffled([weak_W, strong_W])
    return first, second


def warming_drawer_in_series(draw: Draw) -> Numbers:
    """The power of two unequal elements in series."""
    first_W, second_W = _unequal(draw)
    drawer = _pair(first_W, second_W, "Warming drawer")
    total_W = solve(drawer).power_W
    assert total_W is not None
    sum_W = first_W + second_W
    return Numbers(
        answer=Number(
            total_W,
            "W",
            because="three figures, and 2 % for rounding on the way; the slips are 8 % apart",
        ),
        slips={
            "markings-added": sum_W,
            "quarter-of-the-sum": sum_W / 4,
            "mean-of-the-markings": sum_W / 2,
            "as-if-the-weaker-alone": min(first_W, second_W),
        },
        words={"drawer": drawer, "total_W": round(total_W, 1)},
        appliance=drawer,
    )


def hotter_of_two(draw: Draw) -> Numbers:
    """Which of two unequal elements in series gives more heat."""
    first_W, second_W = _unequal(draw)
    bench = _pair(first_W, second_W, "Plant bench")
    now = solve(bench)
    heat_W = {name: now.part[name].power_W or 0.0 for name in ("E1", "E2")}
    weak, strong = ("E1", "E2") if first_W < second_W else ("E2", "E1")
    more, less = f"{heat_W[weak]:.0f} W", f"{heat_W[strong]:.0f} W"
    right = f"{weak} gives {more}, {strong} gives {less}"
    slips = {
        "stronger-gets-hotter": f"{strong} gives {more}, {weak} gives {less}",
        "equal-current-equal-heat": f"each gives {sum(heat_W.values()) / 2:.0f} W",
        "markings-kept": f"E1 gives {first_W:g} W, E2 gives {second_W:g} W",
    }
    return Numbers(
        answer=Choice(right, tuple(draw.shuffled([right, *slips.values()]))),
        slips=slips,
        words={"bench": bench, "now": now, "strong": strong, "right": right},
        appliance=bench,
    )


_FAULTS = {
    "e1-open": ("E1 is open", "E1 open"),
    "e2-open": ("E2 is open", "E2 open"),
    "middle-to-n": ("the contact from middle to N does not make", "S1 contact 2 not making"),
    "l-to-b": ("the contact from L to b does not make", "S1 contact 3 not making"),
    "b-to-n": ("the contact from b to N does not make", "S1 contact 4 not making"),
}


@lru_cache(maxsize=128)
def _signs(rail: Appliance, fault: str) -> str:
    watts = [solve(rail, {"S1": p}, fault=fault).power_W or 0.0 for p in _HEATING]
    return ", ".join(f"{watt:.0f} W at {p}" for watt, p in zip(watts, _HEATING, strict=True))


def rail_with_signs(draw: Draw) -> Numbers:
    """The one fault that explains what a rail draws in each position."""
    power_W = draw.number(200, 800, 50)
    rail = _rail(draw, power_W)
    options = {option: (name, fault) for name, (option, fault) in _FAULTS.items()}
    right = draw.one_of(list(options))
    return Numbers(
        answer=Choice(right, tuple(draw.shuffled(list(options)))),
        slips={name: option for option, (name, _) in options.items() if option != right},
        words={
            "power_W": power_W,
            "right": right,
            "signs": _signs(rail, options[right][1]),
            **{name.replace("-", "_"): _signs(rail, fault) for name, fault in options.values()},
        },
        appliance=rail,
        setting={"S1": "medium"},
    )


_LOW_HIGH = {"low": ["low"], "high": ["high"], "both": ["low", "high"]}


def _rack(power_W: float, second: str, *contacts: str) -> Appliance:
    """`second`: between what E2 lies. `contacts`, as "L a both": between what, and when closed."""
    rows = ", ".join(
        f'{{ between = ["{one}", "{other}"], closed_in = {_LOW_HIGH[when]} }}'
        for one, other, when in map(str.split, contacts)
    )
    ends = '", "'.join(second.split())
    marking = f"power_W = {power_W:g}, voltage_V = 230"
    return read_appliance(
        f"""\
title = "Boot rack"
supply.voltage_V = 230
switch = [{{ name = "S1", positions = ["off", "low", "high"], contacts = [{rows}] }}]
element = [
  {{ name = "E1", between = ["a", "middle"], {marking} }},
  {{ name = "E2", between = ["{ends}"], {marking} }},
]
"""
    )


def boot_rack_file(draw: Draw) -> Numbers:
    """A file in which low is two elements in series and high is one of them."""
    power_W = draw.number(40, 200, 10)
    return Numbers(
        answer=CircuitFile(
            _rack(power_W, "middle N", "L a both", "middle N high"),
            start_text='title = "Boot rack"\nsupply.voltage_V = 230\n',
            must=("off is dead", "positions"),
        ),
        slips={
            "one-then-both-in-parallel": _rack(
                power_W, "b middle", "L a both", "L b high", "middle N both"
            ),
            "bridge-closed-at-low": _rack(power_W, "middle N", "L a both", "middle N low"),
            "off-in-the-neutral": _rack(power_W, "L middle", "a N both", "L middle high"),
        },
        words={"power_W": power_W},
    )
