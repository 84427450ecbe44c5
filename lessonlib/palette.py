"""Every colour, by its meaning: for style sheets (light and dark), drawings, plots and paper.

Conductors follow IEC 60445: live brown, neutral blue, earth green-and-yellow; in the dark they are
the same hues, lighter. Nothing is said by a colour alone. Style sheets name a colour as
`var(--hc-live)`, Python as `LIGHT["live"]` or by the constants below; paper is light.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

LIGHT: dict[str, str] = {
    "ink": "#1d1d1f",
    "quiet": "#5f6368",  # less important words, axes
    "paper": "#ffffff",
    "desk": "#d8dade",  # behind a sheet of paper
    "soft": "#eceef0",  # buttons, heads of tables
    "line": "#868d95",  # frames and rules
    "shade": "#80808080",  # at an edge where there is more to scroll to
    "focus": "#1466b8",
    # conductors, by their condition
    "live": "#8a4a14",
    "neutral": "#0b5cad",
    "earth": "#1c7a31",
    "earth-stripe": "#f5d000",
    "between": "#7a2c93",
    "floating": "#5c6168",
    # warnings
    "alarm": "#b3111d",
    "caution": "#b35900",
    "caution-soft": "#fff6ea",
    # replies to an answer
    "right": "#2a8a4a",
    "wrong": "#b8651b",
    "note": "#6b7fa3",
    # plots
    "drive": "#1f4e9c",  # voltage, pressure
    "flow": "#8a4b08",  # current, power taken
    "heat": "#a11d33",  # temperature, heat
    "closed": "#c9d8ef",  # the time that a contact is closed
    "hair": "#c9cdd3",  # hairlines
}

DARK: dict[str, str] = LIGHT | {
    "ink": "#e7e9ec",
    "quiet": "#a8afb8",
    "paper": "#15181c",
    "desk": "#000000",
    "soft": "#2a3037",
    "line": "#6f7780",
    "focus": "#8cc4ff",
    "live": "#dda066",
    "neutral": "#74b3ff",
    "earth": "#5cc46f",
    "earth-stripe": "#ffe14d",
    "between": "#d493ea",
    "floating": "#a8afb8",
    "alarm": "#ff8a8f",
    "caution": "#f0a050",
    "caution-soft": "#33261a",
    "drive": "#86b4ff",
    "flow": "#e3a45c",
    "heat": "#ff8c9a",
    "closed": "#2b4266",
    "hair": "#4a525b",
}

INK, QUIET, PAPER, SHADE = (LIGHT[name] for name in ("ink", "quiet", "paper", "shade"))
RIGHT, WRONG, NOTE, CAUTION = (LIGHT[name] for name in ("right", "wrong", "note", "caution"))

PLOT = ("ink", "quiet", "paper", "drive", "flow", "heat", "closed", "hair")
"""The colours of plots."""
DRIVE, FLOW, HEAT, CLOSED, HAIR = (LIGHT[name] for name in PLOT[3:])


def declarations(theme: Mapping[str, str], *names: str) -> str:
    """`--hc-ink: #1d1d1f; ...` for the colours `names` of a theme, or for all of them."""
    return "; ".join(f"--hc-{name}: {theme[name]}" for name in names or theme)


def css_variables(selector: str, *names: str, own_paper: bool = True) -> str:
    """CSS that sets the colours `names`, or all of them, as variables on what `selector` matches,
    and `--hc-scheme` to "light" or "dark".

    On screen they are dark in a dark notebook (`data-jp-theme-light`) and, with `own_paper`, on any
    other page where the system asks for dark. In print they are light.
    """
    changed = declarations(DARK, *(name for name in names or LIGHT if LIGHT[name] != DARK[name]))
    dark = f"{{ --hc-scheme: dark; {changed} }}"
    rules = [
        f"{selector} {{ --hc-scheme: light; {declarations(LIGHT, *names)} }}",
        f'@media screen {{ [data-jp-theme-light="false"] {selector} {dark} }}',
    ]
    if own_paper:
        elsewhere = f"{selector}:not([data-jp-theme-light] *)"
        rules.append(f"@media screen and (prefers-color-scheme: dark) {{ {elsewhere} {dark} }}")
    return "\n".join(rules) + "\n"


def with_fallbacks(css: str, selector: str) -> str:
    """`css` of a drawing that takes each colour from its page, or the light one where the page sets
    none; `selector` matches the drawing."""
    names = sorted(set(re.findall(r"var\(--hc-([\w-]+)\)", css)))
    own = "; ".join(f"--c-{name}: var(--hc-{name}, {LIGHT[name]})" for name in names)
    return f"{selector} {{ {own} }}\n" + css.replace("var(--hc-", "var(--c-")


def without_variables(css: str) -> str:
    """`css` with the light colours themselves, for programs that know no variables."""
    return re.sub(r"var\(--hc-([\w-]+)\)", lambda m: LIGHT[m[1]], css)
