"""Pictures of prices: half-hours as a grid, wraps and calls as curves.

In: a price table, the wraps or the calls that were looked at.
Out: a `Figure`, or marks on axes of one's own.
"""
