"""Orders on the average day.

In: an order with the references of its matches.
Out: the best way to follow it, what it is worth, its chances, and better orders.
"""
