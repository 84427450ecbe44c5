"""What happens over minutes: warming, steam, cycling, boiling dry.

- `water`     saturation line, latent heat, boiling point at altitude, gauge and absolute pressure
- `vessel`    a vessel's own temperatures: where it boils, where its relief valve lifts, its limits
- `contacts`  self-acting contacts as temperatures at which they open and close
- `circuit`   what each element gives, for each combination of positions met
- `schedule`  when a hand moves a switch, or resets a thermal fuse, during a run
- `segment`   one stretch of time between events, in closed form
- `result`    `HeatRun`: the events, the curves, energy, and the cycle
- `balance`   where the heat went, and that none is missing
- `stepping`  a run from event to event
- `run`       `heat_up`, and what the model leaves out
- `cases`     what has gone wrong: a part's fault, no water, no relief valve
- `protection`  `protections`: what acts in each case, and how far a fuse is from opening
- `story`     `protection_story`: one case in numbered sentences
"""
