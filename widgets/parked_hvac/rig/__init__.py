"""The training truck: wiring, components, control logic and faults, in time."""
