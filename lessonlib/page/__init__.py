"""What every widget is built from: one kit of scripts and styles, and what joins them.

- `join`         joins an ES module or a style with all that it imports into one text
- `document`     a page as one HTML file, and a box that scrolls
- `kit.js`       elements, fields, buttons and live regions
- `exchange.js`  keeps a view and Python in step: listeners, waiting, replies, drafts
- `cut_off.js`   a line by itself that says how to go on without Python
- `kit.css`      the look of all these
"""
