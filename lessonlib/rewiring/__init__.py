"""Rewiring on paper: wirings of the same parts that give wanted powers, found and held to account.

- `network`     what a few elements and a diode draw, once some of their ends are joined
- `search`      every way to put so many contacts between them
- `given`       the parts one has, and the powers one wants
- `wiring`      a wiring as an appliance, and what speaks against it
- `result`      what was found, and what there is to say of it
- `steps`       the search step by step
- `rewirings`   the front door `rewirings`
- `page`        the result as a page and as plain text
- `differences` which hazards and findings differ between two wirings
"""
