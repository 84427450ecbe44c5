"""Pictures to look at: every lesson from top to bottom in JupyterLab, and the README's panel.

Run by hand:

    python -m tests.look FOLDER [--theme dark] [--width 420] [LESSON ...]
    python -m tests.look --readme
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Iterator
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


def set_up(home: Path, theme: str) -> None:
    """JupyterLab settings: the theme, and every cell on the page at once."""
    wanted = {
        "apputils-extension/themes": {"theme": f"JupyterLab {theme.title()}"},
        "notebook-extension/tracker": {"windowingMode": "none"},
    }
    for name, values in wanted.items():
        path = home / ".jupyter/lab/user-settings/@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(values), "utf-8")


def lesson_pictures(folder: Path, lessons: list[str], theme: str, width: int) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        set_up(home, theme)
        with running_lab(CHECKOUT, home) as (address, copy), chromium_page(width, 1000) as page:
            for lesson_name in lessons or sorted(path.name for path in copy.glob("*.ipynb")):
                lesson = Lesson(page, address, copy)
                lesson.open(lesson_name, by_address=True)
                page.keyboard.press("Control+b")  # the side bar takes half of a narrow page
                print(lesson_name, lesson.run_all() or "no errors")
                scroller = page.locator(".jp-WindowedPanel-outer").first
                top, step, number = 0, scroller.evaluate("e => e.clientHeight") - OVERLAP_PX, 0
                while top < scroller.evaluate("e => e.scrollHeight"):
                    scroller.evaluate("(e, top) => e.scrollTo(0, top)", top)
                    frames(page, 10)
                    stem = f"{Path(lesson_name).stem}-{theme}-{width}-{number:02d}.png"
                    page.screenshot(path=folder / stem)
                    top, number = top + step, number + 1


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path, help="where the pictures go")
    parser.add_argument("lessons", nargs="*", help="file names of lessons; all when left out")
    parser.add_argument("--theme", choices=["light", "dark"], default="light")
    parser.add_argument("--width", type=int, default=1200)
    parser.add_argument("--readme", action="store_true", help="make the README's picture anew")
    options = parser.parse_intermixed_args()
    if options.readme:
        readme_picture()
    elif options.folder is None:
        parser.error("name a folder for the pictures, or --readme")
    else:
        lesson_pictures(options.folder, options.lessons, options.theme, options.width)


if __name__ == "__main__":
    main()
