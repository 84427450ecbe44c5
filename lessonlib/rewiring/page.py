"""What a search found, as a page: each wiring drawn, the contact table of its switch, and what
speaks for care."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from lessonlib.appliance.file_text import file_text
from lessonlib.circuit.live import live_words
from lessonlib.quantities import format_quantity
from lessonlib.rewiring.differences import dangers_of_wiring
from lessonlib.rewiring.result import Rewirings
from lessonlib.rewiring.wiring import Proposal
from lessonlib.safety import ONE_LINE
from lessonlib.schematics.schematic import schematic
from lessonlib.tables import Table
from lessonlib.words import counted, listed

ON_PAPER = (
    "This is on paper only. A changed wiring is a new design: what its maker tested, marked and "
    "approved no longer covers it. A licensed person must check it and carry it out, with parts "
    "within their makers' ratings. Earth and double insulation stay as they are, and both are "
    "tested afterwards."
)
CLOSED, OPEN = "closed", "–"


@dataclass(frozen=True, repr=False)
class ContactTable(Table):
    """The switch to buy: by position which terminals it joins, and what the appliance then does."""

    of: Proposal

    @property
    def caption(self) -> str:
        positions, contacts = map(len, (self.of.switch.positions, self.of.switch.contacts))
        return (
            f"The switch to buy: {counted(positions, 'position')}, {counted(contacts, 'contact')}"
        )

    @property
    def header(self) -> tuple[str, ...]:
        contacts = (
            f"{self.of.switch.path_name(number)} {'–'.join(between)}"
            for number, between in enumerate(self.of.switch.rungs, 1)
        )
        return ("position", "power", "current", *contacts, "live")

    @property
    def shown_rows(self) -> list[tuple[str, ...]]:
        switch, rows = self.of.switch, []
        for now in self.of.solutions:
            at = now.setting[switch.name]
            watts, amps = format_quantity(now.power_W, "W"), format_quantity(now.current_A, "A")
            contacts = (CLOSED if at in each.closed_in else OPEN for each in switch.contacts)
            # live ends of the switch are told only where it is alone: it joins everything to L
            beyond = tuple(end for end in now.live if end.part != switch.name)
            live = live_words(self.of.appliance, beyond or now.live)
            rows.append((at, watts, amps, *contacts, live))
        return rows


def lines(of: Proposal) -> Iterator[str]:
    """What to know of one wiring, most urgent first."""
    appliance = of.appliance
    pairs = [f"{one} and {other}" for one, other in of.shorting]
    if pairs:
        yield (
            f"The contacts of {listed(pairs, 'or of')}, closed together, short the mains: the "
            "switch must break before it makes, and a contact that sticks blows the plug fuse or "
            "trips the breaker."
        )
    for danger in dangers_of_wiring(of.hazards):
        yield f"{danger.when[0].upper()}{danger.when[1:]}: {danger.what}. {danger.do}"
    yield from (f"{row.part}, {row.what}, fails: {row.told}" for row in of.findings.of("fail"))
    most = next(row for row in of.findings.about(of.switch.name) if row.what == "current")
    if most.found is not None:
        amps = format_quantity(most.found, "A")
        yield f"Each contact of the switch is for at least {amps} ({most.where})."
    if not any(each.is_off for each in of.wanted):
        yield "No position is off: only the pulled plug turns it off."
    before = [part.name for part in appliance.self_acting if "L" in part.between]
    if before:
        yield f"Before the switch, so live in every position: {listed(before)}."
    if of.unused:
        yield f"Not used: {listed(of.unused)}. Insulate its ends."
    unknown = {row.part: row for row in of.findings.of("cannot tell") if row.part != of.switch.name}
    if unknown:
        yield (
            f"Not every limit could be checked with what was given, for {listed(list(unknown))}: "
            "see all findings below."
        )


def _shared(found: Rewirings) -> list[str]:
    """What is to be known of every wiring alike, where there are several."""
    first, *others = [list(lines(each)) for each in found] or [[]]
    return [line for line in first if others and all(line in other for other in others)]


def as_text(found: Rewirings) -> str:
    """The whole result as plain text."""
    shared = _shared(found)
    said = [found.headline, *(f"- {line}" for line in (*found.notes, *shared))]
    for number, each in enumerate(found, 1):
        parts = [part for part in each.appliance.parts if part is not each.switch]
        wired = [f"{part.name}: {' to '.join(part.rungs[0])}" for part in parts]
        said += ["", f"Wiring {number}", *wired, str(ContactTable(each))]
        said += [f"- {line}" for line in lines(each) if line not in shared]
    return "\n".join([*said, "", ON_PAPER, ONE_LINE])


def as_html(found: Rewirings) -> str:
    """The same as HTML."""
    caution = f'<p role="note"><strong>{escape(ON_PAPER)}</strong> {escape(ONE_LINE)}</p>'
    return f"{caution}<p>{escape(found.headline)}</p>{wirings_html(found)}"


def wirings_html(found: Rewirings) -> str:
    """The wirings alone, for a form that has caution and headline: each drawn in its strongest
    position."""
    shared = _shared(found)
    sections = [_section(number, each, shared) for number, each in enumerate(found, 1)]
    return "".join([_list([*found.notes, *shared]), *sections])


def _list(items: Sequence[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(item)}</li>' for item in items)}</ul>" if items else ""


def _section(number: int, of: Proposal, shared: Sequence[str]) -> str:
    most = max(of.wanted, key=lambda each: each.power_W)
    drawn = schematic(of.appliance, {of.switch.name: most.name})._repr_mimebundle_()["text/html"]
    own = _list([line for line in lines(of) if line not in shared])
    file = escape(file_text(of.appliance))
    return (
        f"<section><h4>Wiring {number}, drawn at {escape(most.words)}</h4>{drawn}"
        f"{ContactTable(of)._repr_html_()}{own}"
        f"<details><summary>All findings and hazards of wiring {number}</summary>"
        f"{of.findings._repr_html_()}{of.hazards._repr_html_()}</details>"
        f"<details><summary>The appliance file of wiring {number}</summary>"
        f'<pre style="overflow-x:auto">{file}</pre></details></section>'
    )
