"""A schematic as a file, and in North American symbols."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from matplotlib.colors import to_rgb
from matplotlib.image import imread
from pypdf import PdfReader

from lessonlib.appliance.parts import Appliance, Element, Supply
from lessonlib.errors import DrawingError, SettingError
from lessonlib.palette import LIGHT
from lessonlib.schematics.schematic import Schematic, schematic
from tests.schematics.test_schematic import STEAMER, URN, groups, parsed


def test_north_american_symbols_change_the_elements_and_nothing_else() -> None:
    iec, north = (
        parsed(schematic(STEAMER, symbols=style).svg) for style in ("iec", "north american")
    )
    different = {
        one.get("data-kind")
        for one, two in zip(groups(iec, "hc-part"), groups(north, "hc-part"), strict=True)
        if ElementTree.tostring(one) != ElementTree.tostring(two)
    }
    assert different == {"element"}


def test_what_cannot_be_drawn_is_refused_with_what_can(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match=r"found symbols='ansi'.*'iec', 'north american'"):
        schematic(URN, symbols="ansi")  # type: ignore[arg-type]
    with pytest.raises(SettingError):
        schematic(URN, {"S1": "sideways"})
    with pytest.raises(DrawingError, match=r"found suffix '\.gif'.*\.svg, \.png, \.pdf"):
        schematic(URN).save(tmp_path / "urn.gif")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("suffix", [".svg", ".png", ".pdf", ".PNG"])
def test_saved_files_open_and_have_the_same_bytes_every_time(tmp_path: Path, suffix: str) -> None:
    paths = [tmp_path / f"{name}{suffix}" for name in ("one", "two")]
    for path in paths:
        schematic(URN, {"S1": "on"}).save(path)
    data, again = (path.read_bytes() for path in paths)
    assert data == again
    assert b"CreationDate" not in data  # it counts in seconds, too coarse for the check above
    if suffix == ".svg":
        assert parsed(data.decode()).get("class") == "hc-schematic"
        assert b"var(" not in data
    elif suffix == ".pdf":
        (page,) = PdfReader(paths[0]).pages
        assert "boost" in page.extract_text()
    else:
        picture = imread(paths[0], format="png")
        sizes = (float(parsed(schematic(URN).svg).get(key, "0")) for key in ("height", "width"))
        # two dots a pixel, for sharp print; the file's size is rounded down to whole dots
        assert picture.shape[:2] == pytest.approx([2 * size for size in sizes], abs=1.5)


def test_png_shows_wires_in_the_colours_of_their_conditions(tmp_path: Path) -> None:
    def count(drawing: Schematic, colour: str) -> int:
        drawing.save(tmp_path / "picture.png")
        pixels = imread(tmp_path / "picture.png")[..., :3]
        return int((abs(pixels - to_rgb(LIGHT[colour])).sum(axis=-1) < 0.02).sum())

    off, on = schematic(STEAMER, {"S1": "off"}), schematic(STEAMER, {"S1": "on"})
    assert 0 < count(off, "live") < count(on, "live")
    assert 0 < count(on, "neutral") < count(off, "neutral")
    leaky = Appliance("", "", Supply(230.0), (Element("E1", ("L", "PE"), resistance_ohm=50.0),))
    assert count(schematic(leaky), "earth") > 0
    assert count(off, "earth-stripe") == 0 < count(schematic(leaky), "earth-stripe")
    assert count(off, "alarm") == 0 < count(schematic(URN, fault="E1 shorted"), "alarm")
