"""Guarded here: the log: what each event takes, and that none is lost in trouble."""
