"""Guarded here: each part of the light, on both sides of its edge."""
