"""What a search of wirings has found, and what there is to say of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lessonlib.appliance.parts import Appliance
from lessonlib.quantities import format_quantity
from lessonlib.rewiring.given import Wanted, left_out
from lessonlib.rewiring.wiring import Proposal
from lessonlib.words import counted, listed


@dataclass(frozen=True, repr=False, eq=False)
class Rewirings(Sequence[Proposal]):
    """The best few wirings with the fewest contacts, best first, and what there is to say of them.

    `dropped` are reasons against wirings that give the powers, with how many. `nearest` has for
    each power that no wiring gives those nearest to it, in W. `partly` are the wanted powers that
    fit together at most. All wirings with up to `searched` contacts were tried; `too_long_s` is
    what those with one more would take, 0 where that was not the end.
    """

    stock: Appliance
    wanted: tuple[Wanted, ...]
    proposals: tuple[Proposal, ...]
    fitting: int
    dropped: tuple[tuple[str, int], ...]
    nearest: tuple[tuple[Wanted, tuple[float, ...]], ...]
    partly: tuple[Wanted, ...]
    searched: int
    too_long_s: float
    stopped: bool

    def __len__(self) -> int:
        return len(self.proposals)

    def __getitem__(self, index: int) -> Proposal:  # type: ignore[override]
        return self.proposals[index]

    @property
    def headline(self) -> str:
        """What was found, or why nothing was, in one sentence or two."""
        asked = "; ".join(each.words for each in self.wanted)
        if not self.proposals:
            return f"Asked for: {asked}. No wiring of these parts was found. {self._why}"
        contacts = counted(len(self.proposals[0].switch.contacts), "contact")
        end = "until the search was stopped" if self.stopped else "and none with fewer"
        if self.dropped and not self.stopped:
            end += " that may be proposed"
        best = "" if self.fitting <= len(self) else f" These are the best {len(self)}."
        found = f"{counted(self.fitting, 'wiring')} with a switch of {contacts}"
        return f"Asked for: {asked}. Found: {found}, {end}.{best}"

    @property
    def _why(self) -> str:
        if self.nearest:
            cannot = []
            for each, powers in self.nearest:
                near = listed([format_quantity(power, "W") for power in powers])
                verb = "is" if len(powers) == 1 else "are"
                cannot.append(f"{each.words} cannot be had: the nearest {verb} {near}")
            return f"{'; '.join(cannot)}. Ask for one of these, or allow a larger tolerance."
        upto = f"Tried were all wirings with up to {counted(self.searched, 'contact')}."
        if self.stopped:
            return f"The search was stopped. {upto}"
        if self.dropped:
            return f"Those that give these powers were dropped, for the reasons below. {upto}"
        told = f"Each power can be had, but not all with one switch. {upto}"
        if self.partly:
            names = listed([each.name for each in self.partly])
            told += f" At most {len(self.partly)} go together, such as {names}: ask for fewer."
        return told

    @property
    def notes(self) -> tuple[str, ...]:
        """What else there is to say: wirings dropped, parts left out, what was not searched."""
        said = [f"Dropped: {counted(count, 'wiring')}. {why}" for why, count in self.dropped]
        if self.stock.supply.power_W:
            watts = format_quantity(self.stock.supply.power_W, "W")
            said.append(f"The power marked on it, {watts}, may not be true any more.")
        if names := left_out(self.stock):
            said.append(f"Left out of the search: {listed(names)}.")
        if self.too_long_s:
            said.append(
                f"Wirings with {counted(self.searched + 1, 'contact')} were not tried: that takes "
                f"about {duration(self.too_long_s)}. Give more time for it."
            )
        return tuple(said)

    def __str__(self) -> str:
        from lessonlib.rewiring.page import as_text  # needed only where it is shown

        return as_text(self)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        from lessonlib.rewiring.page import as_html

        return as_html(self)


def duration(seconds: float) -> str:
    """A time as one says it: "a second", "40 s", "5 min", "2 h"."""
    if seconds < 1.5:
        return "a second"
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{math.ceil(seconds / 3600)} h"
