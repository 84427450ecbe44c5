"""The live pictures: flip the switches in the drawing, read every value, watch it heat.

- `data`          what the browser gets: every setting, computed beforehand
- `widget`        the front door `panel`: the picture, and its state as traits
- `heating_data`  what the browser needs for a heating run: solved circuits, vessel, contacts
- `heating`       the front door `heating_panel`: a run that plays, state as traits
- `fault_bench_data` what every test shows with every fault, and what trouble it is
- `fault_bench_places` where its points are in the drawing
- `fault_bench`   the front door `fault_bench`: a hidden fault, two probes and a meter
- `export`        saves a panel as one HTML file, for a phone or a memory stick

In the browser, in a notebook as in a saved page:

- `panel.js`           the live picture: looks up rows
- `heating.js`         plays a heating run: state, controls, frames
- `heating_engine.js`  computes a run from event to event, as `heat_up` does; no page
- `heating_physics.js` the closed forms between two events
- `fault_bench.js`      two probes, a log, naming the fault, and the plan beside it
- `fault_bench_engine.js` what the meter shows and what that rules out; no page
- `fault_bench_words.js` what the bench says; no page
- `fault_bench_points.js` the points of its drawing; `fault_bench.css` is its look
- `heating_view.js`    shows a run, with its controls
- `heating_strip.js`   a curve, drawn as time goes on
- `drawing.js`         the drawing and what is around it, for both panels
- `panel.css`, `heating.css`  their look, light and dark; `page.html` is what a saved page holds
"""
