"""Several wirings of one appliance side by side: what changed, and what each setting does.

- `wiring`    an appliance as paths, told apart by kind and rating and never by name
- `matching`  which path of one wiring is which of the other, at the least cost
- `place`     where a part sits, in words: "in the common return"
- `changes`   what changed in parts and wiring, each change with a sentence
- `settings`  the settings of all members in one table, matched by what they do
- `off`       what is live at off, and what a contact that sticks does
- `members`   reads the members from a list or a small TOML file
- `family`    the front doors `family` and `compare`
- `data`      what the browser gets: drawings with marks, tables, words
- `picture`   the live picture, and the page that opens offline with every bench sheet in it;
              `side_by_side.js` draws both
- `paper`     the same as PDF, a member in a row
"""
