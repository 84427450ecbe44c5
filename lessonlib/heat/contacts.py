"""Self-acting contacts as temperatures: where each opens on the way up, and closes on the way down.

In a sealed vessel with water, pressure and temperature are tied by the saturation line, so that a
pressure switch is a contact with two temperatures too. Over the steam of one that has boiled dry
they are tied by the gas law, and its two temperatures are higher.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from lessonlib.appliance.fault import Fault
from lessonlib.appliance.parts import Appliance, PressureSwitch, SelfActing, ThermalFuse, Thermostat
from lessonlib.heat.vessel import Body
from lessonlib.heat.water import PA_PER_BAR, ZERO_C_IN_K

DRIFT_K, DRIFT_FACTOR = 20.0, 1.2
"""A drifted contact opens and closes so many kelvin hotter than marked, or at so many times the
gauge pressure. Our own choice of what is bad enough to matter; a real one may drift either way."""


@dataclass(frozen=True)
class ActingContact:
    """A contact with the vessel temperatures at which it opens and closes.

    `opens_C` is infinite where it never opens; `closes_C` is None where it never closes again,
    infinite where it closes at any temperature. `stuck` is the position its fault holds it in, or
    None. A contact placed on an element is warmer than the vessel by `rise_K_per_W` for each watt
    of mean power of that element. `opens_share` and `closes_share` are a pressure switch's
    pressures as shares of what the relief valve holds, both absolute; `steam_C` in its methods is
    that of `Body.pressure_bar`. `drifted_from` has in words when a drifted one should act.
    """

    name: str
    stuck: str | None
    opens_C: float
    opens_at: str
    closes_C: float | None = None
    closes_at: str = ""
    placed_on: str | None = None
    rise_K_per_W: float = 0.0
    opens_share: float | None = None
    closes_share: float | None = None
    drifted_from: tuple[str, ...] = ()

    def extra_K(self, element_W: Mapping[str, float]) -> float:
        """How much warmer its place is than the vessel, K, while elements give these powers."""
        return 0.0 if self.placed_on is None else self.rise_K_per_W * element_W[self.placed_on]

    def turn_C(
        self, position: str, element_W: Mapping[str, float], steam_C: float | None
    ) -> float | None:
        """Vessel temperature at which it leaves this position: warming where it is closed, cooling
        where it is open. None where it stays open."""
        if position == "closed":
            at_place_C = _over_steam(self.opens_C, self.opens_share, steam_C)
            return at_place_C - self.extra_K(element_W)
        if self.closes_C is None:
            return None
        return _over_steam(self.closes_C, self.closes_share, steam_C)

    def moves(
        self,
        position: str,
        temperature_C: float,
        element_W: Mapping[str, float],
        steam_C: float | None,
    ) -> bool:
        """Whether it moves at this vessel temperature."""
        turn_C = self.turn_C(position, element_W, steam_C)
        if turn_C is None:
            return False
        return temperature_C >= turn_C if position == "closed" else temperature_C <= turn_C

    @cached_property
    def over_dry_steam(self) -> ActingContact:
        """The same in words for a vessel that has boiled dry, where a pressure switch no longer
        moves at the temperature of saturated steam."""
        if self.opens_share is None and self.closes_share is None:
            return self
        bars = [at.partition(" (")[0] for at in (self.opens_at, self.closes_at)]
        return replace(self, opens_at=bars[0], closes_at=bars[1])

    @cached_property
    def words(self) -> dict[str, str]:
        """What happened, by the position it has moved to."""
        return {position: self._words(position) for position in ("open", "closed")}

    def _words(self, position: str) -> str:
        at = self.opens_at if position == "open" else self.closes_at
        verb = "opens" if position == "open" else "closes"
        if self.stuck is None:
            stays = ", and stays open" if self.closes_C is None else ""
            should = next((each for each in self.drifted_from if each.startswith(verb)), "")
            late = should and f", drifted from {should.removeprefix(f'{verb} at ')}"
            return f"{self.name} {verb} at {at}{late}{stays}"
        held = "welded" if self.stuck == "closed" else "not making"
        if self.stuck == position:  # it comes to where it is held anyway
            return f"{self.name} {verb} at {at}, which changes nothing: its contact is {held}"
        return f"{self.name} should {verb.removesuffix('s')} at {at}, but its contact is {held}"


def _over_steam(wet_C: float, share: float | None, steam_C: float | None) -> float:
    """Temperature at which a pressure is reached that over water is reached at `wet_C`: over the
    steam of a dry vessel more, by the gas law, until that steam has condensed."""
    if share is None or steam_C is None:
        return wet_C
    by_gas_law_C = share * (steam_C + ZERO_C_IN_K) - ZERO_C_IN_K
    return max(wet_C, min(by_gas_law_C, steam_C))  # not past full pressure, by rounding


def contacts_of(appliance: Appliance, body: Body, fault: Fault | None) -> list[ActingContact]:
    """Every self-acting part, in file order."""
    found = []
    for part in appliance.self_acting:
        stuck = None
        if fault is not None and fault.part == part.name:
            stuck = {"welded": "closed", "not making": "open"}.get(fault.kind)
        acting = as_it_acts(part, fault)
        drifted_from = part.thresholds if acting is not part else ()
        found.append(replace(_contact(acting, body), stuck=stuck, drifted_from=drifted_from))
    return found


def as_it_acts(part: SelfActing, fault: Fault | None) -> SelfActing:
    """`part` with the marks at which it acts: others than its own where it has drifted."""
    if fault is None or (fault.part, fault.kind) != (part.name, "drifted"):
        return part
    if isinstance(part, PressureSwitch):
        opens, closes = part.opens_at_bar, part.closes_at_bar
        return replace(part, opens_at_bar=opens * DRIFT_FACTOR, closes_at_bar=closes * DRIFT_FACTOR)
    marks = {key: getattr(part, key, None) for key in ("opens_at_C", "closes_at_C")}
    return replace(part, **{key: at + DRIFT_K for key, at in marks.items() if at is not None})


def _contact(part: SelfActing, body: Body) -> ActingContact:
    match part:
        case ThermalFuse(opens_at_C=opens_C, placed_on=place):
            opens_at = f"{opens_C:g} °C" + (f" on {place}" if place else "")
            contact = ActingContact(part.name, None, opens_C, opens_at)
            return replace(contact, placed_on=place, rise_K_per_W=part.rise_K_per_W)
        case Thermostat(opens_at_C=opens_C, closes_at_C=closes_C):
            marks = (opens_C, f"{opens_C:g} °C", closes_C, f"{closes_C:g} °C")
            return ActingContact(part.name, None, *marks)
        case PressureSwitch(opens_at_bar=opens_bar, closes_at_bar=closes_bar):
            opens_C, closes_C = map(body.pressure_reached_at_C, (opens_bar, closes_bar))
            marks = (opens_C, _bar(opens_bar, opens_C), closes_C, _bar(closes_bar, closes_C))
            shares = [_share(body, bar) for bar in (opens_bar, closes_bar)]
            contact = ActingContact(part.name, None, *marks)
            return replace(contact, opens_share=shares[0], closes_share=shares[1])
        case _:
            raise TypeError(f"no heat rule for {part.kind}")


def _share(body: Body, gauge_bar: float) -> float | None:
    """A gauge pressure as a share of what the relief valve holds, both absolute; None where it is
    never reached."""
    share = (body.atmosphere_Pa + gauge_bar * PA_PER_BAR) / body.relief_Pa
    return share if 0 < share <= 1 else None


def _bar(gauge_bar: float, temperature_C: float) -> str:
    where = f" ({temperature_C:.1f} °C)" if math.isfinite(temperature_C) else ""
    return f"{gauge_bar:g} bar gauge{where}"
