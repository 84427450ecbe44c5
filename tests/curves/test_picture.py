"""What every picture keeps to: same bytes, themed colours, a learner's settings, labels apart."""

import re
import subprocess
import sys

import matplotlib
import pytest

from lessonlib import heat_up, load_appliance, solve, waveform
from lessonlib.curves.heating import heating_curve
from lessonlib.curves.picture import spread
from lessonlib.curves.waves import waves
from lessonlib.palette import DARK

RUN = heat_up(load_appliance("garment-steamer"), {"S1": "on"}, minutes=60)
NOW = solve(load_appliance("wax-melter"), {"S1": "on", "S2": "half"})
DRAW = {
    "waves": lambda: waves(waveform(NOW, "E1")),
    "heating_curve": lambda: heating_curve(RUN),
}


def test_the_bytes_are_the_same_in_another_process():
    code = (
        "from tests.curves.test_picture import DRAW; [print(draw().svg) for draw in DRAW.values()]"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert done.stdout.decode() == "".join(f"{draw().svg}\n" for draw in DRAW.values())
    assert "<dc:date>" not in done.stdout.decode()


@pytest.mark.parametrize("draw", DRAW.values(), ids=DRAW)
def test_drawing_leaves_matplotlibs_own_settings_alone(draw):
    chosen = {"font.size": 7, "hatch.linewidth": 3, "svg.fonttype": "path"}  # by a learner
    with matplotlib.rc_context(chosen):
        before = dict(matplotlib.rcParams)
        draw()
        assert dict(matplotlib.rcParams) == before


def test_a_notebook_gets_a_named_picture_in_the_colours_of_its_theme():
    picture = waves(waveform(NOW, "E1"))
    bundle = picture._repr_mimebundle_()
    assert bundle["text/plain"].startswith("E1 over 20 ms")
    style, svg = bundle["text/html"].split("</style>", 1)
    assert f'role="img" aria-label="{bundle["text/plain"]}"' in svg
    assert re.findall("#[0-9a-f]{6}", svg) == []
    used = set(re.findall(r"var\((--hc-\w+)", svg))
    assert {"--hc-ink", "--hc-drive", "--hc-flow", "--hc-heat"} <= used
    assert used <= set(re.findall(r"(--hc-\w+):", style))
    assert f"--hc-drive: {DARK['drive']}" in style.split('[data-jp-theme-light="false"]')[1]


def test_labels_that_would_meet_are_moved_apart_as_little_as_can_be():
    assert spread([1, 10, 20], 5, 0, 30) == [1, 10, 20]
    assert spread([10, 10], 4, 0, 30) == [8, 12]
    assert spread([0, 1, 30], 5, 0, 30) == [0, 5, 30]
    assert spread([10, 29, 30], 4, 0, 30) == [10, 26, 30]
