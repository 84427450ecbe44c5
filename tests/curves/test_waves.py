"""Pictures of waveforms: the same bytes every time, a finding in words, marks that are true."""

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from lessonlib import load_appliance, solve, waveform
from lessonlib.curves.waves import spectrum, waves
from lessonlib.errors import DrawingError

MELTER = load_appliance("wax-melter")
HALF = solve(MELTER, {"S1": "on", "S2": "half"})
FULL = solve(MELTER, {"S1": "on", "S2": "full"})


def words(picture) -> list[str]:
    return [text.strip() for text in ET.fromstring(picture.svg).itertext() if text.strip()]


def test_the_finding_names_every_mark_that_the_picture_shows():
    picture = waves(waveform(HALF, "E1"))
    assert repr(picture) == (
        "E1 over 20 ms: voltage peak 325 V, r.m.s. 163 V, mean 104 V; current peak 4.92 A, "
        "r.m.s. 2.46 A, mean 1.57 A; power peak 1600 W, mean 400 W"
    )
    shown = words(picture)
    marks = re.findall(r"(?:peak|r\.m\.s\.|mean) [^,;]+", picture.finding)
    assert len(marks) == 8
    assert [mark for mark in marks if mark not in shown] == []


def test_axes_carry_units_and_the_prediction_its_name():
    picture = waves(waveform(HALF, "E1"), predicted=waveform(FULL, "E1"), predicted_name="no diode")
    shown = words(picture)
    assert {"voltage, V", "current, A", "power, W", "time, ms"} <= set(shown)
    assert shown.count("no diode") == 3
    assert "no diode" not in words(waves(waveform(HALF, "E1")))


def test_a_wave_below_zero_keeps_its_rms_in_the_picture():
    assert "r.m.s. 163 V" in words(waves(waveform(HALF, "D1"), ["voltage"]))
    root = ET.fromstring(waves(waveform(HALF, "D1"), ["voltage"]).svg)
    height = float(root.get("viewBox").split()[3])
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        found = re.search(r"translate\(\S+ (\S+?)\)", text.get("transform", ""))
        assert 0 < float(found[1] if found else text.get("y")) < height


def test_the_words_of_marks_stay_clear_of_each_other():
    root = ET.fromstring(waves(waveform(HALF, "E1"), ["voltage"], predicted=waveform(FULL)).svg)
    places = []
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        if re.match(r"(peak|r\.m\.s\.|mean) ", "".join(text.itertext())):
            found = re.search(r"translate\(\S+ (\S+?)\)", text.get("transform", ""))
            places.append(float(found[1] if found else text.get("y")))
    places.sort()
    assert len(places) == 3
    # letters are 10.5 units high
    assert min(high - low for low, high in pairwise(places)) > 10.5


def test_bars_are_labelled_with_their_values():
    picture = spectrum(waveform(HALF, "E1").voltage, "Voltage of E1", range(5))
    assert repr(picture) == (
        "Voltage of E1: 104 V d.c., 115 V at 50 Hz, 48.8 V at 100 Hz, 9.76 V at 200 Hz; "
        "r.m.s. of all together 163 V"
    )
    assert {"d.c.", "50", "104 V", "115 V", "48.8 V", "frequency, Hz"} <= set(words(picture))


def test_a_notebook_gets_a_named_picture_on_paper_of_its_own():
    bundle = waves(waveform(HALF, "E1"))._repr_mimebundle_()
    assert bundle["text/plain"].startswith("E1 over 20 ms")
    assert f'role="img" aria-label="{bundle["text/plain"]}"' in bundle["text/html"]
    paper = re.search(r"background: [^;]*scroll, (#\w+);", bundle["text/html"])
    assert paper is not None
    assert paper[1] == "#ffffff"


def test_the_bytes_are_the_same_in_another_process():
    code = (
        "from lessonlib import load_appliance, solve, waveform\n"
        "from lessonlib.curves.waves import waves\n"
        "now = solve(load_appliance('wax-melter'), {'S1': 'on', 'S2': 'half'})\n"
        "print(waves(waveform(now, 'E1')).svg, end='')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert done.stdout.decode() == waves(waveform(HALF, "E1")).svg
    assert "<dc:date>" not in done.stdout.decode()


def test_drawing_leaves_matplotlibs_own_settings_alone():
    import matplotlib

    with matplotlib.rc_context({"font.size": 7, "svg.fonttype": "path"}):  # as a learner chose
        before = dict(matplotlib.rcParams)
        waves(waveform(HALF, "E1"), ["power"])
        assert dict(matplotlib.rcParams) == before


@pytest.mark.parametrize("quantities", [["ohms"], []])
def test_an_unknown_quantity_is_refused(quantities):
    with pytest.raises(DrawingError, match="voltage, current, power"):
        waves(waveform(HALF, "E1"), quantities)
