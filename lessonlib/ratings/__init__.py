"""Good enough and safe enough: an appliance against published limits, and what can go wrong.

- `finding`      one limit held against one number, and the table of all
- `duty`         the most that each part meets, over all settings
- `of_supply`    power, cord, plug fuse, coupler, earth
- `of_parts`     contacts, diodes, elements, conductors
- `of_heat`      thermal fuses where they sit
- `findings`     all of these for an appliance
- `hazards`      what can shock, what a fuse leaves live, what protects against dry heat
- `replacement`  whether a part one has is good enough
"""
