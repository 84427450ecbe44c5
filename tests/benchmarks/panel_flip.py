"""How long a flip takes: from the click to the new numbers in a painted frame.

Run by hand, with Chromium and nothing else busy: python -m tests.benchmarks.panel_flip [appliance],
or the name of a family, of which all members follow.

A person sees a flip as instant when it is in the very next frame: 16.7 ms at 60 frames a second.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from lessonlib import family, load_appliance, panel
from lessonlib.families.members import family_files
from tests.look import chromium_page

FLIPS = 100
FRAME_MS = 1000 / 60

# A frame has been painted when a task queued from its animation callback runs: animation callbacks
# come just before the frame's style, layout and paint. The click comes at a random time within a
# frame, as a person's does, so the whole time holds a wait for the screen of up to one frame, which
# no program can save. What the panel itself costs is its script and the painting of the frame.
MEASURE = """async (flips) => {
  const button = document.querySelector('svg [role=button]');
  const said = document.querySelector('.hcp-said');
  const times = [];
  for (let flip = 0; flip < flips; flip++) {
    await new Promise((done) => setTimeout(done, 20 + Math.random() * 17));
    const before = said.textContent;
    const click = performance.now();
    button.dispatchEvent(new MouseEvent('click', { bubbles: true }));
    const shown = performance.now();
    if (said.textContent === before) throw new Error('the click changed nothing');
    const frame = await new Promise((done) => requestAnimationFrame(() => {
      const start = performance.now();
      const channel = new MessageChannel();
      channel.port1.onmessage = () => done(start);
      channel.port2.postMessage(0);
    }));
    const painted = performance.now();
    times.push([shown - click, shown - click + painted - frame, painted - click]);
  }
  return times;
}"""
WHAT = ("script", "script, layout and paint", "click to painted frame")


def main(name: str) -> None:
    with tempfile.TemporaryDirectory() as folder, chromium_page(1100, 900) as page:
        shown = family(name) if name in family_files() else panel(load_appliance(name))
        page.goto(shown.save(Path(folder) / "panel.html").as_uri())
        times = page.evaluate(MEASURE, FLIPS)
    print(f"{name}, {FLIPS} flips, ms (one frame is {FRAME_MS:.1f} ms)")
    for what, found in zip(WHAT, zip(*times, strict=True), strict=True):
        p95 = statistics.quantiles(found, n=20)[-1]
        print(f"{what:26} median {statistics.median(found):5.1f}   p95 {p95:5.1f}")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "wallpaper-steamer")
