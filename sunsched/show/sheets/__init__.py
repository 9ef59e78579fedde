"""Sheets of a plan: printed, for a phone, a calendar, a spreadsheet.

In: a plan with its revision.
Out: the bytes of a file; the same plan gives the same bytes.
"""
