"""Guarded here: revisions: none is overwritten or lost."""
