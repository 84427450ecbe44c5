"""What happens in one setting: potentials, currents, powers, and what is live.

- `network`    an appliance as nodes and branches; settings and faults as arrays
- `islands`    which nodes are joined, which are only reached, what shorts the supply
- `linear`     node potentials and branch currents as straight lines in the supply voltage
- `cycle`      diode states over a mains cycle, and the moments of its pieces
- `totals`     means, squares and peaks over a cycle, checked for balance
- `condition`  live, neutral, earthed, between, or floating
- `solution`   `solve` and `solve_all`: the results by part and node
- `table`      every setting in one table, and two wirings side by side
"""
