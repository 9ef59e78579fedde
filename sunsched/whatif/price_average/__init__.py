"""What a decision costs on the average day: half-hours, rules and wraps too.

In: a day solved for planned minutes, and its plan for the average day.
Out: prices in light, minutes and points, with what no crew can do better or worse than.
"""
