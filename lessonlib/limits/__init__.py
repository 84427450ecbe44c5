"""Published limits, each with its source.

- `limit`        one limit: value, unit, source, edition, clause, and how it was confirmed
- `components`   thermal fuses, diodes, contacts
- `cords`        cross-section, current and resistance of flexible cords
- `earth`        what earth continuity and insulation must reach after a repair
- `half_wave`    when a half-wave load is allowed on the public mains
- `input_power`  how far the measured power may be from the marked power
- `mains`        how far the mains voltage may be from its nominal value
- `plugs`        plug fuses and appliance couplers
- `published`    all of them, as rows
"""
