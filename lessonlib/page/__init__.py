"""What every widget's page is built from: one kit of scripts and styles, and what joins them.

- `join`         an ES module or a style with all that it imports, as one text
- `kit.js`       elements, fields, buttons and live regions
- `exchange.js`  what keeps a view and Python in step: listeners, waiting, replies, drafts
- `kit.css`      the look of all these
"""
