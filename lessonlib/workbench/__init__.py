"""Describe your own appliance and hold your own readings against it.

- `blocks`        an appliance file's text, cut where its tables begin
- `fields`        what the form asks for, from the schema, and what is typed into it
- `outline`       what a text has so far, also while it is not right yet
- `edit`          text to text: a part put in, changed or taken out, comments and order kept
- `soundness`     what the described appliance does at its worst
- `own_files`     the files of the working folder: found, read, saved without losing one
- `description`   the front door `describe`: a text, its problems, its appliance, undo, save
- `view`          the form of a description; `describe.js` draws it, with `parts.js` for the parts
                  and `fields.js` for the fields of one; `workbench.css` is the look
- `readings`      the front door `own_readings`: rows of readings judged as they are typed
- `readings_view` the form of the readings; `readings.js` draws it
"""
