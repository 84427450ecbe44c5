"""Good enough and safe enough: an appliance against published limits, and what can go wrong.

- `finding`      one limit held against one number, and the table of all
- `duty`         the most that each part meets, over all settings
- `of_supply`    power, cord, plug and its fuse, coupler, earth
- `of_wiring`    shorts, elements that never heat, current to earth, values that disagree
- `of_parts`     contacts, diodes, elements, conductors
- `of_heat`      thermal fuses where they sit
- `findings`     all of these for an appliance
- `hazard`       one hazard, the table of all, and the solved cases that they are read from
- `stays_live`   what "off", a blown fuse, an open contact or a broken neutral leaves live
- `metalwork`    whether metal becomes live, and what then operates
- `hazards`      all of these for an appliance, shorts, shocks and dry heat
- `advice`       what a person acts on: what to put right and to find out
- `remarks`      what stands out while an appliance is being described
- `replacement`  whether a part one has is good enough
"""
