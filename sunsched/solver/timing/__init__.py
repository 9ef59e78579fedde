"""The best times of a given order, and which of equals is given.

In: a sequence of shots and the tables.
Out: starts, the meal and the reference of each match.
"""
