"""Guarded here: the phone page in a real browser: true at every moment, for every eye and hand."""
