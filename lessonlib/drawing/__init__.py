"""Appliance to schematic: nodes are vertical bars, parts are rungs between them, laid out by itself.

- `text`       how wide text is, and how long names are cut
- `rungs`      an appliance as rungs: one a part, one a contact
- `order`      which bar stands left of which, and in which column
- `sweep`      the rungs from top to bottom, without crossings where there can be none
- `rows`       which rung shares a row with which, so that paths are straight
- `links`      the dashed line that joins the contacts of one switch
- `symbols`    the symbols of the parts, drawn by schemdraw
- `layout`     all of it as one frozen value: bars, rungs, links, places for text
- `captions`   what is written beside parts and nodes, and what a screen reader says
- `svg`        layout and readings as SVG, every part and node a named group
- `raster`     the same drawing by matplotlib, for PNG and PDF
- `schematic`  the front door
"""
