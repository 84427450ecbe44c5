"""The floor steamer through seven generations: what changed is written down here by hand.

Worked out on paper from the seven wirings: 700 W and 1100 W at 230 V, later one element of 1800 W.
"""

import pytest

from lessonlib import family

HALF_OF_1800 = 900

# By member, the changes with what each sentence must say.
EXPECTED = [
    [],
    [
        ("switch", "S1 has 3 positions (low, off and high) instead of 2 (low and high)"),
        ("settings", "Off is new, at S1 off."),
        ("settings", "1100 W is new, at S1 high."),
        ("settings", "1800 W (700 W + 1100 W) is gone"),
        ("off", "It can be switched off now, and then E1 and E2 are live with the plug reversed."),
        ("stuck", "leaves up to 1100 W on at off"),
    ],
    [("added", "A lamp H1 (0.6 W) is new, straight across the supply.")],
    [
        ("switch", "S1 has 2 positions (off and on) instead of 3 (low, off and high)"),
        ("added", "A switch S2 (low, high) is new, in series with E2."),
        ("settings", "1800 W (700 W + 1100 W) is back, at S1 on, S2 high: “no off” had it last."),
        ("settings", "1100 W is gone"),
        # S1 stuck, and S2 stands at high: both elements
        ("stuck", "leaves up to 1800 W on at off; before, 1100 W"),
    ],
    [
        ("added", "A thermal fuse F1 (184 °C) now sits in the common return."),
        ("stuck", "the thermal fuse F1 can still end the heating"),
    ],
    [
        ("removed", "The heating element E1 (700 W) is gone."),
        ("replaced", "The heating element E1 (before, E2) is now 1800 W; it was 1100 W."),
        ("added", "A diode D1 (6 A) now bridges S2."),
        ("settings", "1800 W stays, but from one element instead of 700 W + 1100 W."),
        ("settings", "900 W is new, at S1 on, S2 low, half of 1800 W."),
        ("settings", "700 W is gone"),
    ],
    [
        ("switch", "The switch S1 opens both conductors."),
        ("added", "A pressure switch P1 (0.5 bar) now sits in the common line."),
        ("off", "Off is safer now: no element is live, either way of the plug."),
        ("stuck", "no longer heats at off; before, 1800 W"),
        ("stuck", "the pressure switch P1 or the thermal fuse F1 can still end the heating"),
        ("stuck", "If one of these sticks, the other is still there."),
    ],
]


@pytest.fixture(scope="module")
def steamers():
    return family("floor-steamer")


@pytest.mark.parametrize("place", range(7))
def test_the_changes_are_those_worked_out_by_hand(steamers, place):
    found = steamers.changes[place]
    assert [change.kind for change in found] == [kind for kind, _ in EXPECTED[place]]
    for change, (_, words) in zip(found, EXPECTED[place], strict=True):
        assert words in change.words


def test_the_settings_of_all_seven_are_matched_by_what_they_do(steamers):
    does = {row.powers and tuple(map(round, row.powers)): row.by for row in steamers.settings.does}
    assert set(does) == {(), (700,), (1100,), (700, 1100), (1800,), (HALF_OF_1800,)}
    has = {powers: [bool(by) for by in row] for powers, row in does.items()}
    assert has[()] == [False] + [True] * 6
    assert has[(700, 1100)] == [True, False, False, True, True, False, False]
    assert has[(HALF_OF_1800,)] == [False] * 5 + [True, True]


def test_what_several_settings_do_is_said_once(steamers):
    cells = dict(zip(steamers.settings.header, steamers.settings.shown_rows[0], strict=True))
    assert cells["no off"] == "not possible"
    assert cells["two switches"] == "S1 off"
