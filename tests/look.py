"""Pictures to look at: every lesson from top to bottom in JupyterLab, on a phone, a tablet and a
screen, light and dark; and the README's panel.

Run by hand:

    python -m tests.look FOLDER [--theme dark] [--width 420] [LESSON ...]
    python -m tests.look --readme
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from lessonlib import load_appliance, panel
from tests.browser.lab import Lesson, running_lab
from tests.browser.waiting import frames
from tests.conftest import CHECKOUT, CHROMIUM_FLAGS, find_chromium

README_PICTURE = CHECKOUT / "workbook" / "pictures" / "panel.png"
OVERLAP_PX = 40
HEIGHT_PX = 1000
THEMES = ("light", "dark")
WIDTHS = (1280, 768, 420)
WIDER = "e => e.scrollWidth - e.clientWidth"


@contextmanager
def chromium_page(width: int, height: int, scale: float = 1) -> Iterator[Any]:
    path = find_chromium()
    if path is None:
        sys.exit("no Chromium found: install chromium, or set HEATER_CHROMIUM to its path")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_FLAGS))
        size = {"width": width, "height": height}
        yield browser.new_page(viewport=size, device_scale_factor=scale)
        browser.close()


def readme_picture() -> None:
    """The panel of the towel rail at low, as a saved page shows it."""
    with tempfile.TemporaryDirectory() as folder, chromium_page(1000, 900, scale=1.5) as page:
        rail = load_appliance("towel-rail")
        page.goto(panel(rail, {"S1": "low"}).save(Path(folder) / "panel.html").as_uri())
        page.locator(".hcp").screenshot(path=README_PICTURE)
    print(README_PICTURE)


def set_up(home: Path) -> None:
    """JupyterLab settings: every cell on the page at once."""
    name = "notebook-extension/tracker.jupyterlab-settings"
    path = home / ".jupyter/lab/user-settings/@jupyterlab" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps({"windowingMode": "none"}), "utf-8")


def lesson_pictures(
    folder: Path, lessons: list[str], themes: Sequence[str], widths: Sequence[int]
) -> None:
    """Each lesson is run once; then its page takes on each theme and each width."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        set_up(home)
        wide = max(WIDTHS)
        with running_lab(CHECKOUT, home) as (address, copy), chromium_page(wide, HEIGHT_PX) as page:
            for lesson_name in lessons or sorted(path.name for path in copy.glob("*.ipynb")):
                lesson = Lesson(page, address, copy)
                lesson.open(lesson_name, by_address=True)
                print(lesson_name, lesson.run_all() or "no errors")
                if page.locator("#jp-left-stack").is_visible():
                    page.keyboard.press("Control+b")  # it takes half of a narrow page
                for theme in themes:
                    page.set_viewport_size({"width": wide, "height": HEIGHT_PX})
                    lesson.turn_to(theme)
                    for width in widths:
                        page.set_viewport_size({"width": width, "height": HEIGHT_PX})
                        from_top_to_bottom(page, folder / f"{lesson.file.stem}-{theme}-{width}")


def from_top_to_bottom(page: Any, stem: Path) -> None:
    """Take a picture of each screenful, and say what is wider than the page."""
    frames(page, 10)
    scroller = page.locator(".jp-WindowedPanel-outer").first
    if wider := scroller.evaluate(WIDER):
        print(f"{stem.name}: wider than its window by {wider} px")
    top, step, number = 0, scroller.evaluate("e => e.clientHeight") - OVERLAP_PX, 0
    while top < scroller.evaluate("e => e.scrollHeight"):
        scroller.evaluate("(e, top) => e.scrollTo(0, top)", top)
        frames(page, 5)
        page.screenshot(path=f"{stem}-{number:02d}.png")
        top, number = top + step, number + 1


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path, help="where the pictures go")
    parser.add_argument("lessons", nargs="*", help="file names of lessons; all when left out")
    parser.add_argument("--theme", choices=THEMES, help="both when left out")
    parser.add_argument("--width", type=int, help=f"px; {WIDTHS} when left out")
    parser.add_argument("--readme", action="store_true", help="make the README's picture anew")
    options = parser.parse_intermixed_args()
    if options.readme:
        readme_picture()
    elif options.folder is None:
        parser.error("name a folder for the pictures, or --readme")
    else:
        themes = [options.theme] if options.theme else THEMES
        widths = [options.width] if options.width else WIDTHS
        lesson_pictures(options.folder, options.lessons, themes, widths)


if __name__ == "__main__":
    main()
