"""The live pictures: flip the switches in the drawing, read every value, watch it heat.

- `data`          pure: what the browser gets, every setting computed beforehand
- `widget`        the front door `panel`: the picture, plain controls beside it, state as traits
- `heating_data`  pure: what a heating run needs of the solver and of the property library
- `heating`       the front door `heating_panel`: a run that plays, state as traits
- `export`        one self-contained HTML file of a panel, for a phone or a stick
- `sources`       the browser's files as texts; a widget's module is several, one after the other

In the browser, the same in a notebook and in the export:

- `drawing.js`         the drawing and the plain controls, shared by both
- `panel.js`           the picture: looks rows up
- `heating_engine.js`  the run from event to event, as `heat_up` has it; pure, no page
- `heating_strip.js`   a curve, drawn as time goes on
- `heating_view.js`    what a run shows, and the controls
- `heating.js`         plays a run: its model, hands and frames
- `panel.css`, `heating.css`  their look, light and dark; `page.html` is the frame of the export
"""
