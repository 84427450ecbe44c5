"""The live pictures: flip the switches in the drawing, read every value, watch it heat.

- `data`          pure: what the browser gets, every setting computed beforehand
- `widget`        the front door `panel`: the picture, plain controls beside it, state as traits
- `heating_data`  pure: what a heating run needs of the solver and of the property library
- `heating`       the front door `heating_panel`: a run that plays, state as traits
- `export`        one self-contained HTML file of a panel, for a phone or a stick

In the browser, the same in a notebook and in the export:

- `panel.js`           the picture: looks rows up
- `heating.js`         plays a run: its model, hands and frames
- `heating_engine.js`  the run from event to event, as `heat_up` has it; pure, no page
- `heating_view.js`    what a run shows, and the controls
- `heating_strip.js`   a curve, drawn as time goes on
- `drawing.js`         the drawing and what stands around it, shared by both
- `panel.css`, `heating.css`  their look, light and dark; `page.html` is the frame of the export
"""
