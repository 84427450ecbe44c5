"""What pictures made by matplotlib share: paper, style, words beside marks, and SVG text."""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from lessonlib.page.document import scrolling
from lessonlib.palette import INK, LIGHT, PLOT, QUIET, css_variables

FONT_PT = 10.5
WIDTH_IN = 6.6
LEFT = 0.115
"""Where panels begin, as a share of the width."""
_STYLE = {
    "svg.hashsalt": "lessonlib",  # the same names inside the file, hence the same bytes, every time
    "svg.fonttype": "none",  # text stays text
    "font.family": "sans-serif",
    "font.size": FONT_PT,
    "text.color": INK,
    "axes.facecolor": "none",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.edgecolor": QUIET,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
}
_NOTEBOOK_STYLE = f"""\
{css_variables(".hc-plot", *PLOT, "shade", own_paper=False)}
.hc-plot {{ --hc-page: var(--jp-layout-color0, var(--hc-paper)); }}
{scrolling(".hc-plot", "var(--hc-page)", "var(--hc-shade)")}
.hc-plot {{ background-color: var(--hc-page); }}
.hc-plot > svg {{ display: block; width: 100%; height: auto; }}"""
"""What a notebook shows a picture with: the colours and the paper of its theme, and a box that
scrolls sideways, with a shade at an edge where there is more."""
_NAME_OF = {LIGHT[name]: "page" if name == "paper" else name for name in PLOT}
_COLOUR = re.compile("|".join(_NAME_OF))
_GAP_IN = 0.22  # between panels
_LINE_HEIGHT = 1.35  # from one line of words to the next, in font sizes


@dataclass(frozen=True)
class Picture:
    """A picture as SVG text, and its finding in words. Shows itself in a notebook, in its theme.

    Narrower than `min_width_px` it could not be read, and scrolls sideways instead.
    """

    svg: str
    finding: str
    min_width_px: int = 440
    max_width_px: int = 680

    def __repr__(self) -> str:
        return self.finding

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        themed = _COLOUR.sub(lambda found: f"var(--hc-{_NAME_OF[found[0]]})", self.svg)
        named = f'<svg role="img" aria-label="{escape(self.finding)}" '
        sizes = f"min-width: {self.min_width_px}px; max-width: {self.max_width_px}px"
        named += f'style="{sizes}" '
        picture = themed.replace("<svg ", named, 1)
        return {
            "text/html": f'<div class="hc-plot" tabindex="0"><style>{_NOTEBOOK_STYLE}</style>'
            f"{picture}</div>",
            "text/plain": self.finding,
        }


@dataclass(frozen=True)
class Mark:
    """Words to the right of a panel, with a leader to the point at `x` (a share of the panel's
    width) and `value`, and a line across it where `dashes` (a linestyle of matplotlib) is given."""

    value: float
    words: str
    dashes: Any = None
    x: float = 1.0
    colour: str = INK


def style() -> Any:
    """Our settings of matplotlib, for as long as we draw; a learner's own are left alone."""
    import matplotlib

    settings: Any = _STYLE
    return matplotlib.rc_context(settings)


def panels(
    heights_in: Sequence[float],
    *,
    right: float,
    top_in: float = 0.12,
    bottom_in: float = 0.52,
    left: float = LEFT,
    width_in: float = WIDTH_IN,
) -> tuple[Any, list[Any]]:
    """A figure of panels of these heights, one above the other on one x axis.

    `left` and `right` are where they begin and end, as shares of the width; `top_in` and
    `bottom_in` stay empty.
    """
    from matplotlib.figure import Figure

    height_in = top_in + sum(heights_in) + _GAP_IN * (len(heights_in) - 1) + bottom_in
    figure = Figure(figsize=(width_in, height_in), facecolor="none")
    found: list[Any] = []
    upper_in = height_in - top_in
    for each_in in heights_in:
        place = (left, (upper_in - each_in) / height_in, right - left, each_in / height_in)
        found.append(figure.add_axes(place, sharex=found[0] if found else None))
        upper_in -= each_in + _GAP_IN
    for axes in found[:-1]:
        axes.tick_params(labelbottom=False)
    return figure, found


def svg_text(figure: Any) -> str:
    """The figure as SVG, the same bytes every time."""
    text = io.StringIO()
    with warnings.catch_warnings():
        # the browser draws the letters, and has more of them
        warnings.filterwarnings("ignore", "Glyph .* missing from font")
        figure.savefig(text, format="svg", metadata={"Date": None, "Creator": None})
    return re.sub(r"^.*?(?=<svg )", "", text.getvalue(), flags=re.DOTALL)


def spread(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """`places`, in rising order, moved as little as possible so that each is `gap` from the next
    and all are within `low` to `high` (beyond `high` where there is no room for them)."""
    # With the gaps before it taken off, each place only has to be no lower than the last: where it
    # is lower, neighbours are pooled and share their mean (isotonic regression).
    pools: list[tuple[float, int]] = []
    for index, place in enumerate(places):
        mean, count = place - index * gap, 1
        while pools and pools[-1][0] > mean:
            before, others = pools.pop()
            mean = (mean * count + before * others) / (count + others)
            count += others
        pools.append((mean, count))
    most = high - (len(places) - 1) * gap
    rising = [max(min(mean, most), low) for mean, count in pools for _ in range(count)]
    return [place + index * gap for index, place in enumerate(rising)]


def mark(axes: Any, marks: Sequence[Mark], colour: str, size_pt: float = FONT_PT) -> None:
    """The words of each mark to the right of the panel, clear of each other, and its line."""
    low, high = axes.get_ylim()
    gap = _LINE_HEIGHT * size_pt * (high - low) / height_pt(axes)
    rising = sorted(marks, key=lambda one: one.value)
    places = spread([one.value for one in rising], gap, low, high)
    for one, place in zip(rising, places, strict=True):
        if one.dashes is not None:
            axes.axhline(one.value, color=colour, linewidth=1.1, linestyle=one.dashes)
        axes.annotate(
            one.words,
            (one.x, one.value),
            xycoords=("axes fraction", "data"),
            xytext=(1.03, place),
            textcoords=("axes fraction", "data"),
            va="center",
            color=one.colour,
            fontsize=size_pt,
            parse_math=False,
            arrowprops={
                "arrowstyle": "-",
                "color": QUIET,
                "linewidth": 0.7,
                "shrinkA": 0,
                "relpos": (0, 0.5),  # from the left end of the words
            },
        )


def height_pt(axes: Any) -> float:
    """Height of a panel, in points."""
    return float(72 * axes.figure.get_size_inches()[1] * axes.get_position().height)
