"""What is written beside parts and nodes, and what a screen reader says of them."""

from __future__ import annotations

from lessonlib.appliance.fault import as_drawn
from lessonlib.appliance.parts import (
    TERMINALS,
    Diode,
    Part,
    PressureSwitch,
    Resistive,
    SelfActing,
    ThermalFuse,
    Thermostat,
)
from lessonlib.appliance.settings import setting_words
from lessonlib.appliance.terminals import terminals
from lessonlib.circuit.condition import CONDITIONS, Condition
from lessonlib.circuit.live import live_words
from lessonlib.circuit.solution import PathReading, Solution
from lessonlib.quantities import format_quantity


def rating(part: Part) -> str:
    """The one value beside the symbol, which tells the part from others of its kind."""
    match part:
        case Resistive():
            if part.power_W is not None:
                return format_quantity(part.power_W, "W")
            return format_quantity(part.resistance_ohm, "Ω")
        case ThermalFuse() if part.placed_on is not None:
            return f"{part.opens_at_C:g} °C on {part.placed_on}"
        case ThermalFuse() | Thermostat():
            return f"{part.opens_at_C:g} °C"
        case PressureSwitch():
            return f"{part.opens_at_bar:g} bar"
        case Diode() if part.rated_A is not None:
            return format_quantity(part.rated_A, "A")
        case _:
            return ""


def description(part: Part, contact: int = 1) -> str:
    """The part in words, without its state: "E1, heating element, 400 W at 230 V"."""
    words = [part.path_name(contact), part.words]
    if isinstance(part, ThermalFuse):
        words.append("reset by hand" if part.resettable else "one-shot")
    match part:
        case Resistive() if part.power_W is not None:
            volts = f" at {format_quantity(part.voltage_V, 'V')}" if part.voltage_V else ""
            words.append(format_quantity(part.power_W, "W") + volts)
        case Resistive():
            words.append(format_quantity(part.resistance_ohm, "Ω"))
        case SelfActing():
            placed = getattr(part, "placed_on", None)
            words.append(", ".join(part.thresholds) + (f" on {placed}" if placed else ""))
        case Diode():
            words.append(f"anode {part.between[0]}, cathode {part.between[1]}")
    return ", ".join(words)


NO_CURRENT = "no current"


def reading_values(reading: PathReading) -> dict[str, str]:
    """Voltage (r.m.s.), current (r.m.s.) and power (mean) of one path as they are written.

    Without current only a voltage that is there is written. None is where both ends have the same,
    or where an end floats.
    """
    values = {
        "voltage": format_quantity(reading.voltage_V, "V"),
        "current": format_quantity(reading.current_A, "A"),
        "power": format_quantity(reading.power_W, "W"),
    }
    if values["current"] == "0 A":
        return {"voltage": values["voltage"]} if values["voltage"] not in ("0 V", "–") else {}
    return values


def conditions_of(now: Solution) -> dict[str, Condition]:
    """The condition of each point that is drawn. With a fault in the cord or of a wire, L and N are
    drawn as the ends of the parts there are: behind a broken neutral core, N is live."""
    found = {name: now.node[name].condition for name in now.appliance.nodes}
    if not now.batch.network.slots:
        return found
    for name in TERMINALS:
        ends = [
            now.node[str(end)].condition for end in terminals(now.appliance) if end.node == name
        ]
        if "live" in ends:
            found[name] = "live"
        elif ends and found[name] not in ends:
            found[name] = ends[0]
    return found


def short_words(now: Solution) -> str:
    """The words for a short circuit in the drawing; empty without one."""
    return f"short circuit: {now.short}" if now.short is not None else ""


def summary(now: Solution, readings: bool = True) -> str:
    """One line under the drawing: setting, fault, and with `readings` power and current from the
    supply; or that it is shorted."""
    state = [setting_words(now.appliance, now.setting)]
    if now.fault is not None:
        state.append(f"fault: {as_drawn(now.appliance, now.fault)}")
    if now.reversed_plug:
        state.append("plug reversed")
    if now.supply_voltage_V != now.appliance.supply.voltage_V:
        state.append(f"supply {format_quantity(now.supply_voltage_V, 'V')}")
    where = ", ".join(words for words in state if words)
    if now.short is not None:
        return f"{short_words(now)} ({where})" if where else short_words(now)
    if not readings:
        return where
    current = format_quantity(now.current_A, "A")
    found = NO_CURRENT if current == "0 A" else f"{format_quantity(now.power_W, 'W')}, {current}"
    return f"{where}: {found}" if where else found


def finding(
    now: Solution, readings: bool = True, conditions: bool = True, earth: bool = False
) -> str:
    """The drawing in one sentence, for people who cannot see it."""
    state = ", ".join(filter(None, (now.appliance.title, summary(now, readings))))
    if not conditions:
        wired = [
            f"{part.name} {' to '.join(rung)}"
            for part in now.appliance.parts
            for rung in part.rungs
        ]
        return f"{state}; {', '.join(wired)}"
    where, drawn = [], conditions_of(now)
    for condition in CONDITIONS:
        nodes = [name for name, found in drawn.items() if found == condition]
        if nodes:
            where.append(f"{', '.join(nodes)} {condition}")
    if earth and "PE" not in drawn:
        where.append("PE earthed, with the metal parts on it")
    where.append(f"live ends: {live_words(now.appliance, now.live)}")
    return f"{state}; {'; '.join(where)}"
