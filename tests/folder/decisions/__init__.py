"""Guarded here: the decisions of a day: read, kept and lifted, and obeyed by every command."""
