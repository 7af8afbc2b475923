"""What the trade says, as values and pure functions; no clock, disk, network or printing."""
