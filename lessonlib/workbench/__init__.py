"""Describe your own appliance, and find out from your own meter readings what is wrong with it.

- `blocks`        an appliance file's text, cut where its tables begin
- `fields`        the fields of the form, made from the schema, and how they are read
- `outline`       the parts and points of a text, even while it has problems
- `edit`          adds, changes or removes a part in a text, comments and order kept
- `own_files`     the files of the working folder: found, read, saved without losing one
- `papers`        what can be printed, written beside the notebook
- `description`   the front door `describe`: text, problems, appliance, undo, save
- `plain`         what is wrong with a part, in the words of a person who fills in a form
- `suggest`       values that the form proposes
- `safety_page`   findings and hazards of the appliance: what to do, and where it can hurt
- `looks`         what can be shown of the appliance at the press of a button
- `beside`        the form for a family of one's own, and its list as a file; `beside.js` draws it
- `box`           what the form's buttons do, and what is shown below it
- `view`          the form's state; `describe.js` draws it, with `parts.js` for the list of parts
                  and `fields.js` for the fields of one; `workbench.css` is the look
- `own_form`      what the forms below have in common; `typed.js` is its half in the browser
- `reading_rows`  a row of meter readings as typed: read, judged, and answered
- `readings`      the front door `own_readings`; `readings.js` draws its form
- `spare_form`    the front door `own_spare`; `spare.js` draws its form
- `lug_form`      the front door `own_lugs`; `lugs.js` draws its form
- `rewire_form`   the front door `own_rewirings`; `rewire.js` draws its form
"""
