"""The printed pages of a plan: its order, the day's facts, and what was kept of it afterwards.

In: a `Sheet`.
Out: figures, one a page.
"""
