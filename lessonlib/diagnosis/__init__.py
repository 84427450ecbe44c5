"""What is wrong with an appliance: readings to suspects, the next test, the whole plan of tests.

Everything here is about an appliance that is unplugged, or an energy meter at its plug.

- `bench_test` one test at the bench, and how much trouble it is
- `ranges`     every fault in all the sizes that it can have
- `predicted`  what each test shows with each fault, at least and at most
- `shows`      `meter_shows`: both ranges of a meter between two points, leads either way round
- `typed`      readings as they are typed
- `at_readings` what each guess gives where something was read, and whether that agrees
- `checked`    `compare_readings`: each reading by itself against a sound appliance
- `joint_heat` the heat that a bad joint makes in use
- `suspects`   what all readings say together, in words
- `diagnose`   `diagnose`: which faults agree with all readings, which are out, and why
- `plan`       `test_plan`: the tests in the order that tells most for the least trouble
- `plan_shown` the plan as a drawn tree, and as numbered steps for paper
- `separate`   which faults a test tells apart, and which test to do first
- `further`    what would tell what no test of the plan can
- `lugs`       `lugs`: which elements are between which lugs of a bare block
- `lug_readings`, `lug_network`, `leak`, `lug_block`, `lug_sketch`, `lug_file`: what it reads,
  finds, shows
"""
