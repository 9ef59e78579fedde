"""A day under way: its log, and what of it is still to be planned.

In: a `Day` and the events of its log.
Out: the day with its past, the rest of the plan that was followed, what is at risk.
"""
