"""What happens over minutes: warming, steam, cycling, boiling dry.

- `water`     saturation line, latent heat, boiling point at altitude, gauge and absolute pressure
- `vessel`    a vessel's own temperatures: where it boils, where its relief valve lifts, its limits
- `contacts`  self-acting contacts as temperatures at which they open and close
- `schedule`  when hand-operated switches are moved during a run
- `segment`   one stretch of time between events, in closed form
- `result`    `HeatRun`: the events, the curves, energy, and the cycle
- `run`       `heat_up`: from event to event
"""
