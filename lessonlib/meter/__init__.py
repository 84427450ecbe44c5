"""What a meter shows, and what a reading says about the appliance.

- `alloys`     how much the resistance of heating wire rises from cold to hot
- `ohmmeter`   what an ohmmeter shows between two points of the unplugged appliance
- `pairs`      the least and the most an ohmmeter shows between every two points at once
- `ohm_table`  every ohmmeter reading between the plug's pins in one table
- `kinds`      what each kind of meter shows when the voltage is not a sine
- `voltmeter`  what voltmeters show in the energised model, a floating point included
- `earth_tests` earth continuity, and the insulation tester to the metalwork
- `readings`   what was measured, where, and how good the meter is
- `expected`   how far off a reading may be with nothing wrong
"""
