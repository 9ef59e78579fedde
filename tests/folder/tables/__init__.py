"""Guarded here: tables as spreadsheets write them; skylines and clouds."""
