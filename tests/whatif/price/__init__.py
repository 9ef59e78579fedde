"""What decisions, half-hours, rules and wraps cost: for planned minutes and on the average day."""
