"""Guarded here: a day folder is read with every fault at once, written whole or not."""
