"""The average day as chances and points.

In: a day with its fit, and factors on its minutes.
Out: what may be begun, how long it may take, and what it may win, as arrays.
"""
