"""Guarded here: `day.toml`: each fault with its whole message, rigs and matches by name."""
