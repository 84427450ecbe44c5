"""Drawing as SVG needs neither matplotlib nor networkx, and leaves schemdraw alone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def fresh(code: str, checkout: Path) -> str:
    """What a new Python process prints that runs `code`."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=checkout,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


DRAW = (
    "import sys\nfrom lessonlib import load_appliance, schematic\n"
    "svg = schematic(load_appliance('tea-urn')).svg\n"
)


def test_svg_is_drawn_without_matplotlib_and_networkx(checkout: Path) -> None:
    heavy = "print([name for name in ('matplotlib', 'networkx') if name in sys.modules])"
    assert fresh(DRAW + heavy, checkout) == "[]"


def test_schemdraw_imported_later_is_whole(checkout: Path) -> None:
    code = DRAW + "import schemdraw\nprint(schemdraw.schemdraw.mplFigure is not None)"
    assert fresh(code, checkout) == "True"


def test_settings_of_schemdraw_do_not_change_the_drawing(checkout: Path) -> None:
    before = fresh(DRAW + "print(svg)", checkout)
    own = "import schemdraw\nschemdraw.use('svg')\nschemdraw.theme('dark')\n"
    own += "schemdraw.config(lw=9, color='red', fill='pink')\n"
    assert fresh(own + DRAW + "print(svg)", checkout) == before


def test_saving_leaves_matplotlib_as_it_was(checkout: Path) -> None:
    code = (
        "import sys, matplotlib\n"
        # reading the setting "backend" would load pyplot
        "def kept():\n"
        "    return {k: matplotlib.rcParams[k] for k in matplotlib.rcParams if k != 'backend'}\n"
        "before = kept()\n"
        "from lessonlib import load_appliance, schematic\nimport tempfile, pathlib\n"
        "with tempfile.TemporaryDirectory() as folder:\n"
        "    schematic(load_appliance('tea-urn')).save(pathlib.Path(folder) / 'a.png')\n"
        "print(kept() == before, 'matplotlib.pyplot' in sys.modules)\n"
    )
    assert fresh(code, checkout) == "True False"
