"""The page "Good enough, and safe?": what to do first, then every hazard drawn, then the limits."""

from __future__ import annotations

from html import escape

from lessonlib.appliance.parts import Appliance
from lessonlib.limits.published import LimitTable, published
from lessonlib.ratings.advice import FIRST, advice
from lessonlib.ratings.findings import findings
from lessonlib.ratings.hazard import Hazard
from lessonlib.ratings.hazards import hazards
from lessonlib.schematics.painter import MARKED
from lessonlib.schematics.schematic import Schematic
from lessonlib.sheet.safety import KEY, drawn_hazards, hazard_heading


def safety_page(appliance: Appliance) -> str:
    """It as HTML. Raises `SettingError` for too many settings to solve at once."""
    found, table = findings(appliance), hazards(appliance)
    done = advice(found, table)
    drawn = drawn_hazards(table)
    besides = [row.told for row in table.rows if row not in drawn]
    return "".join(
        (
            f'<div class="hcw-safety"><p><strong>{escape(done.standing)}</strong> {FIRST}</p>',
            _list(f"{MARKED} To put right", done.put_right),
            _list("? To find out", done.find_out),
            f"<h5>Where it can hurt</h5><p>{escape(KEY)}</p>",
            *(_figure(row, picture) for row, picture in drawn.items()),
            _list("Besides", besides),
            f"<h5>Against published limits</h5>{found._repr_html_()}",
            "<details><summary>Every limit that is kept here, with its source</summary>",
            f"{LimitTable(published())._repr_html_()}</details></div>",
        )
    )


def _list(heading: str, lines: tuple[str, ...] | list[str]) -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<h5>{escape(heading)}</h5><ol>{items}</ol>" if lines else ""


def _figure(row: Hazard, picture: Schematic) -> str:
    """Folded unless it is a danger."""
    danger = row.level == "danger"
    sign = f"{MARKED} " if danger else ""
    drawing = picture._repr_mimebundle_()["text/html"]
    return (
        f"<details{' open' if danger else ''}>"
        f"<summary>{sign}{escape(hazard_heading(row))}</summary>"
        f"{drawing}<p>{escape(row.then)}</p></details>"
    )
