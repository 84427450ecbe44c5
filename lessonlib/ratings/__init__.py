"""Published limits as tables with sources, and the checks against them.

- `half_wave`    when a half-wave load is allowed on the public mains
- `input_power`  how far the measured power may be from the marked power
- `mains`        how far the mains voltage may be from its nominal value
- `readings`     what somebody measured, where, and how good the meter is
- `expected`     what the file says a reading should be, and the room it leaves
- `hints`        what a reading may mean that no single fault explains
- `agreement`    `compare_reading`, `compare_readings`: readings against the file
"""
