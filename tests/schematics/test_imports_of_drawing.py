"""Drawing loads no more than it needs, and leaves matplotlib as it was."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

CODE = """
import pathlib, sys, tempfile
from lessonlib import load_appliance, schematic
drawn = schematic(load_appliance("tea-urn"))
drawn.svg
print([name for name in ("reportlab",) if name in sys.modules])
import matplotlib
def kept():
    # reading the setting "backend" would load pyplot
    return {key: matplotlib.rcParams[key] for key in matplotlib.rcParams if key != "backend"}
before = kept()
with tempfile.TemporaryDirectory() as folder:
    drawn.save(pathlib.Path(folder) / "a.png")
print(kept() == before)
"""


def test_svg_needs_no_pdf_library_and_saving_leaves_matplotlib_as_it_was(
    checkout: Path,
) -> None:
    command = [sys.executable, "-W", "error", "-c", CODE]
    done = subprocess.run(command, cwd=checkout, capture_output=True, text=True, check=True)
    assert done.stdout.split("\n")[:2] == ["[]", "True"]
