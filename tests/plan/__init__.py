"""Guarded here: the judge: rules, points, reasons."""
