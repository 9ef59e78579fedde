"""Guarded here: a day under way: what has happened stands."""
