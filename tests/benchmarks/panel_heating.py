"""Whether a heating run plays at 60 frames a second, and what its frames cost.

Run by hand, with Chromium and nothing else busy: python -m tests.benchmarks.panel_heating [NAME]

A run of the appliance plays for ten seconds at the highest speed: five minutes of it go by in each
second. Frame intervals are those of animation callbacks of the page's own; the script's cost is the
time within the panel's animation callback, which moves the run on and writes what has changed;
the whole cost is until the frame is laid out and painted.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from lessonlib import load_appliance
from lessonlib.panels.heating import heating_panel
from lessonlib.panels.heating_data import SPEEDS
from tests.look import chromium_page

SECONDS = 10
FRAME_MS = 1000 / 60

# The panel's callback is wrapped before the page's script runs. A frame has been painted when a
# task queued from its animation callback runs.
WRAP = """
window.intervals = [];
window.scripts = [];
window.whole = [];
const ask = window.requestAnimationFrame.bind(window);
let before = null;
window.requestAnimationFrame = (done) => ask((now) => {
  const start = performance.now();
  done(now);
  const end = performance.now();
  if (before !== null) intervals.push(now - before);
  before = now;
  scripts.push(end - start);
  const channel = new MessageChannel();
  channel.port1.onmessage = () => whole.push(performance.now() - start);
  channel.port2.postMessage(0);
});
"""
WHAT = (
    ("between frames", "intervals"),
    ("script", "scripts"),
    ("script, layout and paint", "whole"),
)


def main(name: str) -> None:
    appliance = load_appliance(name)
    on = {part.name: part.positions[-1] for part in appliance.switches}
    live = heating_panel(appliance, on, minutes=SECONDS * SPEEDS[-1], speed=SPEEDS[-1])
    with tempfile.TemporaryDirectory() as folder, chromium_page(1100, 900) as page:
        page.add_init_script(WRAP)
        page.goto(live.save(Path(folder) / "run.html").as_uri())
        page.get_by_role("button", name="Start", exact=True).click()
        page.wait_for_timeout(SECONDS * 1000)
        found = {key: page.evaluate(key) for _, key in WHAT}
        events = page.locator(".hcp-happened li").count()
    frames = len(found["scripts"])
    print(f"{name}, {frames} frames, {events} events listed, ms (one frame is {FRAME_MS:.1f} ms)")
    for what, key in WHAT:
        p95 = statistics.quantiles(found[key], n=20)[-1]
        print(f"{what:26} median {statistics.median(found[key]):5.2f}   p95 {p95:5.2f}")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "garment-steamer")
