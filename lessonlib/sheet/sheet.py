"""The front door: `bench_sheet` makes an appliance's page for the bench or the wall."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from os import PathLike, fspath
from pathlib import Path

from lessonlib.appliance.parts import Appliance
from lessonlib.errors import SheetError, shown
from lessonlib.sheet.content import content_of, plan_contents
from lessonlib.sheet.markup import page_html, pages_words, view_html
from lessonlib.sheet.pages import PAPERS, Pages, Paper, lay_out
from lessonlib.sheet.safety import safety_content

SUFFIXES = (".html", ".pdf")


@dataclass(frozen=True, repr=False, eq=False)
class BenchSheet:
    """A sheet laid out; shows itself in a notebook, and can be saved for the printer."""

    layout: Pages

    @property
    def pages(self) -> int:
        """How many pages it has, as PDF and as printed from HTML."""
        return len(self.layout.pages)

    @cached_property
    def html(self) -> str:
        """The whole standalone page; a browser prints it on the paper asked for."""
        return page_html(self.layout)

    @cached_property
    def pdf(self) -> bytes:
        """The whole PDF file; the same bytes every time."""
        from lessonlib.sheet.pdf import pdf_bytes

        return pdf_bytes(self.layout)

    def save(self, path: str | PathLike[str]) -> Path:
        """Write the sheet to `path` and return that; its suffix says how: .html or .pdf.

        Raises `SheetError` (a `ValueError`) for another suffix, and `OSError` where the file cannot
        be written.
        """
        target = Path(fspath(path))
        target.write_bytes(self.written(suffix_of(target)))
        return target

    def written(self, suffix: str) -> bytes:
        """What a file with that suffix holds."""
        return self.pdf if suffix == ".pdf" else self.html.encode("utf-8")

    def __repr__(self) -> str:
        content = self.layout.content
        return f"Bench sheet of {content.title} ({pages_words(self.layout)}). {content.at_start}"

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"text/html": view_html(self.layout), "text/plain": repr(self)}


def suffix_of(path: Path) -> str:
    """ ".html" or ".pdf". Raises `SheetError` for a name that ends in something else."""
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise SheetError(
            f"cannot save a sheet as {shown(path.name)}: found suffix {shown(suffix)}. "
            f"Accepted: {', '.join(SUFFIXES)}. End the file's name in one of these."
        )
    return suffix


def bench_sheet(appliance: Appliance, *, paper: str = "A4") -> BenchSheet:
    """`appliance` as a page for the bench or the wall: `.html`, `.pdf`, `.save(path)`, `.pages`.

    It has the cautions, the wiring, every switch setting, what an ohmmeter shows at the plug, and
    limits and ratings with their sources, with room for own readings. `paper` is "A4" or "letter",
    both upright. Raises `SheetError` (a `ValueError`) for other paper, and for an appliance with
    more settings than a sheet can hold.
    """
    return BenchSheet(lay_out(content_of(appliance), paper_of(paper)))


def plan_sheet(appliance: Appliance, *, paper: str = "A4") -> BenchSheet:
    """The plan of tests of `appliance` for the bench, `test_plan` on paper: on the fewest pages,
    with the wiring if that takes no more, then in the largest text.

    `paper` and what it raises are those of `bench_sheet`.
    """
    size = paper_of(paper)
    every = [lay_out(content, size) for content in plan_contents(appliance)]
    return BenchSheet(
        min(every, key=lambda each: (len(each.pages), not each.content.drawings, -each.text_pt))
    )


def safety_sheet(appliance: Appliance, *, paper: str = "A4") -> BenchSheet:
    """Findings and hazards of `appliance` on paper, with every hazard drawn.

    `paper` and what it raises are those of `bench_sheet`, and `SettingError` for an appliance with
    too many settings to solve at once.
    """
    return BenchSheet(lay_out(safety_content(appliance), paper_of(paper)))


def paper_of(name: str) -> Paper:
    """The paper of that name. Raises `SheetError` for other paper."""
    if name not in PAPERS:
        raise SheetError(
            f"found paper={shown(name)}; accepted: {', '.join(map(shown, PAPERS))}. "
            "Use one of these, or leave it out."
        )
    return PAPERS[name]
