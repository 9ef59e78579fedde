"""No order is worth more: Lagrangian bounds, labels, branch and bound.

In: tables and the incumbent.
Out: a bound that falls until it meets the incumbent.
"""
