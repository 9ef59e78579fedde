"""Measured here: how often the solver's proofs hold, not how long they take."""
