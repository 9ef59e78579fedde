"""What people write, turned into values: words, clock times, bearings and bands.

In: one text and where it stands.
Out: a value, or a fault with what was expected; `findings` gathers them.
"""
