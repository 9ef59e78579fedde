"""Guarded here: lists as people keep them, read and imported."""
