"""What is said on a terminal of the average day.

In: plans, prices and choices whose work takes the minutes that chance gives it.
Out: text that fits a terminal.
"""
