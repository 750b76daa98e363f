"""Work order, actions, clock, attempt log, replay."""
