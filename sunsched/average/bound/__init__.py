"""A bound on what any way of shooting the average day is worth.

In: the average day, and the worth of an order.
Out: points that no crew can be worth more than, whatever it decides and when.
"""
