"""The words of a picture as they stand in its SVG, with the room they take."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

SVG = "{http://www.w3.org/2000/svg}"


def words(picture) -> list[str]:
    root = ET.fromstring(picture.svg)
    return ["".join(text.itertext()).strip() for text in root.iter(f"{SVG}text")]


def boxes(picture):
    """The words of a picture with left, top, right and bottom, by the font's own measures."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    found = []
    for text in ET.fromstring(picture.svg).iter(f"{SVG}text"):
        said = "".join(text.itertext())
        size = float(re.search(r"font-size: ([\d.]+)px", text.get("style"))[1])
        wide, high, below = text_to_path.get_text_width_height_descent(
            said, FontProperties(family="DejaVu Sans", size=size), ismath=False
        )
        anchor = re.search(r"text-anchor: (\w+)", text.get("style"))[1]
        turned, x, y = map(
            float, re.search(r"rotate\((\S+) (\S+) (\S+)\)", text.get("transform")).groups()
        )
        before = wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        box = (x - before, y - (high - below), x - before + wide, y + below)
        if turned == -90:
            box = (x - (high - below), y - before, x + below, y + before)
        found.append((said, box))
    return found


def overlaps(found) -> list[tuple[str, str]]:
    return [
        (one, two)
        for (one, a), (two, b) in combinations(found, 2)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


def outside(picture, found) -> list[str]:
    left, top, wide, high = map(float, ET.fromstring(picture.svg).get("viewBox").split())
    return [
        said
        for said, box in found
        if box[0] < left or box[1] < top or box[2] > left + wide or box[3] > top + high
    ]


def crossed(picture, found) -> list[str]:
    """The words that a drawn line runs through; hairlines, under 1 pt, do not count."""
    points = [
        point
        for path in ET.fromstring(picture.svg).iter(f"{SVG}path")
        if path.get("d")
        and "fill: none" in (look := path.get("style", ""))
        and float(re.search(r"stroke-width: ([\d.]+)|$", look)[1] or 1) >= 1
        for point in _points(path.get("d"))
    ]
    return [
        said
        for said, (left, top, right, bottom) in found
        if any(left < x < right and top < y < bottom for x, y in points)
    ]


def _points(path):
    """Points along a path, 1 pt apart or less."""
    corners = [
        (draws, float(x), float(y)) for draws, x, y in re.findall(r"([ML]) (\S+) (\S+)", path)
    ]
    for (_, x1, y1), (draws, x2, y2) in pairwise(corners):
        if draws == "M":
            continue
        count = int(max(abs(x2 - x1), abs(y2 - y1))) + 1
        for step in range(count + 1):
            share = step / count
            yield x1 + share * (x2 - x1), y1 + share * (y2 - y1)
