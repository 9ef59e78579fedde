"""Guarded here: comparisons, prices, replans and drawn days."""
