"""What happens in one setting: potentials, currents, powers, and what is live.

- `situation`  what is asked: setting, fault, plug and supply voltage as one value
- `network`    an appliance as nodes and branches; settings and faults as arrays
- `opened`     the same with the case open: cord, wires and sheaths as branches, for their faults
- `islands`    which nodes are joined, which are only connected, what shorts the supply
- `order`      in which order the nodes of a network are eliminated
- `star_mesh`  the elimination itself, without taking one conductance from another
- `drops`      what the forward drops of conducting diodes add to it
- `spread`     potentials and voltages of every case, from these three
- `linear`     node potentials and branch currents as straight lines in the supply voltage
- `cycle`      diode states over a mains cycle, and the moments of its pieces
- `totals`     means, squares and peaks over a cycle, checked for balance
- `condition`  live, neutral, earthed, between, or floating; and what can give a shock
- `live`       where a shock is possible: which ends of which parts
- `solution`   `solve` and `solve_all`: the results by part and node
- `wave`       one voltage or current over a cycle: its means and what meters make of it, exactly
- `waveform`   `waveform`: a part's voltage, current and power at every instant of a cycle
- `diode`      what a diode carries and blocks, and what a resistor in its place would waste
- `table`      every setting in one table
- `behaviour`  what a circuit does, whatever its parts are called
- `differences`  how a circuit differs from the one asked for, in words
"""
