"""Appliance to schematic: nodes are vertical bars, parts are rungs, laid out by itself.

First the circuit on a grid, then in pixels, then as a picture:

- `text`       how wide text is, and how long names are cut
- `symbols`    the symbols of the parts as lines and circles, and the room that each takes
- `rungs`      an appliance as rungs: one a part, one a contact
- `order`      which bar stands left of which, and in which column
- `sweep`      the rungs from top to bottom, without crossings where there need be none
- `rows`       which rung shares a row with which, so that paths are straight
- `poles`      which contacts of a switch are drawn as one blade
- `links`      which way the dashed line goes that joins the contacts of one switch
- `grid`       all of this together: columns, rows, links
- `captions`   what is written beside parts and nodes, and what a screen reader says
- `places`     what a schematic in pixels consists of
- `spacing`    how far apart columns and rows must be
- `layout`     appliance to places: `layout(appliance)`
- `look`       how lines and words look, by kind and condition; `schematic.css` has the rest
- `painter`    goes through a layout once, and tells a pen what to draw
- `svg`        the pen that writes SVG, every part and node a named group
- `ink_pen`    a pen for light paper; `sheet/ink.py` has one for PDF pages
- `raster`     that pen by matplotlib, for PNG and PDF
- `schematic`  the front door: `schematic(appliance, setting)` and `live_svg(appliance)`
"""
