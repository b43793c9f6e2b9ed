"""Learning frameworks: goals, and which of them a unit names."""
