"""Guarded here: the project itself: its rooms, its interface, its texts and what is shipped."""
