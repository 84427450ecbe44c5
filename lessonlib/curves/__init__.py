"""Pictures of waves and of heating runs, by matplotlib.

- `picture`    what they share: paper, style, words beside marks
- `waves`      voltage, current and power over a cycle
- `power`      what a part gives on every supply voltage: the front door `power_curve`
- `traces`     a heating run as points and spans
- `run_words`  its finding in words
- `run_panels` its panels of temperature, pressure, power and contacts, and the numbered events
- `heating`    all of this together: the front door `heating_curve`
"""
