"""Guarded here: the sun stands where published values and other libraries say."""
