"""What the solver runs on: functions that are compiled, and kept on the disk."""
