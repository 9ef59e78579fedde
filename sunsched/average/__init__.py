"""The day on which work takes the minutes that chance gives it.

In: a day, its fit, and the best order for planned minutes.
Out: the order that is worth most on the average day, with its chances, and a bound on any other.
"""
