"""The page on set: taps in the log, a phone without a network, the rest of the day taken."""
