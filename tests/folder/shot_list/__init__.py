"""Guarded here: the shot list: each fault with its whole message."""
