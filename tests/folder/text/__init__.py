"""Guarded here: words, clock times and bands as people write them."""
