"""Guarded here: days posed as a crew would pose them, and what must hold of every plan."""
