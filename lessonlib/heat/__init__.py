"""What happens over minutes: warming, steam, cycling, boiling dry.

- `water`     saturation line, latent heat, boiling point at altitude, gauge and absolute pressure
- `vessel`    a vessel's own temperatures: where it boils, where its relief valve lifts, its limits
- `contacts`  self-acting contacts as temperatures at which they open and close
- `segment`   one stretch of time between events, in closed form
- `result`    `HeatRun`: the events, the curves, where the heat went, and the cycle
- `stepping`  a run from event to event
- `run`       `heat_up`, when a hand moves a switch, and what the model leaves out
- `protection`  `protections`: what can go wrong, what acts then, and how far a fuse is from opening
- `story`     `protection_story`: one case in numbered sentences
"""
