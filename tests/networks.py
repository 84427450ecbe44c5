"""Small appliances for tests: built part by part, and drawn at random."""

import random

from hypothesis import strategies as st

from lessonlib import read_appliance
from lessonlib.appliance.parts import (
    Appliance,
    Contact,
    Diode,
    Element,
    Lamp,
    Link,
    Part,
    Supply,
    Switch,
    ThermalFuse,
)


def rig(parts: str, volts: float = 230, reversible: bool = False) -> Appliance:
    """An appliance of these parts, each the text that one of the next functions gives."""
    plug = "reversible_plug = true\n" if reversible else ""
    return read_appliance(f'title = "Rig"\n[supply]\nvoltage_V = {volts}\n{plug}{parts}')


def element(name: str, first: str, second: str, ohms: float = 100) -> str:
    return _part("element", name, first, second, f"resistance_ohm = {ohms}")


def link(name: str, first: str, second: str, ohms: float) -> str:
    return _part("link", name, first, second, f"resistance_ohm = {ohms}")


def diode(name: str, first: str, second: str, drop: float = 0) -> str:
    return _part("diode", name, first, second, f"forward_drop_V = {drop}")


def _part(kind: str, name: str, first: str, second: str, line: str) -> str:
    return f'[[{kind}]]\nname = "{name}"\nbetween = ["{first}", "{second}"]\n{line}\n'


def contact(name: str, *pairs: tuple[str, str]) -> str:
    """A switch with positions off and on, and a contact for each pair that is closed at on."""
    listed = ", ".join(f'{{ between = ["{a}", "{b}"], closed_in = ["on"] }}' for a, b in pairs)
    return f'[[switch]]\nname = "{name}"\npositions = ["off", "on"]\ncontacts = [{listed}]\n'


def random_appliance(
    rng: random.Random, *, diodes: int = 0, switches: int = 2, links: int = 0, earth: bool = False
) -> Appliance:
    """A random network: up to eight nodes, resistances from 10 ohm to 10 kilohm, links below.

    `links` more links are anything from 1 milliohm to 10 megohm; with `earth`, PE is a node too.
    """
    nodes = ["L", "N", *(f"n{number}" for number in range(rng.randint(1, 6)))]
    if earth:
        nodes.append("PE")

    def ends() -> tuple[str, str]:
        first, second = rng.sample(nodes, 2)
        return first, second

    parts: list[Part] = [
        Element(f"E{number}", ends(), resistance_ohm=10 ** rng.uniform(1, 4))
        for number in range(rng.randint(2, 7))
    ]
    if rng.random() < 0.5:
        parts.append(Lamp("H1", ends(), resistance_ohm=10 ** rng.uniform(4, 6)))
    if rng.random() < 0.3:
        parts.append(Link("W1", ends(), resistance_ohm=10 ** rng.uniform(-2, 0)))
    if rng.random() < 0.3:
        parts.append(ThermalFuse("F1", ends(), opens_at_C=150))
    for number in range(diodes):
        drop = rng.choice((0.0, 0.0, 0.7, 1.1, 20.0))
        parts.append(Diode(f"D{number}", ends(), forward_drop_V=drop))
    for number in range(switches):
        contacts = tuple(
            Contact(ends(), (rng.choice(("a", "b")),)) for _ in range(rng.randint(1, 2))
        )
        parts.append(Switch(f"S{number}", ("a", "b"), contacts, "a"))
    for number in range(links):
        parts.append(Link(f"R{number}", ends(), resistance_ohm=10 ** rng.uniform(-3, 7)))
    return Appliance("random network", "", Supply(230.0), tuple(parts))


def appliances(
    diodes: int = 0, links: int = 0, earth: bool = False
) -> st.SearchStrategy[Appliance]:
    """Hypothesis strategy over `random_appliance` with up to `diodes` diodes and `links` links."""
    return st.builds(
        lambda seed, some, more: random_appliance(
            random.Random(seed), diodes=some, links=more, earth=earth
        ),
        st.integers(0, 2**32),
        st.integers(0, diodes),
        st.integers(0, links),
    )
