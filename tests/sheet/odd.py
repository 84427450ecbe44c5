"""Appliances that strain a sheet."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from lessonlib import load_appliance
from lessonlib.appliance.bundled import appliance_names
from lessonlib.appliance.parts import Appliance
from tests.networks import contact, element, rig


def _element(name: str, first: str, second: str, power_W: int = 100) -> str:
    return element(name, first, second, 230**2 / power_W)


def _switch(name: str, positions: list[str], contacts: str) -> str:
    listed = ", ".join(f'"{position}"' for position in positions)
    return f'[[switch]]\nname = "{name}"\npositions = [{listed}]\ncontacts = [{contacts}]\n'


def many_positions() -> Appliance:
    """One rotary switch with nine positions, seven of them with an element of its own."""
    steps = [f"step {number}" for number in range(1, 8)]
    contacts = ", ".join(
        f'{{ between = ["L", "n{number}"], closed_in = ["{step}"] }}'
        for number, step in enumerate(steps, 1)
    )
    elements = "".join(_element(f"E{n}", f"n{n}", "N", 100 * n) for n in range(1, 8))
    switch = _switch("S1", ["off", *steps, "wash"], contacts)
    return rig(switch + elements, reversible=True)


def markup() -> Appliance:
    """Markup and very long words in title, purpose, names and positions."""
    contact = '{ between = ["L", "<i>"], closed_in = ["]]>&amp;"] }'
    switch = _switch("<S&1>", ["off", "]]>&amp;"], contact)
    return replace(
        rig(switch + _element("E</td>1", "<i>", "N"), reversible=True),
        title="<script>alert(1)</script> & <b>bold</b> $style " + "Rechaud" * 12,
        purpose=("a < b & c > d, " * 12).strip(),
    )


def short_in_a_setting() -> Appliance:
    """A switch that joins line and neutral in one position, and starts there."""
    contacts = (
        '{ between = ["L", "a"], closed_in = ["on"] }, {between = ["L", "N"], closed_in = ["x"]}'
    )
    switch = _switch("S1", ["x", "on"], contacts)
    return rig(switch + _element("E1", "a", "N"), reversible=True)


def earthed_element() -> Appliance:
    """An element to earth: with the plug reversed it draws something else."""
    parts = _element("E1", "L", "PE") + _element("E2", "L", "N", 200)
    return rig(parts, reversible=True)


def diode_beside() -> Appliance:
    """An element behind a diode that nothing bridges, and one beside it."""
    diode = '[[diode]]\nname = "D1"\nbetween = ["L", "half"]\nrated_A = 3\n'
    parts = diode + _element("E1", "half", "N", 800) + _element("E2", "L", "N", 300)
    return rig(parts, reversible=True)


def many_settings(switches: int = 5) -> Appliance:
    """`switches` switches of two positions, each with an element."""
    parts = "".join(
        contact(f"S{n}", ("L", f"n{n}")) + _element(f"E{n}", f"n{n}", "N") for n in range(switches)
    )
    return rig(parts, reversible=True)


ODD = {
    "many positions": many_positions,
    "markup": markup,
    "short": short_in_a_setting,
    "earthed": earthed_element,
    "diode": diode_beside,
    "many settings": many_settings,
}


@lru_cache(maxsize=1)
def every() -> dict[str, Appliance]:
    """Every bundled appliance and every odd one, by name."""
    bundled = {name: load_appliance(name) for name in appliance_names()}
    return bundled | {name: make() for name, make in ODD.items()}
